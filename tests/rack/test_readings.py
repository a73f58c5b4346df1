"""Readings as numbers on a line of days, and what no battery can show."""

from __future__ import annotations

import random
from typing import Any

import pytest

from loomwright.rack.physics import rejected
from loomwright.rack.readings import day_of, readings_of
from loomwright.records.event import Event, Kind
from tests.records.events import event


def reading(kind: Kind, value: float | None, **conditions: float) -> Event:
    """Return a reading of one battery."""
    return event(1, kind, about="B3", value=value, conditions=conditions)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (reading(Kind.RESTED, 3), "3 V for a rest voltage is outside what is possible: 5 to 16 V."),
        (reading(Kind.RESTED, 40), "40 V for a rest voltage is outside"),
        (reading(Kind.RESISTANCE, -0.01, low_a=1, high_a=18), "-0.01 ohm for resistance is outside"),
        (reading(Kind.RESISTANCE, 13.2, low_a=1, high_a=18), "13.2 ohm for resistance is outside"),
        (reading(Kind.RESISTANCE, 0.0132, low_a=18, high_a=1), "The smaller of the two test currents"),
        (reading(Kind.LOADED, 12.4, load_a=5, other_load_a=5, other_v=12), "Two equal loads"),
        (reading(Kind.LOADED, 12.4, load_a=1, other_load_a=18, other_v=12.5), "Were the two swapped?"),
        (reading(Kind.LOADED, 12.4, load_a=18, other_load_a=1, other_v=12.1), "Were the two swapped?"),
        (reading(Kind.LOADED, 12.4, load_a=1, other_load_a=18, other_v=12.4), "no lower under the larger load"),
        (reading(Kind.LOAD_TEST, 12.9, load_a=200, seconds=10, rest_v=12.8), "higher under load than at rest"),
        (reading(Kind.RESTED, 12.8, temperature_c=200), "200 C for temperature c is outside"),
        (reading(Kind.CAPACITY, 0, load_a=7.5, cutoff_v=10.5), "0 h for capacity is outside"),
    ],
)
def test_what_no_battery_can_show_counts_for_nothing_and_says_why(told: Event, words: str) -> None:
    """Each with its reason; none of them is thrown away."""
    assert words in rejected(told)
    assert readings_of([told])[0].rejected == rejected(told)


@pytest.mark.parametrize(
    "told",
    [
        reading(Kind.RESTED, 12.8),
        reading(Kind.RESTED, 10.4),
        reading(Kind.LOADED, 12.4, load_a=1, other_load_a=18, other_v=12.1),
        reading(Kind.LOADED, 12.1, load_a=18, other_load_a=1, other_v=12.4),
        reading(Kind.RESISTANCE, 0.0132),
        reading(Kind.LOAD_TEST, 10.4, load_a=200, seconds=10),
        event(1, Kind.LOOKED_OVER, about="B3", words="swollen"),
        event(1, Kind.MOVED, about="B3", words="rack"),
    ],
)
def test_a_bad_battery_is_no_bad_reading(told: Event) -> None:
    """A dead cell, a weak battery and what has no value are all taken for what they are."""
    assert rejected(told) == ""


def test_readings_stand_in_the_order_of_their_clocks_whatever_order_they_came_in() -> None:
    """Half a day apart is half a day; of one moment the key decides."""
    told: list[Any] = [
        event(n, Kind.RESTED, about="B3", value=12.5, measured_at=f"2026-02-07T{hour:02}:00:00Z")
        for n, hour in enumerate((12, 0, 12, 6), 1)
    ]
    found = readings_of(told)
    random.Random(3).shuffle(told)  # noqa: S311  a test's own order
    assert readings_of(told) == found
    assert [one.key[-1] for one in found] == ["2", "4", "1", "3"]
    assert found[2].day - found[0].day == 0.5
    assert day_of("1970-01-02T12:00:00Z") == 1.5
