"""What to do at the cart: every step of the plan once, in order, from now on."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.documents.timeline.cart import cart_lines
from loomwright.documents.timeline.clock import clock, percent
from loomwright.rack.day.problem import OnCharger
from tests.documents.timeline import timeline_samples as samples


def test_the_next_steps_are_told_with_their_times() -> None:
    """On a charger, off it with how long to cool, into the robot with the match, out of it again."""
    sheet = samples.short_day()
    assert cart_lines(sheet.plan, sheet.day, 480)[:6] == [
        "8:00 put B1 on C1 (fast, 6 A)",
        "8:18 take B1 off C1 (fast, 6 A), let it cool until 8:33",
        "8:18 put B2 on C1 (fast, 6 A)",
        "8:50 B1 into the robot for Q4 (9:00), 100 %",
        "8:54 take B2 off C1 (fast, 6 A), let it cool until 9:09",
        "9:10 take B1 out of the robot, let it cool until 9:25",
    ]


@settings(max_examples=40, deadline=None)
@given(st.integers(400, 1200))
def test_what_is_past_is_left_out_and_nothing_else(now_min: int) -> None:
    """From any minute on the lines are the last ones of the whole day."""
    sheet = samples.long_day()
    whole, rest = cart_lines(sheet.plan, sheet.day, 0), cart_lines(sheet.plan, sheet.day, now_min)
    assert rest == whole[len(whole) - len(rest) :]
    moments = [int(line.split(":")[0]) * 60 + int(line.split(":")[1][:2]) for line in whole]
    assert moments == sorted(moments)
    assert len(rest) == sum(moment >= now_min for moment in moments)


def test_a_battery_that_stays_is_not_taken_out() -> None:
    """Two matches in a row with one battery: it stays, and comes out after the second only."""
    made = samples.day(matches=2, batteries=1, chargers=1, every_min=19)
    sheet = samples.sheet(made)
    assert [use.stays for use in sheet.plan.uses] == [False, True]
    lines = cart_lines(sheet.plan, made, made.begins_min)
    assert sum("out of the robot" in line for line in lines) == 1
    assert any("B1 stays in the robot for Q7" in line for line in lines)


def test_what_sat_on_a_charger_before_is_only_taken_off() -> None:
    """Nobody puts it there again; what is wrong with a use, and that it may not be played, is said."""
    made = samples.day(matches=1, batteries=1, chargers=1)
    on = OnCharger(charger="C1", amps=2.0, from_min=300)
    day = replace(made, batteries=(replace(made.batteries[0], on=on),))
    plan = samples.planned(day)
    use = replace(plan.uses[0], late_min=3, short=0.1, charge=0.799, may=True)
    lines = cart_lines(replace(plan, uses=(use,)), day, 0)
    assert [line for line in lines if " put " in line] == []
    assert "B1 into the robot for Q4 (9:00, if it is played), 79 %; 3 min late, charge too low" in lines[1]


def test_another_day_is_named_and_no_share_is_rounded_up() -> None:
    """Minutes beyond midnight are told with the day where that is another one than now."""
    assert clock(1450, beside_min=600) == "day 2 0:10"
    assert clock(1450, beside_min=1440) == "0:10"
    assert clock(-30, beside_min=-10) == "23:30"
    assert percent(0.7999) == "79 %"
    assert percent(0.29) == "29 %"
