"""Feeds: which sources could power each thing, and the pair of wires (or the cable) that does."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.model.fact import Fact
from loomwright.model.part import Polarity, PortKind, Role
from loomwright.wiring.ask import question
from loomwright.wiring.battery_path import top_blocks
from loomwright.wiring.result import Circuit, CircuitKind, EndAt, Wire
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.part import Part, Socket
    from loomwright.model.robot import Robot

NOMINAL_V = 12.0
_PATH_KINDS = ("battery", "plug", "breaker")
_PER_CHANNEL = ("valve",)


def feed_circuits(robot: Robot, questions: list[Finding]) -> Iterator[Circuit]:
    """Give one circuit for each supply that a thing takes, sub-blocks and regulators first."""
    on_path = {block.id for block in top_blocks(robot)}
    fed = [d for d in robot if d.kind not in _PATH_KINDS and d.id not in on_path]
    order = {"block": 0, "regulator": 1}
    for device in sorted(fed, key=lambda d: order.get(d.kind, 2)):
        for count, socket in enumerate(_supplies(device)):
            yield _feed(robot, device, socket, count, questions)


def _supplies(device: Device) -> list[Socket]:
    """Return the supply sockets that want a feed: of two ways in, wires are used unless the cable is said."""
    supplies = list(device.part.with_role(Role.SUPPLY))
    both_ways = len({_is_cable(s) for s in supplies}) > 1
    over_cable = device.feed.over.value == "network cable"
    return [s for s in supplies if not both_ways or _is_cable(s) == over_cable]


def _is_cable(socket: Socket) -> bool:
    return any(port.kind is PortKind.SOCKET for port in socket.ports)


def _feed(robot: Robot, device: Device, socket: Socket, count: int, questions: list[Finding]) -> Circuit:
    name = device.called if count == 0 else f"{device.called}: {socket.name}"
    sources = _sources(robot, device, socket, questions)
    kind = _kind(device, sources)
    wanted, why, exact = _protection(robot, device)
    return Circuit(
        id=name,
        kind=kind,
        load=device.id,
        load_socket=socket.name,
        sources=tuple(source.id for source in sources),
        wires=tuple(_wires(name, kind, device, socket)),
        mark=device.mark,
        path=device.path,
        slot=_pin(device, socket, count),
        group=device.feed.group.value or (_group(robot, device) if kind is not CircuitKind.OUTPUT else ""),
        wanted_a=wanted,
        wanted_source=why,
        exact_protection=exact,
    )


def _kind(device: Device, sources: list[Device]) -> CircuitKind:
    if device.kind == "block":
        return CircuitKind.FEEDER
    if sources and all(source.kind == "block" for source in sources):
        return CircuitKind.BRANCH
    return CircuitKind.OUTPUT if sources else CircuitKind.BRANCH


def _sources(robot: Robot, device: Device, socket: Socket, questions: list[Finding]) -> list[Device]:
    """Return the devices that could feed this supply; one where the file says so."""
    said = device.feed.source if not device.module.said else device.module
    if said.asks:
        return []
    if said.said:
        named = [d for value in said.values for d in robot.called(value)]
        return [d for d in named if _outlets(d, socket)] or named[:1]
    for kind in device.part.fed_by:
        found = [d for d in robot.of_kind(kind) if d.id != device.id and _outlets(d, socket)]
        found = [d for d in found if not hangs_on(robot, d, device)]
        if found:
            # The fewer joints lie between a thing and the battery, the better: sub-blocks come last.
            on_path = top_blocks(robot)
            return sorted(found, key=lambda d: (d not in on_path, natural(d.id)))
    questions.append(
        question(
            "no-source",
            device.mark,
            device.path,
            f"Nothing on this robot can feed {device.called}: it wants {_wish(device.part, socket)}.",
            "Name what feeds it with `from:`, or add what is missing.",
        )
    )
    return []


def hangs_on(robot: Robot, device: Device, other: Device) -> bool:
    """Tell whether a device gets its power, directly or through others, from another one."""
    seen: set[str] = set()
    while device.id not in seen:
        seen.add(device.id)
        if device.id == other.id:
            return True
        above = robot.called(device.feed.source.value or "")
        if not above:
            return False
        device = above[0]
    return False


def _outlets(device: Device, socket: Socket) -> list[Socket]:
    return [outlet for outlet in device.part.with_role(Role.OUTLET) if fits(outlet, socket)]


def fits(outlet: Socket, supply: Socket) -> bool:
    """Tell whether a supply can be put on an outlet: same use, same voltage, wires on wires."""
    same_volts = (outlet.volts or NOMINAL_V) == (supply.volts or NOMINAL_V)
    return outlet.use == supply.use and same_volts and _is_cable(outlet) == _is_cable(supply)


def _wish(part: Part, socket: Socket) -> str:
    use = f"an outlet for a {socket.use}" if socket.use else f"{socket.volts or NOMINAL_V:g} V"
    over = " over a network cable" if _is_cable(socket) else ""
    return f"{use}{over} from a {' or '.join(part.fed_by)}"


def _pin(device: Device, socket: Socket, count: int) -> Fact[str]:
    """Return the pinned outlet: the slot as written, or the module's channel of this coil, lamp or whatever it is."""
    channels = device.channels.value
    if socket.use in ("", *_PER_CHANNEL) and channels is not None and count < len(channels):
        return device.channels.map(lambda _: f"{_PER_CHANNEL[0]} {channels[count]}")
    return device.feed.slot


def _group(robot: Robot, device: Device) -> str:
    """Return the group of slots that a thing belongs on; a drive never slips onto a small fused output unasked."""
    motor = next((m for m in robot if m.driven_by == device.id), None)
    wishes = [d.part.wants_group for d in (device, motor) if d is not None]
    return next((group for group in wishes if group), "heavy" if device.mechanism else "")


def _protection(robot: Robot, device: Device) -> tuple[tuple[float, ...], str, bool]:
    """Return the ratings wanted, best first: said, else the motor's wish within what the controller bears."""
    if device.wishes.protection.said:
        return device.wishes.protection.values, str(device.wishes.protection.mark), True
    wanted, why = device.part.wants_protection_a, device.part.wants_protection_source
    motor = next((m for m in robot if m.driven_by == device.id), None)
    if motor is not None and motor.part.wants_protection_a:
        most = max(wanted, default=max(motor.part.wants_protection_a))
        borne = tuple(rating for rating in motor.part.wants_protection_a if rating <= most)
        return borne or wanted, motor.part.wants_protection_source or why, False
    return wanted, why, device.part.required_protection


def _wires(name: str, kind: CircuitKind, device: Device, socket: Socket) -> Iterator[Wire]:
    captive = _leads_reach(device, socket)
    for polarity in (Polarity.PLUS, Polarity.MINUS, Polarity.CABLE):
        if socket.port(polarity) is not None:
            there = EndAt(device.id, socket.name, polarity)
            yield Wire(name, str(polarity), kind, EndAt("", "", polarity), there, captive=captive)


def _leads_reach(device: Device, socket: Socket) -> bool:
    """Tell whether the thing's own leads go straight to the slot: it is said, or they are long enough."""
    leads = [port for port in socket.ports if port.kind is PortKind.LEAD]
    if not leads or len(leads) != len(socket.ports):
        return False
    if device.wishes.joint.said:
        return device.wishes.joint.value == "none"
    length = device.wishes.length.value
    shortest = min(port.lead_length_m or 0.0 for port in leads)
    return length is not None and length <= shortest
