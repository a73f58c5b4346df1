"""Plan a robot: derive the wiring, give slots, size every wire, finish every end, judge the whole."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity, by_weight
from loomwright.jobs.binding import bound_by, forgetting
from loomwright.jobs.chains import chained
from loomwright.jobs.colours import colours_in_words
from loomwright.jobs.cut_list import cut_findings, cut_list
from loomwright.jobs.deciding import decide
from loomwright.jobs.ends import WireIds, planned_wires
from loomwright.jobs.feeding import feeding_findings
from loomwright.jobs.leads import open_leads, other_gauges
from loomwright.jobs.own_leads import own_lead_findings, own_supply_leads
from loomwright.jobs.placing import placing_findings
from loomwright.jobs.questions import IN_A_FAULT, lead_that_does_not_fit, sizing_findings
from loomwright.jobs.requests import given_gauge, port_at
from loomwright.layout import Choice
from loomwright.layout.lengths import AS_MADE
from loomwright.model.part import Polarity
from loomwright.model.reason import Origin, Reasoned
from loomwright.plan.memory import Memory
from loomwright.plan.renaming import carried_over
from loomwright.plan.result import Plan, PlannedCircuit
from loomwright.plan.revision import revision_of
from loomwright.rulebook import judge
from loomwright.search import SILENT, Effort
from loomwright.sizing import OutOfTableError, Sizing
from loomwright.wiring import derive
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural, quoted

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from loomwright.jobs.deciding import Decided
    from loomwright.jobs.requests import Guard
    from loomwright.layout.result import KnownNet
    from loomwright.model.part import Part
    from loomwright.model.robot import Robot
    from loomwright.model.rules import RuleBook
    from loomwright.search import Watch
    from loomwright.sizing.duty import Duty
    from loomwright.units import Gauge
    from loomwright.wiring.result import Circuit

_ORDER = list(CircuitKind)
_NOWHERE = Choice()


def make_plan(
    robot: Robot,
    rules: RuleBook,
    *,
    find_part: Callable[[str], Part | None],
    memory: Memory | None = None,
    net: KnownNet | None = None,
    duties: Mapping[str, Duty] = MappingProxyType({}),
    inputs: str = "",
    effort: Effort = Effort.USUAL,
    fresh: bool = False,
    watch: Watch = SILENT,
) -> Plan:
    """Plan one build of a robot.

    `find_part` looks up a part class by id (for the breakers and fuses that go into slots); `memory` is
    what the last plan decided, so that slots and wire ids stay; `net` is the net as it was worked out from the same
    inputs, where it is known; `duties` are what a match study found, by circuit;
    `inputs` is the digest of all inputs. Where it is
    that of the memory, nothing is decided again, unless `effort` asks for a proof that is not there yet. A `fresh`
    plan forgets the last one but for what is made.
    """
    remembered = memory or Memory()
    current = bool(inputs) and remembered.inputs == inputs and not fresh
    chains = chained(robot, remembered, current=current, effort=effort, watch=watch)
    ordered = chains.robot
    wiring = derive(ordered)
    remembered = carried_over(remembered, wiring, ordered)
    if fresh:
        remembered = forgetting(ordered, wiring, remembered)
    bound = bound_by(ordered, wiring, remembered, net=net, inputs=inputs, current=current, effort=effort, watch=watch)
    decided = decide(ordered, rules, wiring, find_part=find_part, bound=bound, duties=duties)
    planner = _Planner(rules, decided, WireIds(remembered.wires, remembered.next_wire), _paths(decided))
    in_order = sorted(wiring.circuits, key=lambda c: (_ORDER.index(c.kind), natural(c.id)))
    circuits = tuple(planner.plan(circuit) for circuit in in_order)
    cut = cut_list(ordered.stock, circuits, remembered, bound, current=current)
    plan = Plan(
        robot=ordered,
        rules=rules,
        wiring=wiring,
        circuits=circuits,
        findings=(),
        next_wire=planner.ids.next_number,
        revision=revision_of(circuits, cut),
        inputs=inputs,
        layout=decided.layout,
        slots=decided.seated.answer,
        cut=cut,
        chains=chains.certificates,
        made=bound.made,
    )
    told = [
        *robot.noticed,
        *chains.findings,
        *wiring.questions,
        *planner.findings,
        *_physics(plan),
        *placing_findings(ordered, decided),
    ]
    told += [*cut_findings(ordered.stock, cut), *_other_robot(ordered, memory)]
    return replace(plan, findings=by_weight([*told, *judge(plan)]))


def _other_robot(robot: Robot, memory: Memory | None) -> list[Finding]:
    """Ask where plan.yaml is the plan of a robot of another name."""
    if memory is None or memory.robot in ("", robot.name):
        return []
    what = f"plan.yaml is the plan of {quoted(memory.robot)}, and this robot is called {quoted(robot.name)}."
    fix = "If it was only renamed, nothing is to do. If it is another robot, delete its plan.yaml: wire ids begin anew."
    return [Finding("plan-of-another", Severity.SHOULD, Place(robot.file, 1, 1, "robot"), what, fix, asks=True)]


def _paths(decided: Decided) -> dict[tuple[str, str], tuple[str, ...]]:
    """Return the trunks that each routed wire runs along, in order from its end A."""
    layout = decided.layout
    if layout is None:
        return {}
    edges = {edge.name: edge for edge in layout.edges}
    runs = {run.name: run for run in layout.runs}
    return {
        key: tuple(dict.fromkeys(edges[name].trunk for name in route.edges if edges[name].trunk))
        for route in layout.routes
        for key in runs[route.run].wires
    }


def _physics(plan: Plan) -> Iterator[Finding]:
    """Give what holds whatever the season's rules say."""
    yield from sizing_findings(plan)
    yield from feeding_findings(plan)


