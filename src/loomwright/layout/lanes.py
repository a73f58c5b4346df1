"""What has to be run: wires that go together from one terminal to another, before anybody knows the way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.model.part import Role
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from loomwright.layout.choice import Choice
    from loomwright.layout.result import Terminal
    from loomwright.model.robot import Robot
    from loomwright.wiring.result import Circuit, Wire, Wiring

#: A motor stands beside its controller, and the battery's own leads take no trunk.
OFF_TRUNK = (CircuitKind.MAIN, CircuitKind.MOTOR)


@dataclass(frozen=True, slots=True)
class Lane:
    """Wires of one circuit that go together: their keys and the two terminals, `start` nearer to the battery.

    `name` is the circuit's id, with a number behind it where a circuit has several lanes.
    """

    name: str
    circuit: str
    wires: tuple[Wire, ...]
    start: Terminal
    end: Terminal
    power: bool


def lanes_of(wiring: Wiring, choices: Mapping[str, Choice]) -> Iterator[Lane]:
    """Give every lane whose two terminals are known, circuit by circuit."""
    for circuit in wiring.circuits:
        if circuit.kind not in OFF_TRUNK:
            yield from _of_circuit(circuit, choices.get(circuit.id))


def _of_circuit(circuit: Circuit, choice: Choice | None) -> Iterator[Lane]:
    together: dict[tuple[Terminal, Terminal], list[Wire]] = {}
    for wire in circuit.wires:
        start, end = (wire.a.device, wire.a.socket), (wire.b.device, wire.b.socket)
        if not start[0]:
            if choice is None or not choice.slot:
                continue
            start = (choice.device, choice.slot)
        if start[0] != end[0]:
            together.setdefault((start, end), []).append(wire)
    for number, ((start, end), wires) in enumerate(together.items(), start=1):
        name = circuit.id if number == 1 else f"{circuit.id} ({number})"
        yield Lane(name, circuit.id, tuple(wires), start, end, circuit.kind.carries_power)


def terminals_of(robot: Robot, wiring: Wiring) -> tuple[Terminal, ...]:
    """Return every terminal that a lane may start or end at, in a stable order.

    Of what feeds a circuit whose slot is open, every outlet may be the one.
    """
    found: dict[Terminal, None] = {}
    for circuit in wiring.circuits:
        if circuit.kind in OFF_TRUNK:
            continue
        for wire in circuit.wires:
            if wire.a.device and wire.a.device != wire.b.device:
                found[wire.a.device, wire.a.socket] = None
            if wire.a.device != wire.b.device:
                found[wire.b.device, wire.b.socket] = None
        if any(not wire.a.device for wire in circuit.wires):
            for name in circuit.sources:
                source = robot.device(name)
                for outlet in source.part.with_role(Role.OUTLET) if source is not None else ():
                    found[name, outlet.name] = None
    return tuple(sorted(found))
