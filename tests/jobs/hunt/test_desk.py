"""A hunt kept at the desk: put into numbers once, weighed anew by what records raise; when a fix is told as found."""

from __future__ import annotations

from loomwright.hunting.result import SURE
from loomwright.jobs.hunt.desk import HuntDesk
from loomwright.jobs.hunt.view import hunt_view
from loomwright.records.event import Event, Kind, Role
from loomwright.records.fold import State, fold
from tests.records.events import event, recorded
from tests.robots import example_plan

PLAN = example_plan("rockpool")
BEGUN = event(1, Kind.HUNT, words="beacon is dark")
DARK = event(2, Kind.OBSERVED, of=(1,), about="look beacon", words="dark")
OPEN = event(3, Kind.OBSERVED, of=(1,), about="ohms W12", words="open")
MADE = event(80, Kind.MADE, wire="W12", end="A")
REDONE = event(81, Kind.REDONE, of=(80,), wire="W12", end="A")


def state(*events: Event) -> State:
    """Return the state after some events of one laptop."""
    return fold(recorded(*events, role=Role.MENTOR))


def test_either_of_two_ends_is_not_found() -> None:
    """The wire is open at one of its ends: each has less than half, so neither is told as found."""
    view = hunt_view(HuntDesk(), PLAN, state(BEGUN, DARK, OPEN), "")
    assert {"W12 A", "W12 B"} == set(view.suspects[0].seats)
    assert view.suspects[0].probability > 0.7
    assert not view.found
    assert all(fix.probability < SURE for fix in view.fixes)


def test_a_robot_is_put_into_numbers_once() -> None:
    """The same plan and records have the same hunt; a signature changes odds alone, and taking it away undoes that."""
    desk = HuntDesk()
    first = desk.robot(PLAN, state(BEGUN), "")
    assert desk.robot(PLAN, state(BEGUN, DARK), "") is first
    raised = desk.robot(PLAN, state(BEGUN, MADE, REDONE), "")
    assert raised.hunt.chances is first.hunt.chances
    odds = [{one.key: one.odds for one in robot.hunt.faults} for robot in (first, raised)]
    assert odds[1]["open W12 A"] > odds[0]["open W12 A"]
    assert odds[1]["flat battery"] == odds[0]["flat battery"]
    assert "this end was made again" in desk.raised("open W12 A")
    assert desk.raised("flat battery") == ()
    again = desk.robot(PLAN, state(BEGUN), "")
    assert {one.key: one.odds for one in again.hunt.faults} == odds[0]
    assert "this end was made again" not in desk.raised("open W12 A")


def test_another_plan_is_another_robot() -> None:
    """The desk keeps no robot of a plan that is gone."""
    desk = HuntDesk()
    assert desk.robot(PLAN, state(), "").plan is PLAN
    other = example_plan("tidepool")
    assert desk.robot(other, state(), "").plan is other
    assert desk.robot(PLAN, state(), "").plan is PLAN
