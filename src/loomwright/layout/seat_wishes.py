"""What a robot asks of its slots beyond what fits: neighbours, sides, and what people wrote."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.layout.slot_problem import Wish

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from loomwright.layout.slot_problem import Item, Spot
    from loomwright.model.device import Device
    from loomwright.model.robot import Mechanism, Robot
    from loomwright.units.gauge import Gauge
    from loomwright.wiring.result import Circuit

_DRIVES = ("drive", "drive side", "steered module")
_SIDE = "drive side"
#: What breaking a wish counts. What was written for one thing weighs more than a slot kept free.
RESERVED, GROUP, GAUGE = 3, 4, 6
#: What standing on a slot of another group counts: the drive first, then what lifts, then the rest.
_OFF_GROUP = {"drive": 4, "drive side": 4, "steered module": 4, "lift": 3, "climber": 3, "arm": 3}
_OFF_GROUP_REST = 2
_PAIR = 2


def off_group_breaks(robot: Robot, load: Device) -> int:
    """Return what it counts when this load stands on a slot of another group than its own."""
    mechanism = _mechanism(robot, load)
    kind = (mechanism.kind.value if mechanism is not None else None) or ""
    return _OFF_GROUP.get(kind, _OFF_GROUP_REST)


def pairs_of(robot: Robot, circuits: Sequence[Circuit]) -> Iterator[tuple[str, str]]:
    """Give the circuits that belong next to each other: a motor and its follower, the two motors of a mechanism."""
    by_called = {_called(robot, circuit): circuit.id for circuit in circuits}
    told: set[frozenset[str]] = set()
    for one, other in (*_followers(robot), *_twos(robot)):
        pair = frozenset(by_called[name] for name in (one, other) if name in by_called)
        if len(pair) == _PAIR and pair not in told:
            told.add(pair)
            yield (by_called[one], by_called[other])


def _called(robot: Robot, circuit: Circuit) -> str:
    load = robot.device(circuit.load)
    return load.called if load is not None else circuit.load


def _followers(robot: Robot) -> Iterator[tuple[str, str]]:
    for device in robot:
        leader = device.follows.value
        if leader is not None:
            yield leader, device.called


def _twos(robot: Robot) -> Iterator[tuple[str, str]]:
    for mechanism in robot.mechanisms:
        motors = list(dict.fromkeys(d.called for d in robot if d.mechanism == mechanism.name and d.kind != "block"))
        if len(motors) == _PAIR:
            yield motors[0], motors[1]


def sides_of(robot: Robot, circuits: Sequence[Circuit]) -> tuple[tuple[str, ...], ...]:
    """Return the circuits of each side of the drive: its drive sides, or what stands left and right of the middle."""
    sides: dict[str, list[str]] = {}
    for circuit in circuits:
        load = robot.device(circuit.load)
        mechanism = _mechanism(robot, load) if load is not None else None
        if load is None or mechanism is None or mechanism.kind.value not in _DRIVES:
            continue
        side = mechanism.name if mechanism.kind.value == _SIDE else _half(robot, load)
        if side:
            sides.setdefault(side, []).append(circuit.id)
    return tuple(tuple(names) for _, names in sorted(sides.items())) if len(sides) > 1 else ()


def _half(robot: Robot, load: Device) -> str:
    placed = [at[0] for device in robot if (at := device.spot.at.value) is not None]
    here = load.spot.at.value
    if here is None or not placed:
        return ""
    return "left" if here[0] < (min(placed) + max(placed)) / 2 else "right"


def _mechanism(robot: Robot, load: Device) -> Mechanism | None:
    return next((m for m in robot.mechanisms if m.name == load.mechanism), None)


def wishes_of(
    robot: Robot, items: Sequence[Item], circuits: Mapping[str, Circuit], groups: Mapping[Spot, str]
) -> Iterator[Wish]:
    """Give what people wrote: slots kept free, groups of slots, gauges that not every slot takes."""
    for device in robot:
        for slot in device.reserved:
            if (device.id, slot) in groups:
                yield Wish(key=f"reserved {device.id} {slot}", item="", spots=((device.id, slot),), weight=RESERVED)
    for item in items:
        load = robot.device(circuits[item.name].load)
        spots = tuple(option.spot for option in item.options)
        if load is None:
            continue
        said = load.feed.group.value
        wanted = tuple(spot for spot in spots if groups.get(spot) == said)
        if said and wanted and len(wanted) < len(spots):
            yield Wish(key=f"group {item.name}", item=item.name, spots=wanted, weight=GROUP)
        gauge = load.wishes.gauge.value
        taking = () if gauge is None else tuple(spot for spot in spots if _takes(robot, spot, gauge))
        if taking and len(taking) < len(spots):
            yield Wish(key=f"gauge {item.name}", item=item.name, spots=taking, weight=GAUGE)


def _takes(robot: Robot, spot: Spot, gauge: Gauge) -> bool:
    device = robot.device(spot[0])
    socket = device.part.socket(spot[1]) if device is not None else None
    return socket is not None and all(port.takes(gauge) for port in socket.ports)
