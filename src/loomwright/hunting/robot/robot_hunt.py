"""The front door: a plan put together as a hunt, and what its records raise."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from loomwright.hunting.problem import Change, Check, Fault, Hunt
from loomwright.hunting.robot.cases import Case, CaseTable, cases_of
from loomwright.hunting.robot.chain import Programs
from loomwright.hunting.robot.eyes import eye_checks
from loomwright.hunting.robot.faults import RobotFault, faults_of
from loomwright.hunting.robot.groups import group_checks
from loomwright.hunting.robot.hands import hand_checks
from loomwright.hunting.robot.lit import Lit
from loomwright.hunting.robot.measured import Networks, networks_of
from loomwright.hunting.robot.meters import meter_checks
from loomwright.hunting.robot.practice import check_kinds, fixes, practice, work_states
from loomwright.hunting.robot.running import running_checks
from loomwright.hunting.robot.told import told_checks

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import numpy.typing as npt

    from loomwright.hunting.robot.shown import Shown
    from loomwright.plan.result import Plan

ANY = "any"
#: Degrees of a fault whose chances differ by less are one.
_ALIKE = 0.02


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RobotHunt:
    """A hunt on one robot: the faults and checks behind its numbers, by their names.

    `rows` are the places of each fault in the table of chances, one for each degree that shows something else, and
    `numbers` the places of checks.
    """

    plan: Plan
    hunt: Hunt
    faults: Mapping[str, RobotFault]
    checks: Mapping[str, Shown]
    rows: Mapping[str, tuple[int, ...]]
    numbers: Mapping[str, int]
    cases: tuple[Case, ...]
    networks: Networks


class NoBatteryError(ValueError):
    """The plan's battery says too little for a hunt."""


def robot_hunt(plan: Plan, *, pairs: bool = False) -> RobotHunt:
    """Return the hunt on a plan's robot, with the odds of a robot that nothing is known of.

    Raises
    ------
    NoBatteryError
        The battery's part does not state what it rests at, so no voltage can be told.
    """
    faults = faults_of(plan)
    cases = cases_of(plan, faults)
    networks = networks_of(plan, cases)
    if networks.alive is None:
        raise NoBatteryError("The battery's part does not state at which voltage it rests.")
    table = CaseTable(cases)
    programs = Programs(plan, table, Lit(plan, table, networks.alive))
    shown = _checks(programs, networks)
    rows, chances = _rows(cases, tuple(shown.values()))
    hunt = Hunt(
        faults=tuple(
            Fault(
                key=fault.key,
                odds=fault.per_match * share,
                repair_s=fixes()[fault.kind].seconds,
                parts=(fault.seat,),
            )
            for fault, share in rows
        ),
        checks=tuple(_check(one) for one in shown.values()),
        chances=chances,
        healthy_s=fixes()["software"].seconds,
        healthy_odds=practice("nothing wrong"),
        other_odds=practice("unlisted"),
        pairs=pairs,
        changes=_changes(),
    )
    return RobotHunt(
        plan=plan,
        hunt=hunt,
        faults={fault.key: fault for fault in faults},
        checks=shown,
        rows=_places([fault.key for fault, _ in rows]),
        numbers={key: number for number, key in enumerate(shown)},
        cases=cases,
        networks=networks,
    )


def reweighed(robot: RobotHunt, factors: Mapping[str, float]) -> RobotHunt:
    """Return a robot's hunt with odds raised by the keys of faults: no network need be solved again for it."""
    faults = tuple(replace(fault, odds=fault.odds * factors.get(fault.key, 1.0)) for fault in robot.hunt.faults)
    return replace(robot, hunt=replace(robot.hunt, faults=faults))


def _checks(programs: Programs, networks: Networks) -> dict[str, Shown]:
    metered = (*meter_checks(programs, networks), *running_checks(programs))
    single = (*eye_checks(programs), *told_checks(programs), *metered, *hand_checks(programs))
    shown = {one.key: one for one in single}
    shown.update({one.key: one for one in group_checks(programs.plan, shown)})
    return shown


def _check(one: Shown) -> Check:
    kind = check_kinds()[one.kind]
    return Check(
        key=one.key,
        seconds=practice("reading a card") + (kind.seconds if one.seconds is None else one.seconds),
        outcomes=kind.outcomes,
        misread=kind.misread,
        plain=kind.plain,
        needs="" if kind.state == ANY else kind.state,
        spoils=(one.key,),
    )


def _changes() -> tuple[Change, ...]:
    """Return how long it takes from each state of work to each other one."""
    states = {("" if name == ANY else name): seconds for name, (_, seconds) in work_states().items()}
    return tuple(
        Change(was=was, then=then, seconds=seconds)
        for was in states
        for then, seconds in states.items()
        if was != then and then
    )


def _places(keys: Sequence[str]) -> dict[str, tuple[int, ...]]:
    """Return the rows of each fault by its key; row 0 is none's."""
    found: dict[str, list[int]] = {}
    for row, key in enumerate(keys, start=1):
        found.setdefault(key, []).append(row)
    return {key: tuple(held) for key, held in found.items()}


def _rows(
    cases: tuple[Case, ...], shown: tuple[Shown, ...]
) -> tuple[list[tuple[RobotFault, float]], npt.NDArray[np.float64]]:
    """Return the faults in their degrees with the share of each, and the chances of outcomes `[row, check, outcome]`.

    Row 0 is a healthy robot. Degrees that hardly show anything else are one.
    """
    table = np.zeros((len(cases), len(shown), max(one.chances.shape[1] for one in shown)))
    for place, one in enumerate(shown):
        table[:, place, : one.chances.shape[1]] = one.chances
    rows: list[tuple[RobotFault, float]] = []
    for place, case in enumerate(cases):
        if case.fault is None:
            continue
        each, last = table[place], table[len(rows)]
        before = rows[-1][1] if rows and rows[-1][0] is case.fault else 0.0
        if before and float(np.abs(last - each).max()) < _ALIKE:
            share = before + case.share
            rows[-1] = (case.fault, share)
            last += (each - last) * (case.share / share)
        else:
            rows.append((case.fault, case.share))
            table[len(rows)] = each  # never behind the case that is looked at
    return rows, table[: len(rows) + 1]
