"""Suspects that nothing tells apart yet, put together: one of the four ends of a circuit, and not four lines."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from loomwright.hunting.robot.practice import fixes
from loomwright.jobs.hunt.result import SuspectView
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.hunting.robot.robot_hunt import RobotHunt

#: Odds that differ by less are the same, as a share.
_SAME: Final = 0.02


def put_together(robot: RobotHunt, suspects: Iterable[SuspectView]) -> tuple[SuspectView, ...]:
    """Return the suspects with ends of one circuit that are equally likely as one line, the likeliest first."""
    groups: list[list[SuspectView]] = []
    for one in suspects:
        there = next((held for held in groups if _alike(robot, held[0], one)), None)
        if there is None:
            groups.append([one])
        else:
            there.append(one)
    found = [_one_of(robot, held) if len(held) > 1 else held[0] for held in groups]
    return tuple(sorted(found, key=lambda one: -one.probability))


def _alike(robot: RobotHunt, one: SuspectView, other: SuspectView) -> bool:
    if (
        len(one.seats) != 1
        or len(other.seats) != 1
        or abs(one.probability - other.probability) > _SAME * one.probability
    ):
        return False
    a, b = robot.faults[one.faults[0]], robot.faults[other.faults[0]]
    return bool(a.end and b.end) and a.kind is b.kind and _circuit(robot, a.wire) == _circuit(robot, b.wire)


def _one_of(robot: RobotHunt, held: list[SuspectView]) -> SuspectView:
    first = held[0]
    seats = tuple(seat for one in held for seat in one.seats)
    fault = robot.faults[first.faults[0]]
    what = fixes()[fault.kind].what.format(seat=f"one of {listed(seats, 'and')}")
    return replace(
        first,
        seats=seats,
        any_of=True,
        faults=tuple(key for one in held for key in one.faults),
        words=f"{what} ({_circuit(robot, fault.wire)})",
        # They may be bad both, so that their shares can add up to more.
        probability=min(1.0, sum(one.probability for one in held)),
        wires=tuple(dict.fromkeys(wire for one in held for wire in one.wires)),
    )


def _circuit(robot: RobotHunt, wire: str) -> str:
    return next(one.circuit for one in robot.plan.wires if one.id == wire)
