"""Signal and pulse lines: sensors, switches, servos and pulse-driven controllers on their ports."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.model.part import Role
from loomwright.wiring.ask import question
from loomwright.wiring.result import Circuit, CircuitKind, EndAt, Wire
from loomwright.wording import listed, natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.part import Socket
    from loomwright.model.robot import Robot

_SIGNALS = {Role.SIGNAL_IN: Role.SIGNAL_OUT, Role.SIGNAL_OUT: Role.SIGNAL_IN}


def signal_circuits(robot: Robot, questions: list[Finding]) -> Iterator[Circuit]:
    """Give one circuit for each signal socket of a thing that is hooked up to a port elsewhere.

    One output may drive two controllers: both circuits then start at the same socket.
    """
    plugged: dict[tuple[str, str], list[Device]] = {}
    for device in robot:
        yield from _jumper(device)
        named = device.hookup.sockets.value
        own = [s for s in device.part.sockets if s.role in _SIGNALS]
        if named is None:
            # A part that does nothing but give a signal has to say where it goes.
            if device.kind in ("sensor", "switch", "servo") and own and not _asked_elsewhere(device):
                questions.append(_where(device))
            continue
        host_said = device.hookup.on if device.hookup.on.said else device.module
        hosts = [d for value in host_said.values for d in robot.called(value)] or _default_hosts(robot, device, named)
        for number, port in enumerate(named):
            for circuit in _hook(device, own, hosts, port, number, questions):
                yield circuit
                plugged.setdefault((circuit.sources[0], circuit.wires[0].a.socket), []).append(device)
    for (host, port), things in plugged.items():
        there = robot.device(host)
        socket = there.part.socket(port) if there is not None else None
        if socket is not None and socket.role is Role.SIGNAL_IN and len(things) > 1:
            questions.append(_two_on_one(host, port, things))


def _jumper(device: Device) -> Iterator[Circuit]:
    """Give the link between the two terminals that a part's jumper joins."""
    if device.part.jumper is None:
        return
    one, other = (device.part.socket(name) for name in device.part.jumper)
    if one is None or other is None:
        return
    name = f"{device.called}: jumper"
    a, b = (EndAt(device.id, socket.name, socket.ports[0].polarity) for socket in (one, other))
    yield Circuit(
        id=name,
        kind=CircuitKind.SIGNAL,
        load=device.id,
        load_socket=other.name,
        sources=(device.id,),
        wires=(Wire(name, "jumper", CircuitKind.SIGNAL, a, b),),
        mark=device.mark,
        path=device.path,
    )


def _asked_elsewhere(device: Device) -> bool:
    on_a_bus = any(s.role in (Role.BUS_IN, Role.BUS_OUT) for s in device.part.sockets)
    return on_a_bus or device.hookup.sockets.asks


def _default_hosts(robot: Robot, device: Device, named: tuple[str, ...]) -> list[Device]:
    """Return the devices that have the named port; the robot controller and its like come first."""
    having = [d for d in robot if d.id != device.id and any(_match(d, port) for port in named)]
    return sorted(having, key=lambda d: (d.kind != "computer", natural(d.id)))[:1]


def _match(host: Device, port: str) -> Socket | None:
    wanted = port.casefold()
    return next((s for s in host.part.sockets if s.name.casefold() == wanted and s.role in _SIGNALS), None)


def _hook(
    device: Device, own: list[Socket], hosts: list[Device], port: str, number: int, questions: list[Finding]
) -> Iterator[Circuit]:
    for host in hosts:
        socket = _match(host, port)
        if socket is None:
            continue
        mine = [s for s in own if s.role is _SIGNALS[socket.role] and s.use == socket.use]
        if not mine:
            continue
        own_socket = mine[min(number, len(mine) - 1)]
        name = f"{device.called}: on {socket.name}"
        yield Circuit(
            id=name,
            kind=CircuitKind.SIGNAL,
            load=device.id,
            load_socket=own_socket.name,
            sources=(host.id,),
            wires=tuple(_wires(name, host, device, socket, own_socket)),
            mark=device.hookup.sockets.mark or device.mark,
            path=device.path,
        )
        return
    questions.append(_no_port(device, port, hosts))


def _wires(name: str, host: Device, device: Device, socket: Socket, own: Socket) -> Iterator[Wire]:
    for port in own.ports:
        if socket.port(port.polarity) is not None:
            a, b = EndAt(host.id, socket.name, port.polarity), EndAt(device.id, own.name, port.polarity)
            yield Wire(name, str(port.polarity), CircuitKind.SIGNAL, a, b)


def _two_on_one(host: str, port: str, things: list[Device]) -> Finding:
    last = things[-1]
    return question(
        "input-used-twice",
        last.hookup.sockets.mark or last.mark,
        f"{last.path}.port",
        f"{listed([thing.called for thing in things], 'and')} are on one input, {port} of {host}, "
        "so the program can't tell them apart.",
        "Give each an input of its own. Only an output, such as a pulse output, may drive two things.",
    )


def _where(device: Device) -> Finding:
    return question(
        "signal-goes-nowhere",
        device.mark,
        device.path,
        f"The file does not say which port {device.called} is plugged into.",
        "Write `port: digital 2`, or `port: unknown` to keep the question open.",
    )


def _no_port(device: Device, port: str, hosts: list[Device]) -> Finding:
    host = hosts[0] if hosts else None
    names = [s.name for s in host.part.sockets if s.role in _SIGNALS][:6] if host else []
    known = f" It has {', '.join(names)} and others." if names else ""
    where = f"{host.called} has no port" if host else "Nothing on this robot has a port"
    return question(
        "no-such-port",
        device.hookup.sockets.mark or device.mark,
        device.path,
        f"{where} {port!r} that suits {device.called}.{known}",
        "Check the port's name, or name the device it is on with `on:`.",
    )
