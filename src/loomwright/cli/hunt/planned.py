"""The part of a run that needs the plan: answers are read by it, written down, and the standing is told."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from loomwright.cli.console import print_json
from loomwright.cli.hunt.data import hunt_data
from loomwright.cli.hunt.lines import LOUD, Line, print_lines
from loomwright.cli.hunt.log_words import ended_lines, log_lines, wrote_lines
from loomwright.cli.hunt.stop import stop_lines
from loomwright.cli.hunt.telling import fill
from loomwright.cli.hunt.words import standing_lines, start_lines
from loomwright.findings import UnreadableInputError
from loomwright.hunting.robot.robot_hunt import NoBatteryError
from loomwright.jobs.current import planned
from loomwright.jobs.hunt.desk import HuntDesk
from loomwright.jobs.hunt.result import HuntView
from loomwright.jobs.hunt.view import hunt_view

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.cli.hunt.asked import Asked
    from loomwright.cli.hunt.keeping import Kept
    from loomwright.cli.hunt.typed import Typed
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.plan.result import Plan
    from loomwright.records.event import Event
    from loomwright.records.fold import State


def go_on_planned(asked: Asked, kept: Kept, typed: Typed, *, as_json: bool, log: bool, told_before: bool) -> bool:
    """Write down what was told and tell where the hunt stands; return whether something must be done."""
    plan = _plan(asked, typed)
    desk = HuntDesk()
    try:
        robot = desk.robot(plan, kept.state(), asked.build)
    except NoBatteryError as error:
        raise click.UsageError(f"{error} Say it in the battery's part as `rested from`, and plan again.") from error
    keys = _write(asked, kept, desk, plan)
    state = kept.state()
    view = _view(desk, plan, state, kept)
    must = must_fix(view)
    if as_json:
        print_json(hunt_data(plan, view, len(keys), must_fix=must))
        return must
    print_lines(_lines(robot, view, state, keys, asked, typed, log=log, told_before=told_before), sys.stdout)
    return must


def must_fix(view: HuntView) -> bool:
    """Tell whether something must be done: a danger stands open, or a fault is found that nobody has mended.

    What was mended and not tested yet is the tests' turn, and what is nothing of the wiring is nobody's here.
    """
    found = view.found and bool(view.fixes[0].seat)
    return bool(view.dangers) or (found and not view.again and not view.helped)


def _plan(asked: Asked, typed: Typed) -> Plan:
    """Return the plan; where the robot's files have changed since, as for the bench it has to be planned anew."""
    try:
        return planned(asked.folder, asked.build)
    except UnreadableInputError as error:
        told = typed.other("plan")
        fix = f"Run `{told}`, then hunt again. What is in the records stays."
        raise UnreadableInputError(
            [replace(one, fix=fix) if one.code == "plan-first" else one for one in error.faults]
        ) from error


def _write(asked: Asked, kept: Kept, desk: HuntDesk, plan: Plan) -> tuple[str, ...]:
    if not asked.tells:
        return ()
    state = kept.state()
    robot, batch = desk.robot(plan, state, asked.build), kept.batch()
    fill(batch, asked, robot, state.hunt(asked.build), _kinds(desk, plan, state, asked))
    return kept.write(batch, robot)


def _kinds(desk: HuntDesk, plan: Plan, state: State, asked: Asked) -> dict[str, str]:
    """Return by seat which kind of fault was most likely there before it was mended."""
    if not asked.mended or state.hunt(asked.build) is None:
        return {}
    robot = desk.robot(plan, state, asked.build)
    found: dict[str, str] = {}
    for suspect in hunt_view(desk, plan, state, asked.build).suspects:
        for key in suspect.faults:
            found.setdefault(robot.faults[key].seat, str(robot.faults[key].kind))
    return found


def _view(desk: HuntDesk, plan: Plan, state: State, kept: Kept) -> HuntView:
    """Return where the hunt stands; where none is open nothing is worked out."""
    if state.hunt(kept.build) is None:
        return HuntView(hunt=None, dangers=kept.dangers(state))
    return hunt_view(desk, plan, state, kept.build)


def _lines(
    robot: RobotHunt,
    view: HuntView,
    state: State,
    keys: tuple[str, ...],
    asked: Asked,
    typed: Typed,
    *,
    log: bool,
    told_before: bool,
) -> Iterator[Line]:
    yield from wrote_lines(view.hunt, view.answers, keys, _falls(robot, state, keys))
    if view.dangers:
        if not told_before:
            yield from stop_lines([(one.words, one.about, one.who) for one in view.dangers], typed)
        return
    if log and view.hunt is not None:
        yield from log_lines(view.hunt, view.answers)
    ended = _ended_now(state, keys)
    if ended is not None:
        yield from ended_lines(ended, typed)
    if view.hunt is None:
        if ended is None:
            yield from start_lines(robot, typed)
        return
    if ended is not None and asked.new is None:
        yield Line(f"Another hunt is open still: {typed.command()}", LOUD, whole=True)
        return
    yield from standing_lines(robot, view, typed)


def _falls(robot: RobotHunt, state: State, keys: tuple[str, ...]) -> dict[str, str]:
    """Say into which outcome each number falls that was just told."""
    found = {}
    for event in (state.events[key] for key in keys if key in state.events):
        shown = robot.checks.get(event.about)
        if event.value is not None and shown is not None and shown.scale is not None:
            found[event.key] = f", that is {' or '.join(name for name, _ in shown.scale.outcomes(event.value))}"
    return found


def _ended_now(state: State, keys: tuple[str, ...]) -> Event | None:
    return next((e for key in keys if (e := state.events.get(key)) is not None and e.kind == "hunt ended"), None)
