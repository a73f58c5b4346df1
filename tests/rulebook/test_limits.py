"""Current limits and ramps that can't work, and those that only look odd."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.model.device import Limit, Limits
from loomwright.model.fact import Fact, Saying, State
from loomwright.model.part import TripPoint
from loomwright.plan.result import Plan
from loomwright.rulebook.holding import ASSUMED_CURVE, NO_CURVE, holds_s
from tests.rulebook.factory import (
    CURVE,
    claims,
    finds,
    mark,
    said,
    silent,
    sound_plan,
    with_circuit,
    with_device,
    with_robot,
)


def _limited(supply: object = None, motor: object = None, enabled: object = None) -> Plan:
    limits = Limits(
        said(supply, 50) if isinstance(supply, Limit) else supply or Fact(),  # type: ignore[arg-type]
        said(motor, 51) if isinstance(motor, Limit) else motor or Fact(),  # type: ignore[arg-type]
        said(enabled, 52) if isinstance(enabled, bool) else Fact(),
    )
    return with_device(sound_plan(), "left drive controller", limits=limits)


# ---------------------------------------------------------------- zero
def test_a_limit_of_nothing_is_found_on_either_side() -> None:
    """Some controllers read 0 as no limit at all, so the words stay careful."""
    assert finds("limit not zero", _limited(Limit(0.0)), "limit-zero").place.line == 50
    assert finds("limit not zero", _limited(Limit(40.0), Limit(0.0)), "limit-zero").place.line == 51


def test_a_limit_of_nothing_that_is_off_is_told_as_off() -> None:
    """One finding: it is not switched on."""
    silent("limit not zero", _limited(Limit(0.0), enabled=False))
    finds("limit switched on", _limited(Limit(0.0), enabled=False), "limit-switched-off", "should")


def test_a_guessed_limit_of_nothing_is_a_question() -> None:
    """Look first; and the sides of a limit of nothing are not compared."""
    finds("limit not zero", _limited(Fact.of(Limit(0.0), mark(50), State.GUESSED)), "limit-zero", "should")
    silent("limit sides", _limited(Limit(40.0), Limit(0.0)))


# ---------------------------------------------------------------- within the protection
def test_120_a_behind_40_a_is_found() -> None:
    """Three times the rating for as long as it pushes."""
    finding = finds("limit within protection", _limited(Limit(120.0)), "limit-above-protection")
    assert finding.what.startswith("left drive may take 120 A for as long as it pushes (judged at 5 s)")
    assert finding.rests_on == ()


def test_hold_35_peak_60_for_a_moment_is_fine() -> None:
    """The example of the robot file: 60 A for 0.3 s behind 40 A."""
    plan = _limited(Limit(35.0, 60.0, 0.3))
    silent("limit within protection", plan)
    silent("limit within rating", plan)


def test_a_peak_that_lasts_too_long_is_found() -> None:
    """The same peak for a minute and a half."""
    assert (
        "60 A for" in finds("limit within protection", _limited(Limit(35.0, 60.0, 90.0)), "limit-above-protection").what
    )


def test_80_a_behind_40_a_holds_at_least_five_seconds() -> None:
    """So 80 A is advice, not an alarm: it opens later, sooner when hot."""
    plan = _limited(Limit(80.0))
    silent("limit within protection", plan)
    finds("limit within rating", plan, "limit-above-rating", "consider")


def test_a_limit_at_the_rating_is_fine() -> None:
    """40 A behind 40 A."""
    silent("limit within protection", _limited(Limit(40.0)))
    silent("limit within rating", _limited(Limit(40.0)))


def test_a_motor_side_limit_is_no_battery_current() -> None:
    """120 A in the motor may be 20 A from the battery."""
    plan = _limited(Limit(40.0), Limit(120.0))
    silent("limit within protection", plan)
    silent("limit within rating", plan)
    silent("limit sides", plan)


def test_a_verdict_on_an_assumed_curve_says_so() -> None:
    """Also where no curve is known, and where a peak has no time."""
    plan = with_circuit(_limited(Limit(120.0)), "left drive", curve_assumed=True)
    assert finds("limit within protection", plan, "limit-above-protection").rests_on == (ASSUMED_CURVE,)
    bare = with_circuit(_limited(Limit(120.0)), "left drive", trip_curve=())
    assert finds("limit within protection", bare, "limit-above-protection").rests_on == (NO_CURVE,)
    timeless = finds("limit within protection", _limited(Limit(30.0, 200.0)), "limit-above-protection")
    assert timeless.rests_on == ("a peak whose time is not written, taken as 1 s",)


def test_a_limit_that_is_off_or_guessed_or_behind_nothing_raises_no_alarm() -> None:
    """Off is told elsewhere, a guess is a question, no protection is no comparison."""
    silent("limit within protection", _limited(Limit(120.0), enabled=False))
    guess = Fact.of(Limit(120.0), mark(50), State.GUESSED)
    finds("limit within protection", _limited(guess), "limit-above-protection", "should")
    silent("limit within protection", with_circuit(_limited(Limit(120.0)), "left drive", protection_a=None))


# ---------------------------------------------------------------- sides
def test_a_supply_limit_above_the_motor_limit_looks_swapped() -> None:
    """Supply current never gets above motor current."""
    assert "look mixed up" in finds("limit sides", _limited(Limit(80.0), Limit(40.0)), *_SWAPPED).what


_SWAPPED = ("limit-sides-swapped", "should")


def test_equal_sides_and_a_motor_peak_above_are_fine() -> None:
    """40 and 40; supply 60 below a motor peak of 100."""
    silent("limit sides", _limited(Limit(40.0), Limit(40.0)))
    silent("limit sides", _limited(Limit(60.0), Limit(50.0, 100.0, 0.5)))
    silent("limit sides", _limited(Limit(80.0), Limit(40.0), enabled=False))


# ---------------------------------------------------------------- switched on
def test_a_limit_that_is_written_but_off_is_found() -> None:
    """The block is there, and disabled."""
    finding = finds("limit switched on", _limited(Limit(40.0), Limit(80.0), enabled=False), *_OFF)
    assert finding.what == "left drive has a supply and a motor-side limit that is written but not switched on."


_OFF = ("limit-switched-off", "should")


def test_a_limit_that_says_nothing_of_its_switch_is_fine() -> None:
    """Nobody writes `enabled: yes`; and off without numbers is no contradiction."""
    silent("limit switched on", _limited(Limit(40.0)))
    silent("limit switched on", _limited(Limit(40.0), enabled=True))
    silent("limit switched on", _limited(enabled=False))


# ---------------------------------------------------------------- none at all
def test_drives_without_any_limit_are_told_in_one_line() -> None:
    """Advice, once for the whole robot."""
    plan = with_device(_limited(), "right drive controller", limits=Limits())
    finding = finds("limit present", plan, "no-limit", "consider")
    assert finding.what == "No current limit is written for left drive and right drive."


def test_one_side_is_a_limit_and_none_found_is_a_question_elsewhere() -> None:
    """`supply: none found` is not the same as no limit."""
    silent("limit present", _limited(motor=Limit(80.0)))
    plan = _limited(Fact(Saying.NONE_FOUND, (), mark(50)))
    silent("limit present", plan)
    finds("nothing found", plan, "none-found", "should")


def test_a_drive_that_nothing_feeds_is_not_told_to_have_no_limit() -> None:
    """It is asked about elsewhere."""
    plan = replace(_limited(), circuits=tuple(c for c in sound_plan().circuits if c.id != "left drive"))
    silent("limit present", plan)


def test_a_robot_that_asks_is_asked_for_limits_elsewhere() -> None:
    """Left out is not the same as no limit either."""
    silent("limit present", with_robot(_limited(), asks=True))


# ---------------------------------------------------------------- ramp
def test_a_ramp_of_a_hundred_seconds_is_found() -> None:
    """Somebody wrote 100 where seconds are meant."""
    plan = with_device(sound_plan(), "left drive controller", ramp=said((100.0, 100.0), 53))
    finding = finds("ramp in reason", plan, "ramp-too-long")
    assert finding.what.startswith("left drive takes 100 s to reach full output")


@pytest.mark.parametrize("ramp", [(0.0, 0.0), (0.2, 0.3), (5.0, 5.0), (10.0, 10.0)])
def test_usual_ramps_are_fine(ramp: tuple[float, float]) -> None:
    """0 s is no fault either."""
    silent("ramp in reason", with_device(sound_plan(), "left drive controller", ramp=said(ramp)))


def test_a_guessed_ramp_is_a_question() -> None:
    """Look first."""
    plan = with_device(sound_plan(), "left drive controller", ramp=said((100.0, 100.0), 53, State.GUESSED))
    finds("ramp in reason", plan, "ramp-too-long", "should")


def test_a_long_ramp_among_claims_is_a_question() -> None:
    """One of the two is wrong; which one is not known."""
    ramp = claims(((0.5, 0.5), "notebook"), ((100.0, 100.0), "code"))
    finds(
        "ramp in reason",
        with_device(sound_plan(), "left drive controller", ramp=ramp),
        "ramp-too-long",
        "should",
    )


# ---------------------------------------------------------------- how long a protection holds
def _held(multiple: float, *points: TripPoint, assumed: bool = False) -> float:
    circuit = with_circuit(sound_plan(), "left drive", trip_curve=points, curve_assumed=assumed).circuit("left drive")
    assert circuit is not None
    return holds_s(circuit, multiple, bare=2.0, bare_s=5.0).seconds


def test_times_follow_the_curve_and_stay_on_the_safe_side_beyond_it() -> None:
    """For ever at the rating; the first point's time below it; I squared t above the last one."""
    assert math.isinf(_held(1.0, *CURVE))
    assert _held(1.1, *CURVE) == 60.0
    assert _held(2.0, *CURVE) == pytest.approx(5.0)
    assert _held(8.0, *CURVE) == pytest.approx(0.8 / 4)
    assert 5.0 < _held(1.5, *CURVE) < 60.0


def test_points_that_only_say_when_it_must_open_tell_nothing_of_holding() -> None:
    """1.35 times the rating within an hour is no promise to hold at all."""
    opens = TripPoint(1.35, None, 3600.0)
    assert _held(1.35, CURVE[0], opens, *CURVE[1:]) == _held(1.35, *CURVE)
    assert _held(3.0, opens) == _held(3.0)


def test_without_a_curve_twice_the_rating_holds_five_seconds() -> None:
    """Common practice for snap-action breakers."""
    assert _held(2.0) == 5.0
    assert _held(4.0) == pytest.approx(1.25)


@given(st.floats(1.0, 20.0), st.floats(1.0, 20.0))
def test_more_current_never_holds_longer(one: float, other: float) -> None:
    """Inside the curve, at its ends and beyond."""
    low, high = sorted((one, other))
    assert _held(high, *CURVE) <= _held(low, *CURVE) * (1 + 1e-9)
    assert _held(high) <= _held(low) * (1 + 1e-9)
