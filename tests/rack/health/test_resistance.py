"""Readings of resistance made alike: hand-worked, and against what one cell showed at other currents."""

from __future__ import annotations

from math import asinh, exp, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.match.of_practice import practice as match_practice
from loomwright.rack.health.charge import Held
from loomwright.rack.health.resistance import Seen, observed, seen_at, shown_share
from loomwright.rack.health.rest_curve import rest_voltage
from loomwright.rack.health.timeline import Moment, moments
from tests.rack.health.stories import OF_18, Story

FULL = Held(1.0, 0.0, 1.0)


def _last(story: Story) -> Moment:
    return moments(story.battery())[-1]


def _seen(story: Story) -> Seen:
    seen = seen_at(_last(story), OF_18)
    assert isinstance(seen, Seen)
    return seen


def test_a_tester_at_the_classs_currents_is_taken_as_it_reads() -> None:
    """Between 1 and 18 A, charged and at 25 C nothing is carried over, and the reading's own doubt stays."""
    found = observed(_last(Story().tested(1, 12.5)), _seen(Story().tested(1, 12.5)), OF_18, FULL)
    assert exp(found.log_share) * OF_18.ohm == pytest.approx(0.0125)
    assert found.doubt == pytest.approx(0.07)


def test_what_shows_at_other_currents_by_hand() -> None:
    """15 % of it are activation, which from 10 to 100 A is a fifth of what it is from 1 to 18 A (own working)."""
    chord = (asinh(100 / 3) - asinh(10 / 3)) / 90 / ((asinh(6) - asinh(1 / 3)) / 17)
    assert chord == pytest.approx(0.199, abs=0.001)
    assert shown_share(10, 100, OF_18) == pytest.approx(0.85 + 0.15 * chord)
    assert shown_share(1, 18, OF_18) == 1.0


def test_a_load_that_is_held_shows_the_slow_part_too() -> None:
    """After 10 s of 200 A a battery shows more than at once, by the slow pair's share; the match's own constants."""
    at_once, later = (shown_share(0, 200, OF_18, seconds=seconds) for seconds in (0.0, 10.0))
    slow = match_practice("slow share") * (1 - exp(-10 / match_practice("slow time")))
    assert later - at_once == pytest.approx(match_practice("fast share") + slow, abs=1e-6)


def test_one_cell_at_two_pairs_of_currents_is_no_contradiction() -> None:
    """22.7 milliohm at 1 and 18 A and 5.3 at 100 and 200 A of one cell (own measurement of a full model).

    What is carried over so far is so doubtful that the two agree within 3 standard deviations; the far one alone
    leaves room for a factor of 1.5 either way.
    """
    near = observed(_last(Story().tested(1, 22.7)), _seen(Story().tested(1, 22.7)), OF_18, FULL)
    story = Story().tested(1, 5.3, low_a=100.0, high_a=200.0)
    far = observed(_last(story), _seen(story), OF_18, FULL)
    assert abs(near.log_share - far.log_share) < 3 * (near.doubt + far.doubt)
    assert far.doubt > log(1.5)


def test_two_loads_by_hand() -> None:
    """12.7 V at 1 A and 12.462 V at 18 A are 14 milliohm between these."""
    story = Story().loaded(1, 12.462, load_a=18.0, other_load_a=1.0, other_v=12.7)
    assert _seen(story).ohm == pytest.approx(0.014)
    assert (_seen(story).low_a, _seen(story).high_a) == (1.0, 18.0)


def test_one_load_needs_a_rest_voltage() -> None:
    """Its own, or the last one within a day with neither match nor charge in between; otherwise it tells nothing."""
    load = {"load_a": 20.0}
    assert _seen(Story().rested(1, 12.8).loaded(1.01, 12.5, **load)).ohm == pytest.approx(0.015, rel=0.01)
    assert _seen(Story().rested(1, 12.8).loaded(1.01, 12.5, **load).loaded(1.02, 12.5, **load)).ohm == pytest.approx(
        0.015, rel=0.01
    )
    for story in (
        Story().loaded(1, 12.5, **load),
        Story().rested(1, 12.8).loaded(3, 12.5, **load),
        Story().rested(1, 12.8).played(1.005).loaded(1.01, 12.5, **load),
        Story().rested(1, 12.3).charged(1.005).loaded(1.01, 12.5, **load),
    ):
        assert "none was taken before it" in str(seen_at(_last(story), OF_18))


