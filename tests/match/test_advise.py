"""Limits for all mechanisms at once: a front that none beats, and no limit above the one that is there."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from loomwright.match.advise import Advice, _short, advised
from loomwright.match.change import LEAST_A, limits_of, with_limit
from loomwright.match.rank import compared, peaks_of
from loomwright.match.study import play_study
from tests.match.studies import outcomes, study
from tests.match.test_rank import Impatient

PLAYED = 16


@cache
def advice() -> tuple[Advice, ...]:
    """Return the advice for the busy robot, searched once."""
    return advised(study(), outcomes().part(0, PLAYED))


def point(one: Advice) -> tuple[float, float, float]:
    """Return what is weighed: risk, volts at the dip and cost, as finely as the search looks."""
    return one.effect.risk, -round(one.effect.lowest_5_v, 2), round(one.cost, 3)


def test_none_beats_another() -> None:
    """In risk, volts and cost together; least risk first; at most six, and some of them do something."""
    points = [point(one) for one in advice()]
    for one in points:
        assert not any(other != one and all(b <= a for a, b in zip(one, other, strict=True)) for other in points)
    assert len(set(points)) == len(points)
    assert 2 <= len(points) <= 6
    assert [one.effect.risk for one in advice()] == sorted(one.effect.risk for one in advice())
    assert max(one.effect.lowest_5_v for one in advice()) > 0.3


def test_no_limit_is_above_the_one_that_is_there() -> None:
    """Nor above what a motor ever took, nor below 8 A."""
    there, peaks = limits_of(study().machine), peaks_of(study(), outcomes().part(0, PLAYED))
    for one in advice():
        for name, limit in one.limits:
            assert LEAST_A <= limit < there[name]
            assert limit < peaks[name]


def test_an_advice_does_what_it_says() -> None:
    """Its limits, set again by hand, have the very effect that is told."""
    one = advice()[-1]
    assert one.limits
    changed = study()
    for name, limit in one.limits:
        changed = with_limit(changed, name, limit)
    before = outcomes().part(0, PLAYED)
    again = compared(one.effect.words, one.effect.kind, before, play_study(changed, PLAYED))
    assert again == one.effect


def test_a_long_front_is_told_by_six_of_it() -> None:
    """Ten that none beats: six of them, in order, the first and the last among them; equal ones count once."""
    base = advice()[0]

    def one(risk: float, late_s: float) -> Advice:
        return replace(base, effect=replace(base.effect, risk=risk, late_s=late_s, metres=0.0, lowest_5_v=0.0))

    found = [one(k / 10, 15.0 * (10 - k)) for k in range(10)]
    told = _short([*found, found[3], one(0.9, 300.0)])
    assert [advice.effect.risk for advice in told] == pytest.approx([0.0, 0.2, 0.4, 0.5, 0.7, 0.9])
    assert _short(found[:4]) == tuple(found[:4])


def test_what_it_costs() -> None:
    """A share of the way that is not driven, and 1/150 for each second of waiting; a gain is no negative cost."""
    base = advice()[0]
    assert replace(base, effect=replace(base.effect, metres=-0.1, late_s=3.0)).cost == 0.1 + 3 / 150
    assert replace(base, effect=replace(base.effect, metres=0.1, late_s=-3.0)).cost == 0.0


def test_a_stopped_search_still_advises() -> None:
    """From what was played until then; stopped at once, what is there is all there is."""
    assert advised(study(), outcomes().part(0, PLAYED), watch=Impatient(3))
    (alone,) = advised(study(), outcomes().part(0, PLAYED), watch=Impatient(0))
    assert alone.limits == ()


def test_a_robot_that_takes_little_gets_no_limits() -> None:
    """Where every motor is held below 8 A already, there is nothing to lower."""
    motors = tuple(replace(motor, supply_limit_a=8.0) for motor in study().machine.motors)
    weak = replace(study(), machine=replace(study().machine, motors=motors))
    (alone,) = advised(weak, play_study(weak, PLAYED))
    assert alone.limits == ()
