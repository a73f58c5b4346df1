"""A battery that was charged and rests flat is no battery for a match, whatever its charge says that it should hold."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.rack.health.health import health_of
from loomwright.rack.health.result import State
from tests.rack.health.stories import NOW, Story


def _good() -> Story:
    """Return a battery that is fit, charged on day 10."""
    return Story().tests([12] * 3).charged(10)


def test_one_flat_rest_voltage_after_a_charge_is_enough_for_a_re_test() -> None:
    """10.6 V a day after a charge: re-test since then, first reason and first thing to do; 12.9 V leave it fit."""
    low = _good().rested(11, 10.6).verdict()
    assert low.state is State.RETEST
    assert low.since == pytest.approx(20011)
    assert low.reasons[0].startswith("It rested at 10.60 V on 2024-10-15, 24 h after a finished charge: 11.8 V or less")
    assert "(quoted)" in low.reasons[0]
    assert low.ask.startswith("It was charged and does not hold: charge it once more, watched")
    assert "if it is low again a cell is dead" in low.ask
    assert _good().rested(11, 12.9).verdict().state is State.FIT


@pytest.mark.parametrize(
    ("volts", "shorted"), [(11.8, False), (10.9, False), (10.8, True), (10.5, True), (10.4, False)]
)
def test_five_charged_cells_are_named(volts: float, *, shorted: bool) -> None:
    """From 10.5 to 10.8 V it rests as if one of its six cells were shorted; flat it is anyway."""
    verdict = _good().rested(11, volts).verdict()
    assert verdict.state is State.RETEST
    assert ("as if one of its six cells were shorted" in verdict.reasons[0]) == shorted


def test_only_a_second_charge_retires() -> None:
    """Three flat readings after one charge ask for a re-test; one more after another charge retires it."""
    story = _good().rested(11, 10.6).rested(11.1, 10.6).rested(11.2, 10.6)
    assert story.verdict().state is State.RETEST
    assert story.charged(12).verdict().state is State.RETEST
    twice = story.rested(13, 10.7).verdict()
    assert twice.state is State.RETIRE
    assert twice.since == pytest.approx(20013)
    assert [one[:21] for one in twice.reasons[:2]] == ["It rested at 10.60 V ", "It rested at 10.70 V "]
    assert "charged twice and did not hold" in twice.ask


def test_a_charge_that_only_the_reading_tells_of_counts() -> None:
    """Hours since a charge that were told are as good as a recorded one, but the same charge is not a second one."""
    story = Story().tests([12] * 3).rested(11, 11.5, since_charge_h=20.0)
    assert story.verdict().state is State.RETEST
    assert story.rested(11.5, 11.5, since_charge_h=32.0).verdict().state is State.RETEST
    assert story.rested(13, 11.5, since_charge_h=20.0).verdict().state is State.RETIRE


def test_a_later_voltage_of_a_charged_battery_takes_one_back() -> None:
    """12.9 V after it: a slip of the pen, fit as before; after two of them re-test, then fit; 12.0 V take none."""
    assert _good().rested(11, 10.6).rested(11.1, 12.0).verdict().state is State.RETEST
    assert _good().rested(11, 10.6).rested(11.1, 12.9).verdict().state is State.FIT
    twice = _good().rested(11, 10.6).charged(12).rested(13, 10.6)
    assert twice.charged(14).rested(15, 12.9).verdict().state is State.RETEST
    assert twice.rested(15.5, 12.9).verdict().state is State.FIT


@pytest.mark.parametrize("hours", [0.5, 200.0])
def test_too_soon_or_weeks_later_nothing_is_said(hours: float) -> None:
    """Half an hour after the charge, or more than a week: surface charge or standing may be in it."""
    assert _good().rested(10 + hours / 24, 11.5).verdict().state is State.FIT


def test_used_since_it_is_no_sign_that_it_does_not_hold() -> None:
    """11.5 V after matches that followed the charge: it was used. Before a match or a load: it does not hold."""
    assert _good().played(10.2).played(10.3).rested(11, 11.5).verdict().state is State.FIT
    assert _good().played(11, before_v=11.5).verdict().state is State.RETEST
    assert _good().loaded(11, 9.5, load_a=20.0, rest_v=11.5).verdict().state is State.RETEST


@given(st.floats(9.0, 11.8), st.floats(2.0, 168.0), st.sampled_from([11.0, 16.0, 23.0]))
def test_one_low_reading_never_retires_and_never_stays_fit(volts: float, hours: float, mohm: float) -> None:
    """Any flat rest voltage from hours to a week after a charge, whatever the resistance: re-test."""
    assert Story().tests([mohm] * 4).rested(20, volts, since_charge_h=hours).verdict().state is State.RETEST


@given(st.permutations(range(6)))
def test_the_order_of_arrival_changes_nothing(order: list[int]) -> None:
    """Flat and good rest voltages in whatever order they arrived lead to the same verdict and numbers."""
    story = _good().rested(11, 10.6).rested(11.1, 12.9).charged(12).rested(13, 10.6)
    plain = story.battery()
    mixed = replace(plain, readings=tuple(plain.readings[n] for n in order), charges=plain.charges[::-1])
    assert health_of([mixed], NOW) == health_of([plain], NOW)


def test_worn_out_by_resistance_stays_retired() -> None:
    """A flat rest voltage makes nothing better: to be retired by its resistance stays that."""
    assert Story().tests([34] * 4).charged(20).rested(21, 10.6).verdict().state is State.RETIRE


def test_the_note_about_another_charger_is_not_said_twice() -> None:
    """12.4 V a day after the charge points at the charger; 10.6 V are a reason, and no note beside it."""
    assert any("another charger" in one for one in _good().rested(11, 12.4).health().notes)
    assert not any("another charger" in one for one in _good().rested(11, 10.6).health().notes)
