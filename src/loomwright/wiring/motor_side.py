"""The motor side: from a controller's motor terminals to a motor's two leads or three phases."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from loomwright.findings import Severity
from loomwright.model.part import Polarity, PortKind, Role
from loomwright.wiring.ask import question
from loomwright.wiring.result import Circuit, CircuitKind, EndAt, Wire

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.part import Port, Socket
    from loomwright.model.robot import Robot

# A two-lead motor on a three-terminal controller uses the first and the last terminal.
_TWO_LEADS = {Polarity.PLUS: Polarity.PHASE_A, Polarity.MINUS: Polarity.PHASE_C}


def motor_circuits(robot: Robot, questions: list[Finding]) -> Iterator[Circuit]:
    """Give one circuit for each motor that has its controller apart."""
    for motor in robot:
        controller = robot.device(motor.driven_by) if motor.driven_by else None
        if controller is None:
            continue
        out, inlet = controller.part.first(Role.MOTOR_OUT), motor.part.first(Role.MOTOR_IN)
        if out is None or inlet is None:
            questions.append(_no_way_in(motor, controller))
            continue
        name = f"{motor.called}: motor side"
        wires = tuple(_wires(name, controller, motor, out, inlet))
        if len(wires) < len(inlet.ports):
            questions.append(_no_way_in(motor, controller))
        yield Circuit(
            id=name,
            kind=CircuitKind.MOTOR,
            load=motor.id,
            load_socket=inlet.name,
            sources=(controller.id,),
            wires=wires,
            mark=motor.mark,
            path=motor.path,
            upstream=controller.called,
        )


def _wires(name: str, controller: Device, motor: Device, out: Socket, inlet: Socket) -> Iterator[Wire]:
    for port in inlet.ports:
        held = _port_for(out, port.polarity)
        if held is None:
            continue
        yield Wire(
            name,
            str(port.polarity),
            CircuitKind.MOTOR,
            EndAt(controller.id, out.name, held.polarity),
            EndAt(motor.id, inlet.name, port.polarity),
            captive=_captive(motor, held, port),
        )


def _port_for(out: Socket, polarity: Polarity) -> Port | None:
    straight = out.port(polarity)
    other = _TWO_LEADS.get(polarity)
    return straight or (out.port(other) if other else None)


def _captive(motor: Device, held: Port, port: Port) -> bool:
    """Tell whether the leads that controller and motor bring along are enough, so that nothing is cut."""
    brought = [p.lead_length_m or 0.0 for p in (held, port) if p.kind is PortKind.LEAD]
    length = motor.wishes.length.value
    return bool(brought) and (length is None or length <= sum(brought))


def _no_way_in(motor: Device, controller: Device) -> Finding:
    """Say that a motor's leads find no terminals: a fault where both classes are known, else a question."""
    asked = question(
        "motor-does-not-fit",
        motor.mark,
        motor.path,
        f"{motor.called}: {controller.part.title} has no terminals that suit {motor.part.title}.",
        "Name a controller class that drives this kind of motor.",
    )
    known = not (motor.part.family or controller.part.family)
    return replace(asked, severity=Severity.MUST, asks=False) if known else asked
