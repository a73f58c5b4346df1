"""How a battery takes charge over minutes."""

from __future__ import annotations

from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.catalogue.sources import sources
from loomwright.catalogue.tables import table
from loomwright.rack.checker.charging import charged_mah
from loomwright.rack.day.curve import Curve, curve_of
from loomwright.rack.day.practice import practice_source, usual_practice, usual_slips
from loomwright.rack.day.problem import DayPractice
from loomwright.rack.day.result import Stint
from tests.rack.day.days import small_practices

CURVES = st.builds(
    curve_of,
    small_practices(),
    st.integers(50, 300),
    st.sampled_from((0.1, 0.2, 0.6, 1.0)),
)


def test_the_usual_curve_by_hand() -> None:
    """2 A with 0.9 kept is 30 mAh a minute; full is 36 min away at the bend: 18 - 1.08 Ah; then 10 mAh a minute."""
    curve = curve_of(usual_practice(), 18_000, 2.0)
    assert curve == Curve(full_mah=18_000, bend_mah=16_920, pace_mah=30, slow=3)
    assert curve.after(16_500, 14) == 16_920
    assert curve.after(16_500, 24) == 17_020
    assert curve.minutes_to_full(16_500) == 14 + 108
    assert curve.after(16_500, 121) == 17_990
    assert curve.after(16_500, 500) == 18_000


@pytest.mark.parametrize("minutes", [0, 20, 36, 60, 90, 108, 140])
def test_the_two_pieces_stay_near_the_charge_that_dies_away(minutes: int) -> None:
    """Against remaining = pace x tau x exp(-t / tau), after the bend: within 7 % of a full battery at 6 A of 18 Ah."""
    curve = curve_of(usual_practice(), 18_000, 6.0)
    dying_mah = 18_000 - 90 * 36 * exp(-minutes / 36)
    assert abs(curve.after(curve.bend_mah, minutes) - dying_mah) < 0.07 * 18_000


@given(CURVES, st.integers(0, 300), st.integers(0, 40), st.integers(0, 40))
def test_a_charge_in_two_parts_is_the_same_charge(curve: Curve, from_mah: int, one: int, two: int) -> None:
    """Up to the mAh that is rounded down in between; and never less by more minutes or by a fuller start."""
    from_mah = min(from_mah, curve.full_mah)
    whole = curve.after(from_mah, one + two)
    assert whole - 1 <= curve.after(curve.after(from_mah, one), two) <= whole
    assert curve.after(from_mah, one) <= whole
    assert curve.after(max(0, from_mah - 1), one) <= curve.after(from_mah, one)


@given(CURVES, st.integers(0, 300))
def test_full_is_reached_in_just_so_many_minutes(curve: Curve, from_mah: int) -> None:
    """One minute less is not full."""
    from_mah = min(from_mah, curve.full_mah)
    minutes = curve.minutes_to_full(from_mah)
    assert curve.after(from_mah, minutes) == curve.full_mah
    assert minutes == 0 or curve.after(from_mah, minutes - 1) < curve.full_mah


@given(small_practices(), st.integers(50, 300), st.floats(0, 1), st.integers(0, 60))
def test_minute_by_minute_gives_the_same(practice: DayPractice, full_mah: int, share: float, minutes: int) -> None:
    """The checker's steps and the simulator's formula agree to the mAh."""
    charge_mah = int(share * full_mah)
    stint = Stint(
        charger="C", battery="B", from_min=5, to_min=5 + minutes, amps=0.2, fast=False, charge_from=0, charge_to=0,
        match="m",
    )  # fmt: skip
    after = curve_of(practice, full_mah, 0.2).after(charge_mah, minutes)
    assert charged_mah(practice, full_mah, charge_mah, stint) == after


def test_every_number_of_the_day_has_its_source() -> None:
    """Common practice of the trade and this program's choices are told apart, by keys that stand in the list."""
    assert {practice_source(row["name"]) for row in table("rack_day_practice")} <= set(sources())
    assert practice_source("cool before charging") == "common practice"
    assert practice_source("least charge") == "own-choice"
    practice = usual_practice()
    assert (practice.lead_min, practice.back_min, practice.cool_before_min, practice.match_ah) == (10, 10, 15, 1.5)
    assert practice.is_fast(4.0)
    assert not practice.is_fast(2.0)
    assert usual_slips().late_chance == 0.5
