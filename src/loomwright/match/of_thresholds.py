"""What low voltage does: when the robot controller cuts its outputs off, when it stops, when it is back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.match.machine import Thresholds
from loomwright.match.of_practice import practice

if TYPE_CHECKING:
    from loomwright.match.of_notes import Notes
    from loomwright.model.device import Device
    from loomwright.model.robot import Robot

_NAME = "robot controller"
_OFF, _ON, _STOP, _START, _BACK = (
    "outputs off below",
    "outputs on above",
    "stops below",
    "starts above",
    "recovery time",
)
_USUAL = {_OFF: _OFF, _ON: _ON, _STOP: _STOP, _START: _START, _BACK: "recovery"}


def thresholds_of(robot: Robot, notes: Notes) -> Thresholds:
    """Return the thresholds of the robot controller: what the file says, what its part says, what is usual."""
    device = _controller(robot)
    if device is None:
        notes.ask(
            "no-robot-controller",
            None,
            "electronics",
            "The file names no robot controller, so when low voltage stops the robot is not known. "
            "The study takes usual voltages.",
            "Write `electronics: {robot controller: {part: computer/robot-controller, feed: fused}}`.",
        )
    off_v, on_v, stop_v, start_v, back_s = (_value(device, name, notes) for name in _USUAL)
    hold_s = practice("outputs hold")
    notes.assume(f"outputs are taken to come back after {hold_s * 1000:g} ms of enough voltage")
    return Thresholds(
        name=device.called if device is not None else _NAME,
        off_v=off_v,
        on_v=max(on_v, off_v),
        hold_s=hold_s,
        stop_v=stop_v,
        start_v=max(start_v, stop_v),
        recovery_s=back_s,
    )


def _controller(robot: Robot) -> Device | None:
    computers = robot.of_kind("computer")
    knowing = [d for d in computers if d.part.number(_OFF) is not None or d.settings.get(_OFF) is not None]
    return next(iter([d for d in computers if d.called == _NAME] or knowing), None)


def _value(device: Device | None, name: str, notes: Notes) -> float:
    if device is not None:
        said = device.settings.get(name)
        if said is not None and said.said:
            if len(said.values) > 1:
                notes.assume(f"of what is said of `{name}` the highest is played", device.called)
            return max(said.values)
        stated = device.part.number(name)
        if stated is not None:
            return stated
    usual = practice(_USUAL[name])
    notes.assume(f"{name} {usual:g} {'s' if name == _BACK else 'V'} is taken, as usual")
    return usual
