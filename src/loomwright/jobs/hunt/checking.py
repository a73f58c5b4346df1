"""The next checks of a hunt, and those to make again after something was mended."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.hunting.robot.practice import check_kinds
from loomwright.hunting.robot.words import check_words, suspect_words
from loomwright.jobs.hunt.result import CheckView

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.hunting.problem import Observation
    from loomwright.hunting.result import Step
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.records.event import Event
    from loomwright.records.hunts import HuntRecord

#: States of work, those without power first.
_POWERED: Final = ("dead", "any", "alive", "driving")


def next_check(robot: RobotHunt, step: Step) -> CheckView:
    """Return a step as a check in words, with what each outcome would leave."""
    outcomes = tuple(
        (one.outcome, one.chance, suspect_words(robot, one.suspects[0]) if one.suspects else "") for one in step.leaves
    )
    return _check_view(robot, step.check, step.seconds, outcomes)


def checks_again(
    robot: RobotHunt, hunt: HuntRecord | None, told: Sequence[tuple[Event, Observation | None, str]]
) -> Iterator[CheckView]:
    """Give the checks that showed trouble before the last thing was mended and have not been made since.

    What was told of the match can't be asked again: its motor is tried instead. Those without power come first:
    what was shorted is measured before it is fed.
    """
    if hunt is None or not hunt.mended:
        return
    found = list(_again(robot, hunt, told))
    yield from sorted(found, key=lambda one: _POWERED.index(one.words.state))


def _again(
    robot: RobotHunt, hunt: HuntRecord, told: Sequence[tuple[Event, Observation | None, str]]
) -> Iterator[CheckView]:
    last = hunt.mended[-1].key
    since = {event.about for event, _, _ in told if last in event.of}
    for event, one, _ in told:
        if one is None or last in event.of or is_healthy(one, _outcomes(robot, one.check)[0]):
            continue
        key = _tried_now(robot, one.check)
        if key and key not in since:
            since.add(key)
            seconds = check_kinds()[robot.checks[key].kind].seconds
            yield _check_view(robot, key, seconds, tuple((name, 0.0, "") for name in _outcomes(robot, key)))


def _tried_now(robot: RobotHunt, check: str) -> str:
    """Return the check that shows now what a check showed; "" where nothing does."""
    shown = robot.checks[check]
    if check_kinds()[shown.kind].state != "any":
        return check
    run = f"run {shown.about}"
    return run if shown.kind == "drove" and run in robot.checks else ""


def _outcomes(robot: RobotHunt, check: str) -> tuple[str, ...]:
    return check_kinds()[robot.checks[check].kind].outcomes


def is_healthy(one: Observation, best: str) -> bool:
    """Tell whether an answer may be the one that a healthy robot gives."""
    return one.outcome == best or any(name == best for name, _ in one.odds)


def _check_view(robot: RobotHunt, key: str, seconds: float, outcomes: tuple[tuple[str, float, str], ...]) -> CheckView:
    shown = robot.checks[key]
    wires, devices = _about(robot, key)
    return CheckView(
        key=key,
        words=check_words(shown),
        seconds=seconds,
        outcomes=outcomes,
        unit=shown.scale.unit if shown.scale is not None else "",
        wires=wires,
        devices=devices,
    )


def _about(robot: RobotHunt, key: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the wires and devices that a check is about."""
    about = robot.checks[key].about
    plan = robot.plan
    name = about.removesuffix(" A").removesuffix(" B")
    if any(wire.id == name for wire in plan.wires):
        return (name,), ()
    circuit = plan.circuit(name)
    device = plan.robot.device(about)
    wires = tuple(wire.id for wire in circuit.wires) if circuit is not None else ()
    return wires, (device.id,) if device is not None else ()
