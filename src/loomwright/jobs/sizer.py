"""Size the wires of one robot: the same question for every circuit, with what lies before it taken into account."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.jobs.leads import lead_gauge
from loomwright.jobs.requests import conductor_c, given_gauge, sizing_request, steady_v
from loomwright.layout.lengths import lead_m
from loomwright.model.part import PortKind
from loomwright.model.reason import Origin, Reasoned
from loomwright.sizing import size, wire_ohm_per_m
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from loomwright.jobs.guards import Guards
    from loomwright.layout import Choice, Lengths
    from loomwright.model.robot import Robot
    from loomwright.model.rules import RuleBook
    from loomwright.sizing import Request, Sizing
    from loomwright.sizing.demand import Demand
    from loomwright.units import Gauge
    from loomwright.wiring.result import Circuit, Wire, Wiring

_BASIS = "copper"
_FED = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
_NO_CURRENT: Reasoned[float | None] = Reasoned(None, "a data line carries no load", Origin.CATALOGUE)


@dataclass(frozen=True, slots=True)
class Sizer:
    """Answers for one robot whose slots are chosen.

    `gauges` are those decided so far, by circuit: of what feeds something that feeds others, which share its drop.
    `beside` counts the loaded wires that lie together with a circuit's own in the fullest bundle on its way. `made`
    holds the gauges of circuits whose wires are made: they are judged as they are.
    """

    robot: Robot
    rules: RuleBook
    wiring: Wiring
    choices: Mapping[str, Choice]
    demand: Demand
    guards: Guards
    lengths: Lengths
    gauges: Mapping[str, Gauge]
    beside: Mapping[str, int]
    made: Mapping[str, Gauge] = field(default_factory=lambda: MappingProxyType({}))

    def given(self, circuit: Circuit) -> Gauge | None:
        """Return the gauge that is settled: as the file says, or as it is made; None where the tool chooses."""
        return given_gauge(self.robot, circuit).value or self.made.get(circuit.id)

    def source(self, circuit: Circuit) -> str:
        """Return the device that feeds a circuit, "" where that is not known."""
        choice = self.choices.get(circuit.id)
        if choice is not None and choice.device:
            return choice.device
        return circuit.sources[0] if circuit.kind not in _FED and circuit.sources else ""

    def held(self, circuit: Circuit) -> Reasoned[float | None]:
        """Return the current [A] that the drop is judged at."""
        return self.demand.held(circuit) if circuit.kind.carries_power else _NO_CURRENT

    def sustained(self, circuit: Circuit) -> Reasoned[float | None]:
        """Return the current [A] that heats the wire for long."""
        return self.demand.sustained(circuit) if circuit.kind.carries_power else _NO_CURRENT

    def length(self, circuit: Circuit) -> Reasoned[float | None]:
        """Return how far the current runs out [m], None where that is not known."""
        return self.lengths.one_way(circuit, self.source(circuit))

    def size(
        self, circuit: Circuit, *, given: Gauge | None = None, floor: Gauge | None = None, anywhere: bool = False
    ) -> Sizing | None:
        """Size a circuit; None where its current is not known. With `anywhere` its length is left open.

        `given` is judged alone; `floor` is the thinnest gauge that earlier decisions leave.

        Raises
        ------
        OutOfTableError
            Where the tables have no answer.
        """
        request = self.request(circuit, given=given)
        if request is None:
            return None
        return size(replace(request, floor=floor, one_way_m=None if anywhere else request.one_way_m))

    def request(self, circuit: Circuit, *, given: Gauge | None = None) -> Request | None:
        """Return what is asked of a circuit's wires; None where its current is not known."""
        held, sustained, source = self.held(circuit), self.sustained(circuit), self.source(circuit)
        if held.value is None:
            return None
        choice = self.choices.get(circuit.id)
        return sizing_request(
            self.robot,
            self.rules,
            circuit,
            source=source,
            slot=choice.slot if choice is not None else "",
            guard=self.guards.of(circuit),
            current_a=held.value,
            sustained_a=held.value if sustained.value is None else sustained.value,
            one_way_m=self.length(circuit).value,
            given=given,
            leads_ohm=self._own_leads_ohm(circuit),
            before_v=self.before_v(circuit),
            bundle_wires=self.beside.get(circuit.id),
        )

    def before_v(self, circuit: Circuit) -> float | None:
        """Return what is lost before a circuit begins [V], while the rest of the robot runs as it does for long.

        None where it does not begin at the battery: on an output that keeps its own voltage, or behind a motor's
        controller. Leads of unknown length count as nothing.
        """
        source = self.robot.device(self.source(circuit))
        choice = self.choices.get(circuit.id)
        if circuit.kind is CircuitKind.MAIN:
            return 0.0
        if circuit.kind not in _FED or source is None:
            return None
        if choice is not None and steady_v(self.robot, choice.device, choice.slot) is not None:
            return None
        feed = next((c for c in self.wiring.circuits if c.load == source.id and self._feeds(c)), None)
        return 0.0 if feed is None else (self.before_v(feed) or 0.0) + self._lost_v(feed)

    def _feeds(self, circuit: Circuit) -> bool:
        return circuit.kind in (CircuitKind.MAIN, *_FED)

    def _lost_v(self, feed: Circuit) -> float:
        current_a = self.sustained(feed).value
        ohm = sum(self._ohm(feed, wire) for wire in self._all_leads(feed))
        return ohm * (current_a or 0.0)

    def _all_leads(self, feed: Circuit) -> Iterable[Wire]:
        """Give the wires that a feed's current runs through; a second block shares the first one's battery leads."""
        first = self.wiring.circuit("main")
        if feed.kind is not CircuitKind.MAIN or first is None or feed.id == first.id:
            return feed.wires
        return (*(wire for wire in first.wires if wire.b.device != first.load), *feed.wires)

    def _ohm(self, feed: Circuit, wire: Wire) -> float:
        said = lead_gauge(self.robot, wire).value if feed.kind is CircuitKind.MAIN else None
        gauge = said or self.gauges.get(feed.id)
        length_m = self.lengths.wire(feed, wire, self.source(feed)).value
        if gauge is None or length_m is None:
            return 0.0
        return length_m * (wire_ohm_per_m(_BASIS, gauge, conductor_c=conductor_c(self.robot)) or 0.0)

    def _own_leads_ohm(self, circuit: Circuit) -> float:
        """Return what the leads that parts bring along add [ohm], out and back, where wire is joined to them."""
        if circuit.kind is CircuitKind.MAIN:
            return 0.0
        return sum(
            lead_m(self.robot, end) * (wire_ohm_per_m(_BASIS, gauge, conductor_c=conductor_c(self.robot)) or 0.0)
            for wire in circuit.wires
            if not wire.captive
            for end in (wire.a, wire.b)
            if (gauge := self._lead_gauge(end.device, end.socket)) is not None
        )

    def _lead_gauge(self, device_id: str, socket_name: str) -> Gauge | None:
        device = self.robot.device(device_id)
        socket = device.part.socket(socket_name) if device is not None else None
        leads = [p.lead_gauge for p in socket.ports if p.kind is PortKind.LEAD and p.lead_gauge] if socket else []
        return max(leads, key=lambda gauge: gauge.number, default=None)
