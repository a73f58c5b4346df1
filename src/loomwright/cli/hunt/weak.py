"""`loomwright hunt --weak-points`: what one loss takes down on this robot, what that costs, what would help."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

import click

from loomwright.cli.console import print_json
from loomwright.cli.hunt.lines import FAINT, HEAD, Line, print_lines
from loomwright.hunting.robot.match_cost import seconds
from loomwright.hunting.robot.robot_hunt import NoBatteryError
from loomwright.hunting.robot.weak_points import weak_points
from loomwright.jobs.current import planned
from loomwright.proof.failing import failures

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from loomwright.hunting.robot.weak_points import WeakPoint
    from loomwright.proof.failing import Failure

_DIGITS = 3


def tell_weak_points(folder: Path, build: str, *, as_json: bool) -> None:
    """Print the weak points of a robot's plan, what is expected to cost most first."""
    plan = planned(folder, build)
    try:
        points = weak_points(plan)
    except NoBatteryError as error:
        raise click.UsageError(f"{error} Say it in the battery's part as `rested from`, and plan again.") from error
    if as_json:
        head = {"format": 1, "robot": plan.robot.name, "build": plan.robot.build, "revision": plan.revision}
        print_json({**head, "weak_points": [_data(one) for one in points]})
    else:
        print_lines(_lines(points, failures(plan, points)), sys.stdout)


def _lines(points: tuple[WeakPoint, ...], held: tuple[Failure, ...]) -> Iterator[Line]:
    robot, drive = (sum(len(one.seats) for one in points if one.whole == whole) for whole in ("robot", "drive"))
    yield Line(f"One loss at a time: {robot} places take down the whole robot, {drive} the whole drive.", HEAD)
    yield Line(
        f"Seconds of the whole robot in 100 matches of {seconds('match'):g} s, dearest first. How often it happens "
        "is a rule of thumb: use the order, not the number."
    )
    for number, one in enumerate(held, start=1):
        yield Line(f"{number:3}. {one.expected_s:5.1f} s  {one.lost}", HEAD, hang=15)
        yield Line(f"               takes down {one.takes}; {'; '.join(one.shows)}", hang=15)
        for words in one.remedies:
            yield Line(f"               {words}", FAINT, hang=15)


def _data(one: WeakPoint) -> dict[str, Any]:
    return {
        "what": one.what,
        "name": one.name,
        "seats": list(one.seats),
        "wires": list(one.wires),
        "ends": one.ends,
        "dark": list(one.down.dark),
        "missing": list(one.down.missing),
        "motors": list(one.down.motors),
        "whole": one.whole,
        "moment_s": round(one.cost.moment_s, _DIGITS),
        "for_good_s": round(one.cost.stays_s, _DIGITS),
        "moments_in_100": round(one.moments, _DIGITS),
        "for_good_in_100": round(one.stays, _DIGITS),
        "expected_s": round(one.expected_s, _DIGITS),
        "remedies": list(one.remedies),
    }
