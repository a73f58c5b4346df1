"""Write down what somebody tells of a hunt, and begin one where none goes on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.hunting.robot.reading import NotAnObservationError, observation
from loomwright.jobs.told import events_of, write_down
from loomwright.records.event import Kind
from loomwright.records.hunts import HUNTS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.records.event import Event, Role
    from loomwright.store import Store


def tell_hunt(store: Store, told: Sequence[object], robot: RobotHunt, role: Role, *, now: str) -> int:
    """Write events of a hunt down, all or none; return how many were new. `now` is the laptop's clock in UTC.

    Raises
    ------
    UnreadableInputError
        Where an event can't be understood, is none of a hunt, or is an answer to no check of this robot; nothing is
        written then.
    """
    events = events_of(told, HUNTS, thing="hunt", foreign=_foreign)
    faults = [fault for event in events if event.kind is Kind.OBSERVED for fault in _unfit(robot, event)]
    if faults:
        raise UnreadableInputError(faults)
    return write_down(store, events, role, now=now)


def _unfit(robot: RobotHunt, event: Event) -> list[Finding]:
    try:
        observation(robot, event.about, event.words, event.value, event.unit)
    except NotAnObservationError as error:
        return [Finding("no-such-check", Severity.MUST, Place(thing=event.about), error.what, error.fix)]
    return []


def _foreign(event: Event) -> Finding:
    what = f"`{event.kind}` is nothing that is told of a hunt."
    return Finding("not-of-a-hunt", Severity.MUST, Place(thing="hunt"), what, "Put it right and tell it again.")
