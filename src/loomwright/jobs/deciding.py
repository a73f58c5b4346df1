"""Decide where everything goes: slots first, then routes and gauges in turn until nothing changes.

A thicker gauge changes a bundle, a bundle a trunk, a trunk a length, and a length a gauge. A gauge only ever grows
within one planning run, and there are only so many, so the rounds end.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.catalogue.conductor import mass_g_per_m
from loomwright.jobs.copper import Options
from loomwright.jobs.guards import Guards
from loomwright.jobs.leads import lead_gauge, open_leads
from loomwright.jobs.sizer import Sizer
from loomwright.layout import (
    Before,
    KnownRoutes,
    Lengths,
    assign_slots,
    build_net,
    known_routes,
    lanes_of,
    lay_out,
    loaded_beside,
    pose_routes,
    search_routes,
    terminals_of,
    ways_of,
)
from loomwright.search import SILENT, Effort
from loomwright.sizing import OutOfTableError
from loomwright.sizing.demand import Demand, Standing
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from loomwright.findings import Finding
    from loomwright.layout import KnownSlots, Posed, Routed, Seated
    from loomwright.layout.result import KnownNet, Layout, Net
    from loomwright.model.part import Part
    from loomwright.model.robot import Robot
    from loomwright.model.rules import RuleBook
    from loomwright.search import Watch
    from loomwright.sizing.duty import Duty
    from loomwright.units import Gauge
    from loomwright.wiring.result import Circuit, Wiring

_MAIN = "main"
#: What feeds something that feeds others, from the battery on.
_FEEDING = (CircuitKind.FEEDER, CircuitKind.BRANCH)
#: How many gauges of the main leads are looked at, from the thinnest that does on.
_MAIN_CHOICES = 3


@dataclass(frozen=True, slots=True)
class Bound:
    """What binds these decisions: what was decided before, what is made, how far to search.

    `net` is the net of the same inputs, where it is known. `slots` is what was proved of the last slots where nothing
    has changed since, and `routes` likewise has that. `made` are the wires that are made; `lengths` holds their cut
    length [m], `gauges` the gauge of their circuits.
    """

    before: Before = field(default_factory=Before)
    net: KnownNet | None = None
    slots: KnownSlots | None = None
    routes: KnownRoutes = field(default_factory=KnownRoutes)
    made: frozenset[tuple[str, str]] = frozenset()
    lengths: Mapping[tuple[str, str], float] = field(default_factory=lambda: MappingProxyType({}))
    gauges: Mapping[str, Gauge] = field(default_factory=lambda: MappingProxyType({}))
    effort: Effort = Effort.USUAL
    watch: Watch = SILENT


@dataclass(frozen=True, slots=True)
class Decided:
    """What was decided: slots, layout, and the sizer that knows every length, bundle and lead.

    `layout` is None where nothing has a way; `noticed` is then still what the net has to tell, and `no_way` names
    the runs whose ends have places and no way between them, with the reason in words. `taken` holds the gauge that
    each circuit was routed with, `rounds` how often routes and gauges took turns.
    """

    seated: Seated
    layout: Layout | None
    sizer: Sizer
    taken: Mapping[str, Gauge]
    rounds: int = 1
    noticed: tuple[Finding, ...] = ()
    no_way: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))


def decide(
    robot: Robot,
    rules: RuleBook,
    wiring: Wiring,
    *,
    find_part: Callable[[str], Part | None],
    bound: Bound,
    duties: Mapping[str, Duty] = MappingProxyType({}),
) -> Decided:
    """Decide slots, routes and lengths of one robot."""
    net = net_for(robot, wiring, bound.net)
    seated = assign_slots(
        robot, wiring, net, before=bound.before, known=bound.slots, effort=bound.effort, watch=bound.watch
    )
    standing = {name: Standing(choice.device, choice.protection_a) for name, choice in seated.choices.items()}
    sizer = Sizer(
        robot,
        rules,
        wiring,
        seated.choices,
        Demand(robot, wiring, standing, duties),
        Guards(robot, wiring, seated.choices, find_part),
        Lengths(robot, made=bound.lengths),
        gauges={},
        beside={},
        made=bound.gauges,
    )
    return _Rounds(net, seated, sizer, bound).run()


def net_for(robot: Robot, wiring: Wiring, known: KnownNet | None) -> Net:
    """Return the net of a robot, as it is known where that was for the same terminals."""
    asked = terminals_of(robot, wiring)
    return known.net if known is not None and known.asked == frozenset(asked) else build_net(robot, asked)


@dataclass(slots=True)
class _Rounds:
    """Routes and gauges in turn."""

    net: Net
    seated: Seated
    sizer: Sizer
    bound: Bound

    def run(self) -> Decided:
        """Go on until no gauge grows any more."""
        taken_over = self._take_over()
        if taken_over is not None:
            return taken_over
        floors: dict[str, Gauge] = {}
        start = replace(self.bound.routes, certificate=None)
        rounds = 0
        while True:
            rounds += 1
            posed, sizers = self._posed(floors, start, {})
            routed = search_routes(posed, start, effort=self.bound.effort, watch=self.bound.watch)
            decided = self._laid_out(routed, sizers, floors, rounds, {})
            grown = _grown(decided, floors)
            if not grown:
                return decided
            floors |= grown

    def _take_over(self) -> Decided | None:
        """Take the last plan's routes and gauges where nothing has changed since; None where they don't stand."""
        known = self.bound.routes
        if known.certificate is None:
            return None
        posed, sizers = self._posed({}, known, known.gauges)
        routed = known_routes(posed, known)
        return self._laid_out(routed, sizers, {}, 1, known.bundles) if routed is not None else None

    def _posed(
        self, floors: Mapping[str, Gauge], known: KnownRoutes, gauges: Mapping[str, Gauge | None]
    ) -> tuple[Posed, list[Sizer]]:
        """Put together what is to be routed, with the gauges that do so far; and a sizer for each way of the mains."""
        lanes = list(lanes_of(self.sizer.wiring, self.seated.choices))
        mains = self._main_choices()
        sizers = [self._with_feeders(replace(self.sizer, gauges=main), floors) for main in mains]
        options = Options(sizers, floors, gauges)
        ways_to_make = {lane.name: found for lane in lanes if (found := options.of(lane))}
        shared_g = tuple(self._main_g(main) for main in mains)
        posed = pose_routes(self.sizer.robot, self.net, lanes, ways_to_make, shared_g=shared_g, known=known)
        return posed, sizers

    def _laid_out(
        self,
        routed: Routed,
        sizers: list[Sizer],
        floors: Mapping[str, Gauge],
        rounds: int,
        bundles_m: Mapping[str, float],
    ) -> Decided:
        """See what lengths and bundles come of routes."""
        layout = lay_out(self.sizer.robot, self.net, routed, bundles_m)
        settled = self._settled(routed, layout, sizers[routed.answer.shared], floors)
        taken = {**settled.gauges, **_taken(settled.wiring, layout)}
        return Decided(
            self.seated,
            layout if layout.runs else None,
            settled,
            taken,
            rounds,
            noticed=layout.findings,
            no_way=dict(routed.answer.unroutable),
        )

    def _main_choices(self) -> list[Mapping[str, Gauge]]:
        """Return the gauges that the main leads may have, each as what is decided for the main circuits."""
        mains = [c for c in self.sizer.wiring.circuits if c.kind is CircuitKind.MAIN]
        first = next((c for c in mains if c.id == _MAIN), None)
        if first is None:
            return [{}]
        said = self.sizer.given(first)
        if said is not None and not open_leads(self.sizer.robot, first):
            return [{c.id: said for c in mains}]
        fitting = self._fitting(first)
        return [{c.id: gauge for c in mains} for gauge in fitting] or [{}]

    def _fitting(self, main: Circuit) -> list[Gauge]:
        """Return the thinnest gauge that does for the main leads, and the next ones that do."""
        try:
            sizing = self.sizer.size(main)
        except OutOfTableError:
            return []
        if sizing is None:
            return []
        if sizing.gauge is None:
            return [sizing.shown_for]
        length_m = self.sizer.length(main).value
        does = {r.gauge for r in sizing.reach if length_m is None or r.one_way_m >= length_m}
        thicker = [g for g in self.sizer.robot.stock.gauges if g in does and not g.thinner_than(sizing.gauge)]
        # Without a length nobody knows what thicker leads would save, so the thinnest stays.
        return thicker[: _MAIN_CHOICES if length_m is not None else 1] or [sizing.gauge]

    def _main_g(self, gauges: Mapping[str, Gauge]) -> float:
        """Return what the main leads weigh in copper [g] where the tool chooses their gauge; 0 where it does not."""
        grams = 0.0
        for circuit in self.sizer.wiring.circuits:
            if circuit.kind is not CircuitKind.MAIN or circuit.id not in gauges:
                continue
            for wire in circuit.wires:
                length_m = self.sizer.lengths.wire(circuit, wire, "").value
                if lead_gauge(self.sizer.robot, wire).value is None and length_m is not None:
                    grams += mass_g_per_m(gauges[circuit.id]) * length_m
        return round(grams, 3)

    def _with_feeders(self, sizer: Sizer, floors: Mapping[str, Gauge]) -> Sizer:
        """Add the gauges of what feeds something else, whose drop that shares: a sub-block, a module, a computer."""
        passing_on = {sizer.source(c) for c in sizer.wiring.circuits if c.kind in (*_FEEDING, CircuitKind.OUTPUT)}
        for kind in _FEEDING:
            gauges = {
                circuit.id: gauge
                for circuit in sizer.wiring.circuits
                if circuit.kind is kind and circuit.load in passing_on
                if (gauge := _gauge(sizer, circuit, floors)) is not None
            }
            sizer = replace(sizer, gauges={**sizer.gauges, **gauges})
        return sizer

    def _settled(self, routed: Routed, layout: Layout, sizer: Sizer, floors: Mapping[str, Gauge]) -> Sizer:
        """Give the sizer the lengths and the bundles that came of the routes."""
        lengths = replace(sizer.lengths, ways=ways_of(routed))
        beside = loaded_beside(layout)
        return self._with_feeders(replace(sizer, lengths=lengths, beside=beside), floors)


def _taken(wiring: Wiring, layout: Layout) -> dict[str, Gauge]:
    """Return the gauge that each circuit was routed with."""
    options = {route.run: route.option for route in layout.routes}
    power = {c.id for c in wiring.circuits if c.kind.carries_power}
    chosen = {run.name: run.options[options[run.name]].gauge for run in layout.runs if run.name in power}
    return {name: gauge for name, gauge in chosen.items() if gauge is not None}


def _grown(decided: Decided, floors: Mapping[str, Gauge]) -> dict[str, Gauge]:
    """Return the gauges that have to be thicker than the routes took them for."""
    grown: dict[str, Gauge] = {}
    for circuit in decided.sizer.wiring.circuits:
        held = decided.taken.get(circuit.id)
        if held is None or circuit.kind is CircuitKind.MAIN:
            continue
        needed = _gauge(decided.sizer, circuit, floors)
        if needed is not None and held.thinner_than(needed):
            grown[circuit.id] = needed
    return grown


def _gauge(sizer: Sizer, circuit: Circuit, floors: Mapping[str, Gauge]) -> Gauge | None:
    """Return the thinnest gauge that does for a circuit as it lies; what is written stays. None where nothing does."""
    settled = sizer.given(circuit)
    if settled is not None:
        return settled
    try:
        sizing = sizer.size(circuit, floor=floors.get(circuit.id))
    except OutOfTableError:
        return None
    return sizing.gauge if sizing is not None else None
