"""Data lines: bus chains hop by hop, and network cables."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.model.part import Polarity, Role
from loomwright.wiring.ask import question
from loomwright.wiring.result import Circuit, CircuitKind, EndAt, Wire
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.part import Socket
    from loomwright.model.robot import Bus, Robot

_PAIR = (Polarity.BUS_HIGH, Polarity.BUS_LOW)


def bus_circuits(robot: Robot, questions: list[Finding]) -> Iterator[Circuit]:
    """Give one circuit for each hop of each chain whose order is known."""
    free = {d.id: [s for s in d.part.sockets if s.role in (Role.BUS_IN, Role.BUS_OUT)] for d in robot}
    for bus in sorted(robot.buses, key=lambda bus: natural(bus.name)):
        if bus.kind != "bus" or bus.order.value is None:
            continue
        chain = [d for name in bus.order.value if (d := robot.device(name)) and not d.absent]
        for one, other in pairwise(chain):
            out, inlet = _take(free[one.id], Role.BUS_OUT), _take(free[other.id], Role.BUS_IN)
            if out is None or inlet is None:
                full = other if inlet is None else one
                if not full.part.family:
                    questions.append(_full(bus, full))
                continue
            name = f"{bus.name}: {one.called} to {other.called}"
            yield Circuit(
                id=name,
                kind=CircuitKind.BUS,
                load=other.id,
                load_socket=inlet.name,
                sources=(one.id,),
                wires=tuple(_pair(name, one, other, out, inlet)),
                mark=bus.mark,
                path=bus.path,
            )


def _take(free: list[Socket], role: Role) -> Socket | None:
    """Take a bus socket of a device, the one of this role if it is still free."""
    best = next((socket for socket in free if socket.role is role), free[0] if free else None)
    if best is not None:
        free.remove(best)
    return best


def _pair(name: str, one: Device, other: Device, out: Socket, inlet: Socket) -> Iterator[Wire]:
    for line, twin in (_PAIR, _PAIR[::-1]):
        if out.port(line) is not None and inlet.port(line) is not None:
            a, b = EndAt(one.id, out.name, line), EndAt(other.id, inlet.name, line)
            yield Wire(name, str(line), CircuitKind.BUS, a, b, twisted_with=str(twin))


def _full(bus: Bus, device: Device) -> Finding:
    return question(
        "chain-through-an-end",
        bus.order.mark or bus.mark,
        bus.path,
        f"{bus.name} runs through {device.called}, which has no second bus port.",
        f"Put {device.called} at an end of the chain, or write how its two wires are joined in a `note`.",
    )


def network_circuits(robot: Robot, questions: list[Finding]) -> Iterator[Circuit]:
    """Give one circuit for each network cable; a cable that also carries power is told by its feed."""
    used: dict[str, int] = {}
    for bus in sorted(robot.buses, key=lambda bus: natural(bus.name)):
        for one_name, other_name in bus.links:
            one, other = robot.device(one_name), robot.device(other_name)
            if one is None or other is None or one.absent or other.absent:
                continue
            sockets = [_network_socket(device, used) for device in (one, other)]
            if sockets[0] is None or sockets[1] is None:
                questions.append(_no_socket(bus, one if sockets[0] is None else other))
                continue
            name = f"{bus.name}: {one.called} to {other.called}"
            a, b = (EndAt(d.id, s.name, Polarity.CABLE) for d, s in zip((one, other), sockets, strict=True) if s)
            yield Circuit(
                id=name,
                kind=CircuitKind.NETWORK,
                load=other.id,
                load_socket=sockets[1].name,
                sources=(one.id,),
                wires=(Wire(name, "cable", CircuitKind.NETWORK, a, b),),
                mark=bus.mark,
                path=bus.path,
            )


def _network_socket(device: Device, used: dict[str, int]) -> Socket | None:
    sockets = list(device.part.with_role(Role.NETWORK))
    count = used.get(device.id, 0)
    used[device.id] = count + 1
    return sockets[count] if count < len(sockets) else None


def _no_socket(bus: Bus, device: Device) -> Finding:
    return question(
        "no-network-socket",
        bus.mark,
        bus.path,
        f"{bus.name}: {device.called} has no free network socket.",
        "Add a network switch to the robot, or take this link out.",
    )
