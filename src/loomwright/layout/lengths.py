"""How long a wire is: as said, or along the plate from place to place, or unknown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.model.part import PortKind, Role
from loomwright.model.reason import Origin, Reasoned
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from loomwright.model.device import Device
    from loomwright.model.fact import Fact
    from loomwright.model.robot import Robot
    from loomwright.wiring.result import Circuit, Wire

#: Slack for strain relief and one new end, at each end of a wire [m]; common practice.
SERVICE_LOOP_M = 0.075
_LINK_M = 0.05
_NOTHING: Reasoned[float | None] = Reasoned(None, "no length and no place is known", Origin.UNKNOWN)


def wire_length(robot: Robot, circuit: Circuit, wire: Wire, source: str) -> Reasoned[float | None]:
    """Return the length [m] of one wire, or None with the reason.

    `source` is the device that feeds the circuit, "" where that is not known.
    """
    start = robot.device(wire.a.device or source)
    end = robot.device(wire.b.device)
    if wire.captive:
        return _lead_length(robot, wire)
    if circuit.kind is CircuitKind.MAIN:
        said = _battery_path(robot, start, end)
    elif wire.a.device == wire.b.device:
        return Reasoned(_LINK_M, "a short link on the part itself", Origin.ASSUMED, "common practice")
    else:
        said = _said(circuit, wire, end)
    if said is not None and (said.said or said.asks):
        return _from_fact(said)
    if start is None or end is None:
        return Reasoned(None, "what feeds it is not known", Origin.UNKNOWN)
    return _between(robot, start, end)


def one_way(robot: Robot, circuit: Circuit, source: str) -> Reasoned[float | None]:
    """Return how far the current runs out [m]: the longer of the plus and the minus wires of a circuit."""
    sums: list[tuple[float, Reasoned[float | None]]] = []
    for polarity in dict.fromkeys(wire.b.polarity for wire in circuit.wires):
        lengths = [wire_length(robot, circuit, w, source) for w in circuit.wires if w.b.polarity is polarity]
        missing = next((length for length in lengths if length.value is None), None)
        if missing is not None:
            return missing
        sums.append((sum(length.value or 0.0 for length in lengths), lengths[0]))
    if not sums:
        return _NOTHING
    total, first = max(sums, key=lambda pair: pair[0])
    return Reasoned(total, first.reason, first.origin, first.source)


def _said(circuit: Circuit, wire: Wire, end: Device | None) -> Fact[float] | None:
    """Return what the file says of this wire's length, if it is about this wire at all.

    A length belongs to the wires that bring a thing its power; to its signal wires only if it takes none.
    """
    if end is None or wire.b.device != circuit.load or circuit.kind in (CircuitKind.BUS, CircuitKind.NETWORK):
        return None
    if circuit.kind is CircuitKind.SIGNAL and end.part.first(Role.SUPPLY) is not None:
        return None
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


def _cm(length_m: float) -> str:
    return show(length_m, Dimension.LENGTH)


def _lead_length(robot: Robot, wire: Wire) -> Reasoned[float | None]:
    """Add up the leads that the parts at both ends bring along."""
    total = 0.0
    source = ""
    for end in (wire.a, wire.b):
        device = robot.device(end.device)
        socket = device.part.socket(end.socket) if device else None
        port = socket.port(end.polarity) if socket else None
        if port is not None and port.kind is PortKind.LEAD:
            if port.lead_length_m is None:
                return Reasoned(None, "the part does not say how long its own leads are", Origin.UNKNOWN)
            total += port.lead_length_m
            source = port.source
    return Reasoned(total, "the part's own leads", Origin.CATALOGUE, source)


def _between(robot: Robot, start: Device, end: Device) -> Reasoned[float | None]:
    """Measure along the plate's edges between two places, up and down too, with a service loop at both ends."""
    one, other = _place(robot, start), _place(robot, end)
    if one is None or other is None:
        missing = start if one is None else end
        return Reasoned(None, f"{missing.called} has no place, and no length is given", Origin.UNKNOWN)
    run = sum(abs(a - b) for a, b in zip(one, other, strict=True))
    reason = "along the plate from place to place with a service loop at both ends, until trunks are routed"
    return Reasoned(round(run + 2 * SERVICE_LOOP_M, 3), reason, Origin.COMPUTED, "common practice")


def _place(robot: Robot, device: Device) -> tuple[float, float, float] | None:
    if device.kind == "plug" and device.spot.at.value is None:
        battery = robot.device("battery")
        device = battery if battery is not None else device
    at = device.spot.at.value
    return None if at is None else (at[0], at[1], device.spot.height.value or 0.0)
