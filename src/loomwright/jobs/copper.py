"""The ways to make each lane: gauges that do, what they weigh, and how far each may go."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.catalogue.conductor import diameter_mm, mass_g_per_m
from loomwright.catalogue.wire_diameter import outside_diameter_mm
from loomwright.jobs.wire_gauges import wire_gauge
from loomwright.layout.result import Copper
from loomwright.model.part import Polarity
from loomwright.sizing import OutOfTableError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from loomwright.jobs.sizer import Sizer
    from loomwright.layout.lanes import Lane
    from loomwright.units import Gauge
    from loomwright.wiring.result import Circuit

#: A network cable: four pairs of 24 AWG in a jacket; common practice.
_CABLE_MM, _CABLE_G_PER_M = 6.0, 15.0
#: Where the table of wires ends, the insulation is taken as this much on each side of the copper [mm].
_WALL_MM = 0.8
_MOST_OPTIONS = 3
_ANY = float("inf")


@dataclass(frozen=True, slots=True)
class Options:
    """Gives the ways to make a lane. `sizers` has one for each choice of the main leads, the thinnest first.

    `floors` holds the thinnest gauge that earlier rounds leave for a circuit: a gauge only ever grows. `known` holds
    the gauges of lanes that are decided: there is no other way then.
    """

    sizers: Sequence[Sizer]
    floors: Mapping[str, Gauge]
    known: Mapping[str, Gauge | None]

    def of(self, lane: Lane) -> tuple[Copper, ...]:
        """Return the ways to make a lane, the thinnest first; nothing where its current is not known."""
        sizer = self.sizers[0]
        circuit = sizer.wiring.circuit(lane.circuit)
        if circuit is None:
            return ()
        if not lane.power or all(wire.captive or wire.a.polarity is Polarity.CABLE for wire in lane.wires):
            return (self._copper(circuit, lane, None, (_ANY,) * len(self.sizers)),)
        if (decided := self.known.get(lane.name)) is not None:
            return (self._copper(circuit, lane, decided, (_ANY,) * len(self.sizers)),)
        return tuple(self._by_gauge(circuit, lane))

    def _by_gauge(self, circuit: Circuit, lane: Lane) -> Iterator[Copper]:
        reaches = [self._reach(sizer, circuit) for sizer in self.sizers]
        gauges = [g for g in reaches[0] if all(g in reach for reach in reaches)][:_MOST_OPTIONS]
        lengths = self.sizers[0].lengths
        first = lane.wires[0]
        for gauge in gauges:
            # Where nothing reaches, the thickest goes any way: the drop is then told, and the wire is drawn.
            any_way = gauge == gauges[-1] or not lengths.is_free(circuit, first)
            ways = tuple(_ANY if any_way else lengths.longest_way_m(first, reach[gauge]) for reach in reaches)
            yield self._copper(circuit, lane, gauge, ways)

    def _reach(self, sizer: Sizer, circuit: Circuit) -> dict[Gauge, float]:
        """Return how long a circuit may be one way [m], by each gauge that does everything else, the thinnest first."""
        given = sizer.given(circuit)
        try:
            sizing = sizer.size(circuit, given=given, floor=self.floors.get(circuit.id), anywhere=True)
        except OutOfTableError:
            return {} if given is None else {given: _ANY}
        if sizing is None:
            return {}
        found = {reach.gauge: reach.one_way_m for reach in sizing.reach}
        return found or {given or sizing.shown_for: _ANY}

    def _copper(self, circuit: Circuit, lane: Lane, gauge: Gauge | None, longest_m: tuple[float, ...]) -> Copper:
        sizer = self.sizers[0]
        choice = sizer.choices.get(circuit.id)
        slot = choice.slot if choice is not None else ""
        gauges = [
            None
            if wire.a.polarity is Polarity.CABLE
            else wire_gauge(
                sizer.robot, sizer.rules, circuit, wire, decided=gauge, source=sizer.source(circuit), slot=slot
            )
            for wire in lane.wires
        ]
        mass = sum(_CABLE_G_PER_M if g is None else mass_g_per_m(g) for g in gauges)
        return Copper(gauge, round(mass, 3), tuple(_over_insulation_mm(g) for g in gauges), longest_m)


def _over_insulation_mm(gauge: Gauge | None) -> float:
    """Return the outside diameter of a wire [mm], that of a network cable for None."""
    if gauge is None:
        return _CABLE_MM
    return outside_diameter_mm(gauge) or diameter_mm(gauge) + 2 * _WALL_MM
