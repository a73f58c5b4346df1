"""The hunt as the bench serves it: asked once for each arrival, weighed anew with the records, told in sentences."""

from __future__ import annotations

import pytest

from loomwright.hunting.robot.history import raised_by
from loomwright.hunting.robot.robot_hunt import reweighed, robot_hunt
from loomwright.jobs.hunt import at_bench
from loomwright.jobs.hunt.at_bench import HuntAtBench
from loomwright.jobs.hunt.desk import HuntDesk
from loomwright.jobs.hunt.result import HuntView
from loomwright.jobs.hunt.view import hunt_view
from loomwright.plan.result import Plan
from loomwright.records.event import Kind
from loomwright.records.fold import State, fold
from tests.records.events import event, recorded
from tests.robots import example_plan, example_text, plan_of

PLAN = example_plan("rockpool")
NOTHING = fold(())
BEGUN = event(1, Kind.HUNT)
DARK = event(2, Kind.OBSERVED, about="look left wheel controller", words="dark", of=(1,))
FAILED = (event(3, Kind.MADE, wire="W6", end="B"), event(4, Kind.FAILED, wire="W6", end="B", of=(3,)))


def test_it_is_worked_out_once_for_each_arrival(monkeypatch: pytest.MonkeyPatch) -> None:
    """However many phones ask; a new record, or another plan, is looked at."""
    asked: list[object] = []

    def counted(desk: HuntDesk, plan: Plan, state: State, build: str) -> HuntView:
        asked.append(state)
        return hunt_view(desk, plan, state, build)

    monkeypatch.setattr(at_bench, "hunt_view", counted)
    desk = HuntAtBench()
    first = desk.seen(PLAN, NOTHING, 0)
    assert desk.seen(PLAN, NOTHING, 0) is first
    assert len(asked) == 1
    told = desk.seen(PLAN, fold(recorded(BEGUN, DARK)), 2).view
    assert told is not None
    assert told.suspects
    assert len(asked) == 2


def test_what_records_raise_weighs_as_in_a_hunt_made_anew() -> None:
    """A pull that failed raises its end, with the odds that a fresh robot has; and so it is without that record."""
    desk = HuntAtBench()
    before = desk.seen(PLAN, NOTHING, 0).robot
    state = fold(recorded(*FAILED))
    after = desk.seen(PLAN, state, 2).robot
    fresh = reweighed(
        robot_hunt(PLAN, pairs=True), {name: held.factor for name, held in raised_by(PLAN, state, "").items()}
    )
    assert before is not None
    assert after is not None
    odds = [{fault.key: fault.odds for fault in robot.hunt.faults} for robot in (before, after, fresh)]
    assert odds[1] == odds[2]
    assert odds[1]["open W6 B"] > odds[0]["open W6 B"]
    again = desk.seen(PLAN, NOTHING, 3).robot
    assert again is not None
    assert {fault.key: fault.odds for fault in again.hunt.faults} == odds[0]


def test_a_battery_that_says_too_little_is_told_in_a_sentence() -> None:
    """No voltage can be told without the one that the battery rests at."""
    plan = plan_of(example_text("rockpool").replace("battery/agm-12v-7ah", "battery/any"))
    seen = HuntAtBench().seen(plan, NOTHING, 0)
    assert seen.robot is None
    assert seen.view is None
    assert seen.why.startswith("There can be no hunt on this plan: The battery's part does not state")
