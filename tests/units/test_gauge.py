"""Wire gauges as people write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.units import Gauge, thickest

GAUGES = st.builds(Gauge, st.integers(-3, 40))


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("12 AWG", 12),
        ("12", 12),
        ("#12", 12),
        ("no. 12", 12),
        ("12awg", 12),
        ("1/0 AWG", 0),
        ("4/0", -3),
        ("0", 0),
        ("0000", -3),
        (" 00 ga ", -1),
    ],
)
def test_a_gauge_is_read_as_it_is_written(text: str, number: int) -> None:
    assert Gauge.parse(text) == Gauge(number)


@pytest.mark.parametrize("text", ["", "12 mm", "5/0", "00000", "41", "-1", "12.5 AWG", "12 AWG 3"])
def test_what_is_no_gauge_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"is not a wire gauge|there is no"):
        Gauge.parse(text)


@given(GAUGES)
def test_a_gauge_reads_back_from_its_own_spelling(gauge: Gauge) -> None:
    assert Gauge.parse(str(gauge)) == Gauge.parse(gauge.label) == gauge


@given(GAUGES, GAUGES)
def test_of_two_gauges_one_is_thinner_or_they_are_equal(one: Gauge, other: Gauge) -> None:
    assert one.thinner_than(other) + other.thinner_than(one) + (one == other) == 1
    assert not thickest([one, other]).thinner_than(one)


def test_four_aught_is_thickest() -> None:
    assert thickest([Gauge(12), Gauge(-3), Gauge(0)]) == Gauge(-3)
