"""Matches in a row on one battery: charge falls by what was used, and the row ends where it is spent."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomwright.match.engine import layout as at
from loomwright.match.lasts import MOST, InARow, how_many, in_a_row
from loomwright.match.machine import Battery
from loomwright.match.study import play_study
from loomwright.match.verdict import Chance
from tests.match.studies import outcomes, study
from tests.match.test_rank import Impatient

PLAYED = 16


def test_charge_falls_by_what_a_match_used() -> None:
    """Each starts lower by the mean of what the first one used: its charge over what the battery holds."""
    first = outcomes().part(0, PLAYED)
    row = in_a_row(study(), first)
    held_ah = study().machine.battery.capacity_ah * first.drawn[:, at.D_AH]
    used = float((first.matches[:, at.O_AH] / held_ah).mean())
    assert [one.number for one in row] == list(range(1, len(row) + 1))
    for one in row:
        assert one.charge == pytest.approx(
            float(first.drawn[:, at.D_CHARGE].mean()) - used * (one.number - 1), rel=1e-6
        )
        assert one.brown_out.of == PLAYED
    assert row[0].brown_out.count == int(first.browned_out.sum())


def test_a_strong_battery_lasts_to_the_end_of_the_count() -> None:
    """Five are played, no more."""
    battery = replace(study().machine.battery, capacity_ah=100.0)
    big = replace(study(), machine=replace(study().machine, battery=battery))
    row = in_a_row(big, play_study(big, PLAYED))
    assert len(row) == MOST == how_many(row)


def test_a_small_battery_is_spent() -> None:
    """Of 5 Ah, 1.7 Ah a match: after two matches less than 30 % would be left, so no third is played."""
    battery = replace(study().machine.battery, capacity_ah=5.0)
    small = replace(study(), machine=replace(study().machine, battery=battery))
    first = play_study(small, PLAYED)
    row = in_a_row(small, first)
    used = row[0].charge - row[1].charge
    assert row[-1].charge >= 0.3 > row[-1].charge - used
    assert 2 <= len(row) <= 3


def test_without_a_doubt_on_charge_it_is_full_and_then_less() -> None:
    """A study that is sure of its charge starts full, and its later matches start with less all the same."""
    low = replace(study().machine.thresholds, off_v=9.4, on_v=9.5)
    machine = replace(study().machine, thresholds=low, battery=_small(6.0))
    sure = replace(study(), machine=machine, doubts=())
    row = in_a_row(sure, play_study(sure, PLAYED))
    assert row[0].charge == 1.0
    assert row[-1].brown_out.share > row[0].brown_out.share


def test_it_ends_where_the_risk_has_grown_by_a_tenth() -> None:
    """The last one told is one too many, and does not count."""
    row = tuple(InARow(n, 1 - n / 10, Chance(count, 20)) for n, count in ((1, 1), (2, 2), (3, 3), (4, 9)))
    assert how_many(row) == 3
    weak = replace(study().machine.thresholds, off_v=9.4, on_v=9.5)
    low = replace(study(), machine=replace(study().machine, thresholds=weak, battery=_small(8.0)))
    played = in_a_row(low, play_study(low, PLAYED))
    grown = [one.brown_out.share - played[0].brown_out.share for one in played]
    assert all(more <= 0.1 for more in grown[:-1])
    assert grown[-1] > 0.1
    assert how_many(played) == len(played) - 1


def test_a_stop_ends_the_row() -> None:
    """Nothing is played after it; the first match is told in any case."""
    first = outcomes().part(0, PLAYED)
    assert len(in_a_row(study(), first, watch=Impatient(0))) == 1


def _small(capacity_ah: float) -> Battery:
    return replace(study().machine.battery, capacity_ah=capacity_ah)
