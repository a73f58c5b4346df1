"""How long a wire is: as said, as made, along its way over the trunks, or unknown."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from loomwright.layout.places import place_of
from loomwright.model.part import PortKind, Role
from loomwright.model.reason import Origin, Reasoned
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.model.device import Device
    from loomwright.model.fact import Fact
    from loomwright.model.part import Port
    from loomwright.model.robot import Robot
    from loomwright.wiring.result import Circuit, EndAt, Wire

#: Slack for strain relief and one new end, at each end of a wire [m]; common practice.
SERVICE_LOOP_M = 0.075
#: Wires are cut to whole steps [m], so that nobody measures odd millimetres; common practice.
STEP_M = 0.01
_LINK_M = 0.05
_ROUNDING = 1e-9
_NOTHING: Reasoned[float | None] = Reasoned(None, "no length and no place is known", Origin.UNKNOWN)
#: The reason of a length or a gauge that nobody wrote and that is not to be changed any more.
AS_MADE = "as made"


@dataclass(frozen=True, slots=True)
class Lengths:
    """Answers for one robot. Keys are those of wires, circuit and role.

    `ways` holds the way from terminal to terminal [m] of every wire that has one, with the slack of moving joints;
    `made` the cut length [m] of wires that are made already.
    """

    robot: Robot
    ways: Mapping[tuple[str, str], float] = field(default_factory=lambda: MappingProxyType({}))
    made: Mapping[tuple[str, str], float] = field(default_factory=lambda: MappingProxyType({}))

    def wire(self, circuit: Circuit, wire: Wire, source: str) -> Reasoned[float | None]:
        """Return the length [m] of one wire before it is cut to a step, or None with the reason.

        `source` is the device that feeds the circuit, "" where that is not known.
        """
        start = self.robot.device(wire.a.device or source)
        end = self.robot.device(wire.b.device)
        if wire.captive:
            return _lead_length(self.robot, wire)
        if circuit.kind is CircuitKind.MAIN:
            said = _battery_path(self.robot, start, end)
        elif wire.a.device == wire.b.device:
            return Reasoned(_LINK_M, "a short link on the part itself", Origin.ASSUMED, "common practice")
        else:
            said = _said(circuit, wire, end)
        if said is not None and (said.said or said.asks):
            return _from_fact(said)
        needed = self._along(circuit, wire, start, end)
        return self._as_made(wire, needed)

    def one_way(self, circuit: Circuit, source: str) -> Reasoned[float | None]:
        """Return how far the current runs out [m]: the longer of the plus and the minus wires of a circuit."""
        sums: list[tuple[float, Reasoned[float | None]]] = []
        for polarity in dict.fromkeys(wire.b.polarity for wire in circuit.wires):
            lengths = [self.wire(circuit, w, source) for w in circuit.wires if w.b.polarity is polarity]
            missing = next((length for length in lengths if length.value is None), None)
            if missing is not None:
                return missing
            sums.append((sum(length.value or 0.0 for length in lengths), lengths[0]))
        if not sums:
            return _NOTHING
        total, first = max(sums, key=lambda pair: pair[0])
        return Reasoned(total, first.reason, first.origin, first.source)

    def cut(self, length: Reasoned[float | None], *, allowance_m: float) -> float | None:
        """Return what is cut [m]: the length and what its terminals take, up to a whole step.

        A length that is written, or made, or a part's own, is cut as it is.
        """
        if length.value is None or length.origin is not Origin.COMPUTED:
            return length.value
        step_m = _or(self.robot.house.step, STEP_M)
        return round(math.ceil((length.value + allowance_m) / step_m - _ROUNDING) * step_m, 6)

    def longest_way_m(self, wire: Wire, one_way_m: float) -> float:
        """Return the longest way between two terminals [m] for a wire that may be `one_way_m` long; none below 0."""
        own_m = sum(lead_m(self.robot, at) for at in (wire.a, wire.b))
        way_m = (one_way_m - 2 * self.loop_m) / (1 + _or(self.robot.house.slack, 0.0)) + own_m
        return max(0.0, way_m) if one_way_m >= 2 * self.loop_m else 0.0

    def is_free(self, circuit: Circuit, wire: Wire) -> bool:
        """Tell whether a wire's way decides its length: nobody wrote it, and it is not made."""
        end = self.robot.device(wire.b.device)
        said = _said(circuit, wire, end)
        return not wire.captive and wire.key not in self.made and (said is None or said.open_to_decide)

    @property
    def loop_m(self) -> float:
        """The service loop at each end [m]."""
        return _or(self.robot.house.service_loop, SERVICE_LOOP_M)

    def _along(self, circuit: Circuit, wire: Wire, start: Device | None, end: Device | None) -> Reasoned[float | None]:
        if start is None or end is None:
            return Reasoned(None, "what feeds it is not known", Origin.UNKNOWN)
        way_m = self.ways.get(wire.key)
        if way_m is None:
            return _between(self.robot, start, end, self.loop_m)
        own_m = sum(lead_m(self.robot, at) for at in (wire.a, wire.b))
        rest_m = max(0.0, way_m - own_m) * (1 + _or(self.robot.house.slack, 0.0)) + 2 * self.loop_m
        less = f", less {_cm(own_m)} of the part's own leads" if own_m and circuit.kind.carries_power else ""
        reason = f"along its way on the plate{less}, with a service loop at both ends"
        return Reasoned(round(rest_m, 6), reason, Origin.COMPUTED, "common practice")

    def _as_made(self, wire: Wire, needed: Reasoned[float | None]) -> Reasoned[float | None]:
        """Keep the length of a wire that is made, as long as it reaches with one service loop left."""
        made_m = self.made.get(wire.key)
        if made_m is None or (needed.value is not None and needed.value > made_m + self.loop_m):
            return needed
        return Reasoned(made_m, AS_MADE, Origin.GIVEN, "plan.yaml")


