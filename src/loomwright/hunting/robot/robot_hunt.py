"""The front door: a plan put together as a hunt, and what its records raise."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from loomwright.hunting.pairs import WorseOfTwo
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
    from collections.abc import Mapping

    import numpy.typing as npt

    from loomwright.hunting.robot.shown import Shown
    from loomwright.plan.result import Plan

ANY = "any"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RobotHunt:
    """A hunt on one robot: the faults and checks behind its numbers, by their names.

    `rows` and `numbers` are the places of faults and checks in the table of chances.
    """

    plan: Plan
    hunt: Hunt
    faults: Mapping[str, RobotFault]
    checks: Mapping[str, Shown]
    rows: Mapping[str, int]
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
    chances = _chances(len(faults), cases, tuple(shown.values()))
    hunt = Hunt(
        faults=tuple(
            Fault(
                key=fault.key,
                odds=fault.per_match,
                repair_s=fixes()[fault.kind].seconds,
                parts=(fault.seat,),
            )
            for fault in faults
        ),
        checks=tuple(_check(one, shown) for one in shown.values()),
        chances=chances,
        healthy_s=fixes()["software"].seconds,
        other_odds=practice("unlisted"),
        pairs=WorseOfTwo(chances) if pairs else None,
        changes=_changes(),
    )
    return RobotHunt(
        plan=plan,
        hunt=hunt,
        faults={fault.key: fault for fault in faults},
        checks=shown,
        rows={fault.key: row for row, fault in enumerate(faults, start=1)},
        numbers={key: number for number, key in enumerate(shown)},
        cases=cases,
        networks=networks,
    )


def reweighed(robot: RobotHunt, factors: Mapping[str, float]) -> RobotHunt:
    """Return a robot's hunt with odds raised by the keys of faults: no network need be solved again for it."""
    faults = tuple(
        replace(fault, odds=robot.faults[fault.key].per_match * factors.get(fault.key, 1.0))
        for fault in robot.hunt.faults
    )
    return replace(robot, hunt=replace(robot.hunt, faults=faults))


def _checks(programs: Programs, networks: Networks) -> dict[str, Shown]:
    metered = (*meter_checks(programs, networks), *running_checks(programs))
    single = (*eye_checks(programs), *told_checks(programs), *metered, *hand_checks(programs))
    shown = {one.key: one for one in single}
    shown.update({one.key: one for one in group_checks(programs.plan, shown)})
    return shown


def _check(one: Shown, shown: Mapping[str, Shown]) -> Check:
    kind = check_kinds()[one.kind]
    return Check(
        key=one.key,
        seconds=practice("reading a card") + (kind.seconds if one.seconds is None else one.seconds),
        outcomes=kind.outcomes,
        misread=kind.misread,
        needs="" if kind.state == ANY else kind.state,
        spoils=(one.key, *(key for key in one.same if key in shown)),
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


def _chances(count: int, cases: tuple[Case, ...], shown: tuple[Shown, ...]) -> npt.NDArray[np.float64]:
    """Return the chance of each outcome by fault: its cases by their shares."""
    widest = max(one.chances.shape[1] for one in shown)
    numbers = np.array([case.number for case in cases])
    shares = np.array([case.share for case in cases])
    chances = np.zeros((count + 1, len(shown), widest))
    for place, one in enumerate(shown):
        for outcome in range(one.chances.shape[1]):
            chances[:, place, outcome] = np.bincount(
                numbers, weights=one.chances[:, outcome] * shares, minlength=count + 1
            )
    return chances