@dataclass(slots=True)
class _Planner:
    rules: RuleBook
    decided: Decided
    ids: WireIds
    paths: Mapping[tuple[str, str], tuple[str, ...]]
    findings: tuple[Finding, ...] = ()

    @property
    def robot(self) -> Robot:
        return self.decided.sizer.robot

    def plan(self, circuit: Circuit) -> PlannedCircuit:
        """Decide one circuit: slot, protection, currents, length, gauge, wires."""
        sizer = self.decided.sizer
        choice = self.decided.seated.choices.get(circuit.id, _NOWHERE)
        source = sizer.source(circuit)
        guard = sizer.guards.of(circuit)
        held, sustained = sizer.held(circuit), sizer.sustained(circuit)
        power = circuit.kind.carries_power
        own = self._own_leads(circuit)
        cut = power and own is None and bool(circuit.wires)
        given = sizer.given(circuit)
        asked = partial(self._size, circuit)
        sizing = asked(given) if cut else None
        gauge = own or _gauge(self.robot, circuit, sizing, sizer.made.get(circuit.id))
        for thicker in other_gauges(self.robot, circuit) if circuit.kind is CircuitKind.MAIN else ():
            if (judged := asked(thicker.value)) is not None:
                self.findings = (*self.findings, *lead_that_does_not_fit(circuit, thicker, judged))
        leads = own_supply_leads(self.robot, circuit) if held.value is not None else None
        if leads is not None and (judged := asked(leads)) is not None:
            told = own_lead_findings(circuit, self._called(circuit), guard.rating_a, judged)
            self.findings = (*self.findings, *told)
        free = asked(None) if circuit.kind is CircuitKind.MAIN and open_leads(self.robot, circuit) else None
        wires = planned_wires(
            self.robot,
            self.rules,
            circuit,
            source=source,
            slot=choice.slot,
            gauge=gauge.value if free is None else free.gauge,
            ids=self.ids,
            lengths=sizer.lengths,
            paths=self.paths,
        )
        return PlannedCircuit(
            circuit=circuit,
            source=source,
            slot=_slot(circuit, choice),
            protection_a=self._protection(circuit, choice, guard),
            protection=guard.words,
            trip_curve=guard.part.trip_curve if guard.part else (),
            curve_assumed=guard.part.curve_assumed if guard.part else False,
            current=held,
            sustained=sustained,
            length=sizer.length(circuit),
            gauge=gauge,
            sizing=sizing,
            wires=tuple(wires),
            colours=colours_in_words(self.robot, self.rules, circuit),
        )

    def _called(self, circuit: Circuit) -> str:
        load = self.robot.device(circuit.load)
        return load.called if load is not None else circuit.load

    def _own_leads(self, circuit: Circuit) -> Reasoned[Gauge | None] | None:
        """Return the gauge of a circuit that is a part's own leads or a ready-made cable: nobody chooses it."""
        if circuit.wires and all(wire.a.polarity is Polarity.CABLE for wire in circuit.wires):
            return Reasoned(None, "a ready-made cable", Origin.CATALOGUE)
        if not circuit.wires or not all(wire.captive for wire in circuit.wires):
            return None
        for end in (circuit.wires[0].b, circuit.wires[0].a):
            port = port_at(self.robot, end, "", "")
            if port is not None and port.lead_gauge is not None:
                device = self.robot.device(end.device)
                return Reasoned(
                    port.lead_gauge, "the part's own leads", Origin.CATALOGUE, device.part.id if device else ""
                )
        return Reasoned(None, "the part does not say the gauge of its own leads", Origin.UNKNOWN)

    def _protection(self, circuit: Circuit, choice: Choice, guard: Guard) -> Reasoned[float | None]:
        if circuit.kind is CircuitKind.MAIN:
            return Reasoned(guard.rating_a, "the main breaker", Origin.CATALOGUE, guard.words)
        if choice.protection_a is None:
            return Reasoned(None, guard.words or "not known while its slot is not", Origin.CATALOGUE)
        load = self.robot.device(circuit.load)
        if load is not None and load.wishes.protection.said:
            return Reasoned(choice.protection_a, "given", Origin.GIVEN, str(load.wishes.protection.mark))
        why = "what it wants on such a slot" if circuit.wanted_a else "the least that the slot takes"
        return Reasoned(choice.protection_a, why, Origin.CATALOGUE, circuit.wanted_source)

    def _size(self, circuit: Circuit, given: Gauge | None) -> Sizing | None:
        floor = self.decided.taken.get(circuit.id) if given is None else None
        try:
            return self.decided.sizer.size(circuit, given=given, floor=floor)
        except OutOfTableError as error:
            self.findings = (*self.findings, _out_of_table(circuit, error))
            return None


