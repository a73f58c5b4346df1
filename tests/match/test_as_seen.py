"""The demo robot in words that people know: what is seen on such robots (common practice), and why it is so here.

`usual` alone drives Tidepool with a fresh battery. Its drivers are chosen so that charge and air land in these ranges;
volts, peaks and paths follow from the robot file.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from loomwright.match.engine import layout as at
from loomwright.match.study import Outcomes, Study, play_study
from loomwright.robotfile.drivers.driver_file import shipped_drivers
from tests.match.test_of_plan import made

PLAYED = 64


@cache
def study(driver: str) -> Study:
    """Return the demo with one driver alone."""
    machine = made("tidepool").machine
    assert machine is not None
    return Study(machine, made("tidepool").doubts, tuple(d for d in shipped_drivers().drivers if d.name == driver))


@cache
def outcomes(driver: str) -> Outcomes:
    """Play it once."""
    return play_study(study(driver), PLAYED)


def peaks_a(driver: str, *names: str) -> list[float]:
    """Return what the motors or loads take at most in any match, added up, or the main leads' peak match by match."""
    machine, done = study(driver).machine, outcomes(driver)
    every = [motor.name for motor in machine.motors] + [load.name for load in machine.loads]
    if not names:
        return [float(peak) for peak in done.branches[:, -1, at.R_PEAK]]
    return [float(done.branches[:, every.index(name), at.R_PEAK].max()) for name in names]


def test_peaks_and_dips_of_a_drive_of_four_motors() -> None:
    """190 to 244 A and 8.2 to 9.6 V in the middle match, never off.

    Why: four limits of 40 A and a shooter of 30 A twice are 220 A, electronics and air some 15 A more; about 16 mohm of
    that are 3.5 V below 12.9 V. Limits hold the peak, so it may only fall, by what does not meet.
    """
    done = outcomes("usual")
    assert 190 <= np.median(peaks_a("usual")) <= 244
    assert max(peaks_a("usual")) <= 4 * 40 + 2 * 30 + 30 + 25 + 20 + 17 + 10
    assert 8.2 <= np.median(done.lowest_v) <= 9.6
    assert not done.browned_out.any()


def test_the_path_that_those_peaks_see() -> None:
    """14 to 20 milliohm at the block, from rest to dip over the current of the dip, in most matches.

    Why: 11 of a new battery, 2 to 3 of leads and breaker, 1 of contacts. The slow part of the battery, which no tester
    waits for, adds up to 3 in a match; its charge takes 0.1 V of the rest voltage at most. So up to 23 at the dip.
    """
    done, rest = outcomes("usual"), study("usual").machine.battery.rest
    charge = done.drawn[:, at.D_CHARGE]
    rested_v = np.interp(charge, [z for z, _ in rest], [v for _, v in rest])
    current_a = done.branches[:, :-1, at.R_DIP].sum(1)
    path = (rested_v - done.lowest_v) / current_a
    assert 14e-3 <= np.median(path) <= 20e-3
    assert path.min() >= 12e-3
    assert path.max() <= 24e-3


def test_a_match_costs_about_one_and_a_half_ampere_hours() -> None:
    """1.4 to 1.8 Ah of the usual driver; a calm one takes less, a hard one more, but no more than 2.6 Ah.

    Why: mean 34 to 43 A. That is how the drivers are chosen.
    """
    ah = {name: float(np.median(outcomes(name).matches[:, at.O_AH])) for name in ("calm", "usual", "hard")}
    assert 1.4 <= ah["usual"] <= 1.8
    assert 0.8 <= ah["calm"] < ah["usual"] < ah["hard"] <= 2.6


def test_a_hard_driver_dips_lower_and_a_calm_one_less() -> None:
    """Each by some tenths of a volt: they ask for more and for less at once."""
    low = {name: float(np.median(outcomes(name).lowest_v)) for name in ("calm", "usual", "hard")}
    assert low["calm"] > low["usual"] + 0.3
    assert low["usual"] > low["hard"] + 0.1
    assert low["hard"] > 8.0


def test_the_compressor_runs_two_thirds_of_a_match() -> None:
    """60 to 73 % of the match, 9 to 9.4 A while it runs and 17 A in its first moments: its part and its strokes."""
    share = outcomes("usual").matches[:, at.O_PUMP_S].mean() / study("usual").lasts_s
    assert 0.60 <= share <= 0.73
    machine, done = study("usual").machine, outcomes("usual")
    place = len(machine.motors) + [load.name for load in machine.loads].index("compressor")
    ran_s = done.matches[:, at.O_PUMP_S]
    running_a = done.branches[:, place, at.R_AH] * 3600 / ran_s
    assert 9.0 <= np.median(running_a) <= 9.6  # with its first moments
    (peak,) = peaks_a("usual", "compressor")
    assert 14 <= peak <= 17


def test_mechanisms_take_what_mechanisms_take() -> None:
    """Lift at most the 60 to 80 A that are seen of lifts, intake 15 to 25 A, shooter 40 to 60 A at the peak.

    Why: the demo's lift is one motor and 6 kg behind 1:12, so it takes some 26 A and never meets its 40 A; 60 to 80 A
    are lifts of two motors. The intake meets its limit of 25 A, the shooter's wheels theirs of 30 A each.
    """
    (lift,) = peaks_a("usual", "lift motor")
    assert 15 <= lift <= 40
    (intake,) = peaks_a("usual", "intake")
    assert 15 <= intake <= 25.5
    assert 40 <= sum(peaks_a("usual", "upper wheel", "lower wheel")) <= 60.5


def test_above_120_a_for_a_few_seconds_only() -> None:
    """A main breaker of 120 A that holds 160 A for 40 s never opens: the worst 10 s are well below its rating."""
    done = outcomes("usual")
    assert not done.opened[:, -1].any()
    assert np.sqrt(done.branches[:, -1, at.R_WORST].max()) < 120


@pytest.mark.parametrize("volt", [6.3, 6.75])
def test_no_usual_threshold_is_met_on_a_fresh_battery(volt: float) -> None:
    """Outputs off at 6.3 V (older) or 6.75 V (newer): neither, by more than a volt, on 190 to 244 A."""
    low = replace(study("usual").machine.thresholds, off_v=volt)
    base = replace(study("usual"), machine=replace(study("usual").machine, thresholds=low))
    done = play_study(base, PLAYED)
    assert not done.browned_out.any()
    assert done.lowest_v.min() > volt + 1
