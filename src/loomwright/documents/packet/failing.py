"""The packet's failure table: the losses that are expected to cost most, and what to do about each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.documents.packet.blocks import Block, Chapter, Column, Look, Para, Rows, Table
from loomwright.hunting.robot.match_cost import seconds
from loomwright.proof.failing import failures

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.hunting.robot.weak_points import WeakPoint
    from loomwright.plan.result import Plan
    from loomwright.proof.failing import Failure

_COLUMNS: Final = (
    Column("what is lost", 2.3, Look.STRONG),
    Column("takes down", 1.9),
    Column("how it shows", 2.4),
    Column("what to do", 2.6),
    Column("what would remove it, or make it rarer", 3.2),
    Column("moment [s]", 0, Look.NUMBER),
    Column("for good [s]", 0, Look.NUMBER),
    Column("in 100 matches [s]", 0, Look.NUMBER),
)
_MOST: Final = 15
_NO_BATTERY: Final = (
    "Nobody knows yet what the battery rests at: give its part, and what each loss takes down stands here."
)


def weak_points_of_robot(plan: Plan, points: Sequence[WeakPoint]) -> Chapter:
    """Return the table of what one loss takes down, what costs most first."""
    blocks: tuple[Block, ...] = (Para(_NO_BATTERY),)
    if points:
        held = failures(plan, points)
        rest = len(held) - _MOST
        more = (
            (Para(f"{rest} more lines cost less; `loomwright hunt --weak-points` tells them all."),) if rest > 0 else ()
        )
        blocks = (
            Para(_how()),
            Para(_single(points), strong=True),
            Table(_COLUMNS, (Rows(tuple(map(_row, held[:_MOST]))),), small=True),
            *more,
        )
    return Chapter("Weak points", blocks, wide=True)


def _how() -> str:
    return (
        "One loss at a time. Seconds are those of the whole robot, for a loss in the middle of a match of "
        f"{seconds('match'):g} s: what lasts a moment costs the time to come back, what is for good the rest. How "
        "often it happens is a rule of thumb; use the order, not the number."
    )


def _single(points: Sequence[WeakPoint]) -> str:
    """Say how many places take down all of the robot, or all of the drive."""
    robot, drive = (sum(len(one.seats) for one in points if one.whole == whole) for whole in ("robot", "drive"))
    told = f"Single points of failure: each of {robot} places takes down the whole robot"
    return f"{told}, each of {drive} the whole drive." if drive else f"{told}."


def _row(one: Failure) -> tuple[str, ...]:
    ends = f" ({one.ends}\u00a0ends)" if one.ends else ""
    shows = ". ".join(words[0].upper() + words[1:] for words in one.shows)
    moment = _number(one.moment_s) if one.shows[0].startswith("for a moment") else "-"
    return (
        f"{one.lost}{ends}",
        one.takes,
        f"{shows}.",
        one.do,
        " ".join(one.remedies),
        moment,
        _number(one.stays_s),
        _number(one.expected_s),
    )


def _number(amount_s: float) -> str:
    return f"{amount_s:.0f}" if amount_s >= 1 else f"{amount_s:.1f}"
