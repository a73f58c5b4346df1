"""Plan a robot: derive the wiring, give slots, size every wire, finish every end, judge the whole."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from loomwright.findings import Finding, by_weight
from loomwright.jobs.colours import colours_in_words
from loomwright.jobs.ends import WireIds, planned_wires
from loomwright.jobs.feeding import feeding_findings
from loomwright.jobs.guards import Guards
from loomwright.jobs.leads import open_leads, other_gauges
from loomwright.jobs.own_leads import own_lead_findings, own_supply_leads
from loomwright.jobs.questions import IN_A_FAULT, lead_that_does_not_fit, sizing_findings
from loomwright.jobs.requests import given_gauge, port_at, sizing_request
from loomwright.layout import Choice, Lengths, assign_slots
from loomwright.model.part import Polarity
from loomwright.model.reason import Origin, Reasoned
from loomwright.plan.memory import Memory
from loomwright.plan.renaming import carried_over
from loomwright.plan.result import Plan, PlannedCircuit
from loomwright.plan.revision import revision_of
from loomwright.rulebook import judge
from loomwright.sizing import OutOfTableError, Sizing, size
from loomwright.sizing.demand import Demand, Standing
from loomwright.wiring import derive
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from loomwright.jobs.requests import Guard
    from loomwright.model.part import Part
    from loomwright.model.robot import Robot
    from loomwright.model.rules import RuleBook
    from loomwright.units import Gauge
    from loomwright.wiring.result import Circuit, Wiring

_ORDER = list(CircuitKind)
_NOWHERE = Choice()


def make_plan(
    robot: Robot,
    rules: RuleBook,
    *,
    find_part: Callable[[str], Part | None],
    memory: Memory | None = None,
    inputs: str = "",
) -> Plan:
    """Plan one build of a robot.

    `find_part` looks up a part class by id (for the breakers and fuses that go into slots); `memory` is
    what the last plan decided, so that slots and wire ids stay; `inputs` is the digest of all inputs.
    """
    wiring = derive(robot)
    remembered = carried_over(memory or Memory(), wiring, robot)
    spots = {name: (remembered.sources.get(name, ""), slot) for name, slot in remembered.slots.items()}
    choices = assign_slots(robot, wiring, spots)
    standing = {name: Standing(choice.device, choice.protection_a) for name, choice in choices.items()}
    planner = _Planner(
        robot,
        rules,
        wiring,
        choices,
        Demand(robot, wiring, standing),
        Guards(robot, wiring, choices, find_part),
        WireIds(remembered.wires, remembered.next_wire),
        Lengths(robot),
    )
    in_order = sorted(wiring.circuits, key=lambda c: (_ORDER.index(c.kind), natural(c.id)))
    circuits = tuple(planner.plan(circuit) for circuit in in_order)
    plan = Plan(
        robot=robot,
        rules=rules,
        wiring=wiring,
        circuits=circuits,
        findings=(),
        next_wire=planner.ids.next_number,
        revision=revision_of(circuits),
        inputs=inputs,
    )
    findings = by_weight([*robot.noticed, *wiring.questions, *planner.findings, *_physics(plan), *judge(plan)])
    return Plan(plan.robot, plan.rules, plan.wiring, circuits, findings, plan.next_wire, plan.revision, plan.inputs)


def _physics(plan: Plan) -> Iterator[Finding]:
    """Give what holds whatever the season's rules say."""
    yield from sizing_findings(plan)
    yield from feeding_findings(plan)


@dataclass(slots=True)
class _Planner:
    robot: Robot
    rules: RuleBook
    wiring: Wiring
    choices: dict[str, Choice]
    demand: Demand
    guards: Guards
    ids: WireIds
    lengths: Lengths
    findings: tuple[Finding, ...] = ()

    def plan(self, circuit: Circuit) -> PlannedCircuit:
        """Decide one circuit: slot, protection, currents, length, gauge, wires."""
        choice = self.choices.get(circuit.id, _NOWHERE)
        source = choice.device or (circuit.sources[0] if circuit.kind in _FIXED and circuit.sources else "")
        guard = self.guards.of(circuit)
        length = self.lengths.one_way(circuit, source)
        power = circuit.kind.carries_power
        held = self.demand.held(circuit) if power else _NO_CURRENT
        sustained = self.demand.sustained(circuit) if power else _NO_CURRENT
        own = self._own_leads(circuit)
        cut = power and own is None and bool(circuit.wires)
        given = given_gauge(self.robot, circuit).value
        asked = partial(self._size, circuit, source, choice, guard, held, sustained, length)
        sizing = asked(given) if cut else None
        gauge = own or _gauge(self.robot, circuit, sizing)
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
            lengths=self.lengths,
            paths={},
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
            length=length,
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

    def _size(
        self,
        circuit: Circuit,
        source: str,
        choice: Choice,
        guard: Guard,
        held: Reasoned[float | None],
        sustained: Reasoned[float | None],
        length: Reasoned[float | None],
        given: Gauge | None,
    ) -> Sizing | None:
        if held.value is None:
            return None
        request = sizing_request(
            self.robot,
            self.rules,
            circuit,
            source=source,
            slot=choice.slot,
            guard=guard,
            current_a=held.value,
            sustained_a=held.value if sustained.value is None else sustained.value,
            one_way_m=length.value,
            given=given,
        )
        try:
            return size(request)
        except OutOfTableError as error:
            self.findings = (*self.findings, _out_of_table(circuit, error))
            return None


_FIXED = (CircuitKind.MAIN, CircuitKind.MOTOR, CircuitKind.BUS, CircuitKind.NETWORK, CircuitKind.SIGNAL)
_NO_CURRENT: Reasoned[float | None] = Reasoned(None, "a data line carries no load", Origin.CATALOGUE)


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
    which = "the only" if choice.how == "only" else "a free"
    group = f" {choice.group}" if choice.group else ""
    return Reasoned(choice.slot, f"{which}{group} slot that suits it", Origin.COMPUTED)


def _gauge(robot: Robot, circuit: Circuit, sizing: Sizing | None) -> Reasoned[Gauge | None]:
    given = given_gauge(robot, circuit)
    if given.value is not None and circuit.kind.carries_power:
        return Reasoned(given.value, "given", Origin.GIVEN, str(given.mark or ""))
    if sizing is None:
        reason = "its current is not known" if circuit.kind.carries_power else "by use, not by current"
        return Reasoned(None, reason, Origin.UNKNOWN if circuit.kind.carries_power else Origin.CATALOGUE)
    if sizing.gauge is None and _bears_its_load(sizing):
        return Reasoned(sizing.shown_for, "the thickest that fits; nothing on hand does everything", Origin.COMPUTED)
    if sizing.gauge is None:
        return Reasoned(None, f"no gauge on hand satisfies {' and '.join(sizing.decided_by)}", Origin.COMPUTED)
    thinner = {
        "stock": "the thinnest on hand satisfies everything",
        "floor": "kept from an earlier decision",
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