def lead_m(robot: Robot, end: EndAt) -> float:
    """Return how long the lead is [m] that a part brings along at an end; 0 where it brings none."""
    port = _port(robot, end)
    return (port.lead_length_m or 0.0) if port is not None and port.kind is PortKind.LEAD else 0.0


def _said(circuit: Circuit, wire: Wire, end: Device | None) -> Fact[float] | None:
    """Return what the file says of this wire's length, if it is about this wire at all.

    A length belongs to the wires that bring a thing its power, and to its signal wires if it takes none; else those
    have a length of their own.
    """
    if end is None or wire.b.device != circuit.load or circuit.kind in (CircuitKind.BUS, CircuitKind.NETWORK):
        return None
    if circuit.kind is CircuitKind.SIGNAL and end.part.first(Role.SUPPLY) is not None:
        return end.wishes.signal_length
    return end.wishes.length


def _battery_path(robot: Robot, start: Device | None, end: Device | None) -> Fact[float] | None:
    """Return the said length of a wire of the battery path.

    The battery's leads reach to its plug, the breaker's lead comes from the plug, the block's from the
    breaker; the minus wire from plug to block lies beside the last two.
    """
    if start is None or end is None:
        return None
    if start.kind == "battery":
        return start.wishes.length
    breaker = robot.device("main breaker")
    if breaker is None or breaker in (start, end) or not (breaker.wishes.length.said and end.wishes.length.said):
        return end.wishes.length
    beside = max(breaker.wishes.length.values)
    return end.wishes.length.map(lambda length_m: length_m + beside)


def _from_fact(fact: Fact[float]) -> Reasoned[float | None]:
    where = str(fact.mark or "")
    if fact.asks:
        return Reasoned(None, f"its length is {fact.describe(_cm)}", Origin.UNKNOWN, where)
    longest = max(fact.values)
    state = f" ({fact.state})" if fact.state is not None and str(fact.state) != "planned" else ""
    return Reasoned(longest, f"given{state}", Origin.GIVEN, where)


def _or(fact: Fact[float], default: float) -> float:
    """Return what is said, of several claims the one that asks for more wire."""
    return max(fact.values, default=default)


def _cm(length_m: float) -> str:
    return show(length_m, Dimension.LENGTH)


def _lead_length(robot: Robot, wire: Wire) -> Reasoned[float | None]:
    """Add up the leads that the parts at both ends bring along."""
    total = 0.0
    source = ""
    for end in (wire.a, wire.b):
        port = _port(robot, end)
        if port is not None and port.kind is PortKind.LEAD:
            if port.lead_length_m is None:
                return Reasoned(None, "the part does not say how long its own leads are", Origin.UNKNOWN)
            total += port.lead_length_m
            source = port.source
    return Reasoned(total, "the part's own leads", Origin.CATALOGUE, source)


def _port(robot: Robot, end: EndAt) -> Port | None:
    device = robot.device(end.device)
    socket = device.part.socket(end.socket) if device else None
    return socket.port(end.polarity) if socket else None


def _between(robot: Robot, start: Device, end: Device, loop_m: float) -> Reasoned[float | None]:
    """Measure along the plate's edges between two places, up and down too: a wire that takes no trunk."""
    one, other = place_of(robot, start), place_of(robot, end)
    if one is None or other is None:
        missing = start if one is None else end
        return Reasoned(None, f"{missing.called} has no place, and no length is given", Origin.UNKNOWN)
    run = sum(abs(a - b) for a, b in zip(one, other, strict=True))
    reason = "along the plate from place to place, with a service loop at both ends"
    return Reasoned(round(run + 2 * loop_m, 6), reason, Origin.COMPUTED, "common practice")
