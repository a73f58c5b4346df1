"""Levels with their doubt, on teams whose truth is known."""

from __future__ import annotations

import os
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.rack.health.levels import Level, Read, Track, levels
from loomwright.rack.health.supposed import supposed_loss, supposed_ohm

TEAMS = 400 if os.environ.get("LOOM_LONG") else 40
NOISE = 0.08


def _track(rng: np.random.Generator, team: float, count: int, name: str = "") -> tuple[Track, float]:
    """Return one battery as the model supposes batteries to be, and its true level now."""
    supposed = supposed_ohm()
    new = team + rng.choice(supposed.spreads) * rng.normal()
    slope = -1.0
    while slope < 0:
        slope = rng.normal(supposed.slope, supposed.slope_doubt)
    wears = np.sort(rng.uniform(0, 80, count)) + rng.uniform(0, 150)
    values = new + slope * wears + NOISE * rng.standard_t(supposed.tail, count)
    reads = tuple(
        Read(day=float(k), key=f"{name}{k:03}", wear=float(wear), log_share=float(value), doubt=NOISE)
        for k, (wear, value) in enumerate(zip(wears, values, strict=True))
    )
    now = float(wears[-1]) + 10
    return Track(reads=reads, wear=now, limits=(0.57, 0.97)), float(new + slope * now)


def _team(seed: int, count: int, size: int = 8) -> tuple[list[Track], list[float]]:
    rng = np.random.default_rng(seed)
    team = rng.normal(0, supposed_ohm().class_doubt)
    made = [_track(rng, team, count, str(n)) for n in range(size)]
    return [track for track, _ in made], [truth for _, truth in made]


def _flat(values: list[float], doubt: float = NOISE) -> Track:
    reads = tuple(Read(day=float(k), key=str(k), wear=float(k), log_share=v, doubt=doubt) for k, v in enumerate(values))
    return Track(reads=reads, wear=float(len(values)), limits=(0.57, 0.97))


def _width(level: Level) -> float:
    return level.now.high - level.now.low


@pytest.mark.parametrize("count", [1, 4, 15])
def test_nine_of_ten_ranges_hold_the_truth(count: int) -> None:
    """Of 320 batteries with 1, 4 or 15 readings each, 85 to 95 % lie in their 90 % range; half below the middle."""
    inside = below = total = 0
    for seed in range(TEAMS):
        tracks, truths = _team(1000 * count + seed, count)
        for level, truth in zip(levels(tracks, supposed_ohm()), truths, strict=True):
            inside += level.now.low <= truth <= level.now.high
            below += truth < level.now.middle
            total += 1
    assert 0.85 <= inside / total <= 0.95
    assert 0.42 <= below / total <= 0.58


@given(st.integers(0, 10_000), st.permutations(range(4)))
def test_the_order_of_batteries_changes_nothing(seed: int, order: list[int]) -> None:
    """Each battery has the same level wherever it stands in the team's list."""
    tracks, _ = _team(seed, 3, size=4)
    plain, mixed = levels(tracks, supposed_ohm()), levels([tracks[n] for n in order], supposed_ohm())
    for place, n in enumerate(order):
        assert mixed[place].now.middle == pytest.approx(plain[n].now.middle, abs=1e-9)
        assert np.array(mixed[place].above) == pytest.approx(np.array(plain[n].above), abs=1e-9)


def test_more_readings_narrow_the_range() -> None:
    """2, 5, 12 and 30 readings that agree: every time narrower, in the end below 10 % wide."""
    widths = [_width(levels([_flat([0.2] * count)], supposed_ohm())[0]) for count in (0, 2, 5, 12, 30)]
    assert widths == sorted(widths, reverse=True)
    assert widths[-1] < 0.1


def test_an_old_team_pulls_up_what_is_expected_of_a_new_label() -> None:
    """Beside five batteries at 1.6 times their class a battery without a reading is expected 1.3 times and more."""
    unread = _flat([])
    alone = levels([unread], supposed_ohm())[0]
    old, young = ([_flat([at] * 6) for _ in range(5)] for at in (0.47, 0.0))
    beside_old, beside_young = (levels([unread, *team], supposed_ohm())[0] for team in (old, young))
    assert beside_young.now.middle < alone.now.middle + 0.05
    assert beside_old.now.middle > alone.now.middle + 0.25
    assert _width(beside_young) < _width(alone)


def test_one_bad_reading_moves_little() -> None:
    """Nine readings at the class's value and one at 2.5 times: the middle moves by less than 4 %."""
    good = levels([_flat([0.0] * 9)], supposed_ohm())[0]
    spoilt = levels([_flat([0.0] * 9 + [0.92])], supposed_ohm())[0]
    assert abs(spoilt.now.middle - good.now.middle) < 0.04
    assert spoilt.above[-1][0] < 0.5
    again = levels([_flat([0.0] * 9 + [0.92, 0.0])], supposed_ohm())[0]
    assert again.above[-1][0] < 0.02


def test_a_battery_that_became_another_is_followed() -> None:
    """After ten readings at the class's value, three at twice that are believed: a cell has gone, say."""
    changed = levels([_flat([0.0] * 10 + [0.7] * 3)], supposed_ohm())[0]
    assert changed.now.middle == pytest.approx(0.7, abs=0.08)
    assert changed.above[-1][0] > 0.8
    steady = replace(supposed_ohm(), change=0.0)
    assert levels([_flat([0.0] * 10 + [0.7] * 3)], steady)[0].now.middle < 0.3


def test_each_reading_is_judged_by_what_was_known_then() -> None:
    """What comes later changes no earlier chance of the same battery, and none of its fellows'."""
    tracks, _ = _team(7, 6, size=3)
    short = [replace(track, reads=track.reads[:4]) for track in tracks]
    for before, after in zip(levels(short, supposed_ohm()), levels(tracks, supposed_ohm()), strict=True):
        assert np.array(after.above[:4]) == pytest.approx(np.array(before.above[:4]), abs=0.02)


def test_losses_are_levels_too() -> None:
    """Capacity is the same model upside down: four tests that lost a third are a loss of a third."""
    level = levels([_flat([0.4] * 4, 0.04)], supposed_loss())[0]
    assert level.now.middle == pytest.approx(0.39, abs=0.03)
    assert levels([], supposed_loss()) == ()