def test_a_load_test_by_hand() -> None:
    """12.9 V at rest a day after a charge, 10.4 V after 10 s of 200 A: 12.3 milliohm, less what the charge cost."""
    seen = _seen(Story().load_test(1, 10.4, rest_v=12.9))
    surface_v = 0.45 * exp(-21.6 / 6)
    spent_v = 200 * 10 / 3600 / 18 * (rest_voltage(1.0) - rest_voltage(0.75)) / 0.25
    assert seen.ohm == pytest.approx((12.9 - 10.4 - surface_v - spent_v) / 200, rel=1e-3)
    assert seen.seconds == 10


def test_surface_charge_is_no_resistance() -> None:
    """Ten minutes off the charger 13.4 V are surface charge: what it loses at once under load is not counted."""
    fresh = _seen(Story().charged(1).rested(1.007, 13.4).loaded(1.008, 12.7, load_a=20.0))
    rested = _seen(Story().charged(1).rested(1.9, 13.0).loaded(1.901, 12.7, load_a=20.0))
    assert fresh.ohm == pytest.approx(rested.ohm, rel=0.25)
    assert fresh.noise > 0.5 > rested.noise


def test_no_drop_tells_nothing() -> None:
    """A voltage under load above the rest voltage is set aside, with both numbers."""
    told = str(seen_at(_last(Story().rested(1, 12.5).loaded(1.01, 12.6, load_a=20.0)), OF_18))
    assert "12.50 V at rest and 12.60 V under load" in told


def test_a_resistance_without_its_currents_is_set_aside() -> None:
    """It counts for nothing, and the reason says why: the same cell shows another one at others."""
    story = Story().tested(1, 12)
    story.readings[0] = type(story.readings[0])(
        key="1", kind=story.readings[0].kind, day=story.readings[0].day, who="AB", value=0.012
    )
    health = story.health()
    assert health.tested == 0
    assert [one.why for one in health.set_aside] == [
        "Without its two test currents a resistance tells nothing: the same cell shows 4 times as much at others."
    ]


@given(st.floats(-10, 45), st.floats(0.3, 1.0))
def test_cold_and_flat_read_high(warm: float, charge: float) -> None:
    """The colder or flatter a battery was, the less of the same reading is its own, and the less sure that is."""
    story = Story().tested(1, 15, temperature_c=warm)
    found = observed(_last(story), _seen(story), OF_18, Held(charge, 0.0, 1.0))
    usual = observed(_last(Story().tested(1, 15)), _seen(Story().tested(1, 15)), OF_18, FULL)
    assert found.as_it_was - found.log_share == pytest.approx(log(1 + (1 - charge) ** 2))
    if warm <= 25:
        assert found.log_share <= usual.log_share + 1e-12
    assert found.doubt >= usual.doubt - 1e-12


@pytest.mark.parametrize(("load_a", "volts", "counts"), [(100, 13.0, False), (100, 12.9, True), (90, 13.0, True)])
def test_a_hard_load_that_shows_no_drop_is_set_aside(load_a: float, volts: float, *, counts: bool) -> None:
    """More than 12.9 V under 100 A and more: no battery does that, as a load test and as a voltage under load."""
    for story in (
        Story().load_test(1, volts, load_a=load_a, rest_v=13.3),
        Story().charged(0.1).loaded(1, volts, load_a=load_a, rest_v=13.3),
    ):
        health = story.health()
        assert (health.tested == 1) == counts
        assert [one.why for one in health.set_aside if "no battery shows more than 12.9 V" not in one.why] == []
        assert (len(health.set_aside) == 0) == counts
