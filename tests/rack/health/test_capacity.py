"""Capacity tests made alike, on tests whose answer is known."""

from __future__ import annotations

import os
from math import exp

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.rack.battery import class_of
from loomwright.rack.health import capacity
from loomwright.rack.health.capacity import Discharged, at_usual_current_ah, least_share, usual_current_a
from loomwright.rack.health.charge import Held
from loomwright.rack.health.discharge import delivered_share, warmth_factor
from loomwright.rack.health.health import health_of
from loomwright.rack.health.timeline import moments
from tests.rack.health.stories import NOW, OF_18, Story, noisy

FULL = Held(1.0, 0.0, 1.0)
TEAMS = 200 if os.environ.get("LOOM_LONG") else 40


def _tested(story: Story, held: Held = FULL) -> Discharged:
    found = capacity.tested(moments(story.battery())[-1], OF_18, held)
    assert isinstance(found, Discharged)
    return found


def test_a_test_by_hand() -> None:
    """18 Ah, 7.5 A: 0.417 C is between the sheet's 0.329 (65.7 %) and 0.545 C (54.5 %), 47 % of the way: 60.4 %.

    So 1.45 h are 10.9 Ah, which is what the sheet makes of a new one.
    """
    found = _tested(Story().discharged(1, 1.4508))
    assert found.delivered_ah == pytest.approx(10.88, abs=0.01)
    assert exp(found.log_share) == pytest.approx(1.0, abs=0.002)
    assert found.doubt == pytest.approx(0.04, abs=0.001)


def test_a_good_battery_is_better_than_the_sheet() -> None:
    """11.5 Ah at 7.5 A (common practice) are 1.06 of what the sheet's make gives: the limit in its terms."""
    assert least_share(OF_18) == pytest.approx(11.5 / 10.88, abs=0.002)
    assert at_usual_current_ah(least_share(OF_18), OF_18) == pytest.approx(11.5)
    small = class_of(None, 7.0)
    assert usual_current_a(small) == pytest.approx(7.5 * 7 / 18)
    assert least_share(small) == pytest.approx(least_share(OF_18))


def test_two_batteries_of_one_type_at_a_low_rate() -> None:
    """14.5 and 19 Ah of 17 Ah at 0.1 C (recorded logs): shares of 0.93 and 1.22, told as 1.1 at most."""
    seventeen = class_of(None, 17.0)
    found = []
    for delivered_ah in (14.5, 19.0):
        story = Story(of=seventeen)
        for day in (1, 5, 9):
            story.discharged(day, delivered_ah / 1.7, load_a=1.7)
        found.append(story.health().capacity_ah)
    assert found[0].middle == pytest.approx(14.5 / 0.915, rel=0.06)
    assert found[1].middle <= found[1].high <= 1.1 * 17 + 1e-9


@given(st.floats(0.9, 29.5 / 14 * 18), st.floats(0.3, 1.1), st.floats(0, 40))
def test_any_test_finds_the_share_that_it_was_made_of(load_a: float, share: float, warm: float) -> None:
    """Whatever the current and the warmth, a battery that gives a share of the sheet's is found to have that share."""
    hours = share * 18 * delivered_share(load_a, 18) / load_a
    hours *= warmth_factor(warm, 60 * hours)  # the table is by the discharge's length, which warmth changes a little
    found = _tested(Story().discharged(1, hours, load_a=load_a, temperature_c=warm))
    assert exp(found.log_share) == pytest.approx(share, rel=0.06)


def test_far_from_the_usual_current_the_sheet_is_less_sure() -> None:
    """At 7.5 A the doubt is the test's own; at 1 A and at 30 A it is more."""
    doubts = {load: _tested(Story().discharged(1, 0.5, load_a=load)).doubt for load in (1.0, 7.5, 30.0)}
    assert doubts[7.5] < doubts[1.0]
    assert doubts[7.5] < doubts[30.0]


def test_what_was_not_charged_is_not_missing() -> None:
    """Begun at 80 %, a test finds 80 %: that is put down to the charge, and the doubt is larger."""
    full, part = _tested(Story().discharged(1, 1.4)), _tested(Story().discharged(1, 1.12), Held(0.8, 0.06, 0.8))
    assert part.log_share == pytest.approx(full.log_share, abs=1e-6)
    assert part.doubt > full.doubt


def test_a_test_to_another_end_is_set_aside() -> None:
    """Stopped at 11.5 V it did not find the end."""
    health = Story().discharged(1, 1.4, cutoff_v=11.5).health()
    assert health.capacity_tested == 0
    assert "stopped at 11.5 V" in health.set_aside[0].why


def test_more_than_a_battery_can_hold_is_set_aside() -> None:
    """28 Ah of 18 are more than 1.5 times the rating; 26 are believed, though told as 1.1 at most."""
    wrong, much = (Story().discharged(1, given / 7.5).health() for given in (28.0, 26.0))
    assert wrong.capacity_tested == 0
    assert "28.0 Ah are more than 1.5 times the 18 Ah" in wrong.set_aside[0].why
    assert much.capacity_tested == 1
    assert much.set_aside == ()


def test_nine_of_ten_ranges_hold_the_truth() -> None:
    """240 batteries of teams with one to three tests each: 85 to 95 % of the capacities are in their range."""
    rng = np.random.default_rng(3)
    inside = total = 0
    for _ in range(TEAMS):
        shares = np.clip(rng.normal(0.85, 0.05) + 0.1 * rng.normal(size=6), 0.4, 1.05)
        team = []
        for n, share in enumerate(shares):
            story = Story(label=str(n))
            for k in range(int(rng.integers(1, 4))):
                hours = noisy(rng, share * 18 * delivered_share(7.5, 18) / 7.5, 0.04)
                story.discharged(1 + 10 * k, hours * rng.normal(0.97, 0.03))
            team.append(story.battery())
        for one, share in zip(health_of(team, NOW - 90), shares, strict=True):
            inside += one.health.capacity_ah.low <= 18 * share <= one.health.capacity_ah.high
            total += 1
    assert 0.85 <= inside / total <= 0.96