_FIXED = (CircuitKind.MAIN, CircuitKind.MOTOR, CircuitKind.BUS, CircuitKind.NETWORK, CircuitKind.SIGNAL)


def _slot(circuit: Circuit, choice: Choice) -> Reasoned[str]:
    if circuit.kind in _FIXED:
        return Reasoned("", "not fed from a slot", Origin.CATALOGUE)
    if not choice.slot:
        return Reasoned("", choice.open_because, Origin.UNKNOWN)
    if choice.how == "pinned":
        state = circuit.slot.state
        told = f" ({state})" if state is not None and str(state) != "planned" else ""
        return Reasoned(choice.slot, f"pinned{told}", Origin.GIVEN, str(circuit.slot.mark or ""))
    # The same words whether it was chosen now or in the last plan: planning again changes no byte.
    return Reasoned(choice.slot, choice.why, Origin.COMPUTED)


def _gauge(robot: Robot, circuit: Circuit, sizing: Sizing | None, made: Gauge | None) -> Reasoned[Gauge | None]:
    given = given_gauge(robot, circuit)
    if given.value is not None and circuit.kind.carries_power:
        return Reasoned(given.value, "given", Origin.GIVEN, str(given.mark or ""))
    if made is not None and circuit.kind.carries_power:
        return Reasoned(made, AS_MADE, Origin.GIVEN, "plan.yaml")
    if sizing is None:
        reason = "its current is not known" if circuit.kind.carries_power else "by use, not by current"
        return Reasoned(None, reason, Origin.UNKNOWN if circuit.kind.carries_power else Origin.CATALOGUE)
    if sizing.gauge is None and _bears_its_load(sizing):
        return Reasoned(sizing.shown_for, "the thickest that fits; nothing on hand does everything", Origin.COMPUTED)
    if sizing.gauge is None:
        return Reasoned(None, f"no gauge on hand satisfies {' and '.join(sizing.decided_by)}", Origin.COMPUTED)
    thinner = {
        "stock": "the thinnest on hand satisfies everything",
        "floor": "thicker than it has to be, so that the branches behind it may be thinner"
        if circuit.kind is CircuitKind.MAIN
        else "kept from an earlier decision",
    }
    first = sizing.decided_by[0]
    reason = thinner.get(first, f"the next thinner would break {' and '.join(sizing.decided_by)}")
    return Reasoned(sizing.gauge, reason, Origin.COMPUTED, sizing.sources[0] if sizing.sources else "")


def _bears_its_load(sizing: Sizing) -> bool:
    """Tell whether the gauge that comes nearest breaks nothing but what a fault would bring about."""
    return all(c.name in IN_A_FAULT for c in sizing.constraints if c.ok is False)


def _out_of_table(circuit: Circuit, error: OutOfTableError) -> Finding:
    from loomwright.wiring.ask import question  # noqa: PLC0415  used in the rare case only

    return question("out-of-table", circuit.mark, circuit.path, f"{circuit.id}: {error.what}", error.fix)
