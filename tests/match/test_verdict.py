"""What a study says of its matches: chances, middles, who ran together, what it hangs on, which wire is hottest."""

from __future__ import annotations

from dataclasses import replace
from math import isclose, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from loomwright.match.course import course_of
from loomwright.match.engine import layout as at
from loomwright.match.engine.hot import ALPHA
from loomwright.match.machine import Doubt, WireHeat
from loomwright.match.study import Outcomes, Study
from loomwright.match.telling import told_by
from loomwright.match.verdict import BranchTold, Chance, Verdict, verdict_of
from tests.match.studies import MATCHES, outcomes, study

WIRE = WireHeat("12 AWG", 0.0052, 0.1, 12.0, 105)


def verdict() -> Verdict:
    """Return the verdict on the busy robot."""
    return verdict_of(study(), outcomes())


def by_hand(lowest: list[float], base: Study | None = None) -> Outcomes:
    """Return outcomes with these lowest voltages in which nothing else happened; tests write into them."""
    machine = (base or study()).machine
    n, branches = len(lowest), len(machine.motors) + len(machine.loads) + 1
    made = Outcomes(
        np.zeros((n, at.O_COLUMNS)),
        np.zeros((n, branches, at.R_COLUMNS)),
        np.zeros((n, len(machine.mechanisms), at.Y_COLUMNS)),
        np.zeros((n, at.D_COLUMNS)),
        np.zeros((n, branches)),
    )
    made.matches[:, at.O_LOWEST] = lowest
    return made


@pytest.mark.parametrize(
    ("count", "of", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_wilsons_interval_as_published(count: int, of: int, low: float, high: float) -> None:
    """Newcombe (1998), Two-sided confidence intervals for the single proportion, table I, method 3."""
    found = Chance(count, of).span
    assert found == pytest.approx((low, high), abs=5e-5)


@given(st.integers(1, 5000).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_wilsons_interval_is_that_of_scipy(counted: tuple[int, int]) -> None:
    """The same as scipy's, within 0 and 1, and the share lies in it."""
    chance = Chance(*counted)
    low, high = chance.span
    other = stats.binomtest(*counted).proportion_ci(method="wilson")
    assert (low, high) == pytest.approx((other.low, other.high), abs=1e-9)
    assert 0 <= low <= chance.share + 1e-12
    assert chance.share - 1e-12 <= high <= 1


def test_middles_and_tails_by_hand() -> None:
    """Five matches: the worst and the middle one by number, the 5th percentile between the lowest two."""
    done = by_hand([9.0, 7.0, 10.0, 8.0, 11.0])
    done.matches[:, at.O_AH] = [1, 2, 3, 4, 100]
    done.matches[:, at.O_JOULE] = [3600, 7200, 36000, 1, 2]
    done.matches[:, at.O_OFF] = [0, 3, 0, 1, 0]
    done.matches[:, at.O_OFF_S] = [0, 1, 0, 0.5, 0]
    done.matches[:, at.O_RESTARTS] = [0, 1, 0, 0, 0]
    done.matches[:, at.O_METRES] = [10, 20, 30, 40, 50]
    done.matches[:, at.O_PUMP_S] = [75, 75, 150, 0, 75]
    done.ways[:, :, at.Y_LATE] = 2.0
    done.branches[3, -1, at.R_OPENED] = 1
    told = verdict_of(study(), done)
    assert (told.worst, told.median, told.played) == (1, 0, 5)
    # Linear between ranks: 7 + 0.05 * 4 * (8 - 7).
    assert told.lowest_5_v == pytest.approx(7.2)
    assert (told.lowest_v, told.lowest_50_v) == (7.0, 9.0)
    assert (told.brown_out.count, told.restart.count, told.brown_out.of) == (2, 1, 5)
    assert told.dead == Chance(1, 5)
    assert told.off_s == pytest.approx(0.3)
    assert told.charge_ah == 3.0
    assert told.charge_95_ah == pytest.approx(4 + 0.8 * 96)
    assert told.energy_wh == 1.0  # the middle of 2, 10, 1, and next to nothing twice: 3600 J
    assert told.metres == 30.0
    assert told.late_s == 2.0 * len(study().machine.mechanisms)
    assert told.pump_share == pytest.approx(75 / study().lasts_s)


def test_what_is_not_there_is_not_told() -> None:
    """Without a compressor there is no share of its time; without a main breaker's curve nothing of a dead robot."""
    bare = replace(study(), machine=replace(study().machine, air=None, main_trip=None))
    told = verdict_of(bare, by_hand([9.0, 9.5, 9.1]))
    assert told.pump_share is None
    assert told.dead is None
    assert told.branches[-1].opened is None


def test_who_ran_together_by_hand() -> None:
    """In three of four matches drive and lift: a sum over both sides; the mean is of those matches alone."""
    done, machine = by_hand([8.0, 8.1, 8.2, 8.3]), study().machine
    names = [motor.name for motor in machine.motors]
    for match, drive, lift in ((0, 30.0, 20.0), (1, 30.0, 20.0), (2, 30.0, 50.0), (3, 40.0, 0.0)):
        for name in ("left front", "left rear", "right front", "right rear"):
            done.branches[match, names.index(name), at.R_DIP] = drive
        done.branches[match, names.index("lift"), at.R_DIP] = lift
        done.branches[match, names.index("feeder"), at.R_DIP] = 1.0  # below 8 % of all: not said to run
    both, alone = verdict_of(study(), done).together
    assert both.share == 0.75
    assert dict(both.who) == pytest.approx({"drive": 120.0, "lift": 30.0})
    assert [name for name, _ in both.who] == ["drive", "lift"]
    assert (alone.share, alone.who) == (0.25, (("drive", 160.0),))


def test_nobody_is_said_to_run_where_nothing_ran() -> None:
    """No current at all at the dip: nobody is named, neither in the verdict nor in a finding."""
    done = by_hand([12.5, 12.6, 12.7])
    done.matches[:, at.O_OFF] = 1
    told = verdict_of(study(), done)
    assert told.together == ()
    (finding,) = told_by(told, (), "robot.yaml")
    assert "At the dips" not in finding.what


def test_the_busy_robot_dips_with_its_drive() -> None:
    """At every dip of the played study the drive takes the most; shares add up to at most all matches."""
    told = verdict().together
    assert all(one.who[0][0] == "drive" for one in told)
    assert 0.5 < sum(one.share for one in told) <= 1.0


def test_what_it_hangs_on_is_spearmans_rank_correlation() -> None:
    """Each as scipy.stats.spearmanr gives it; joints are those of all branches together; the strongest is first."""
    told = {one.key: one.correlation for one in verdict().hangs_on}
    done = outcomes()
    twins = {
        "battery ohm": done.drawn[:, at.D_OHM],
        "capacity": done.drawn[:, at.D_AH],
        "charge": done.drawn[:, at.D_CHARGE],
        "joint ohm": done.joints[:, :-1].sum(1),
        "main joint ohm": done.drawn[:, at.D_MAIN_JOINTS],
        "trip": done.drawn[:, at.D_TRIP],
        "warmth": done.drawn[:, at.D_WARMTH],
    }
    for key, drawn in twins.items():
        twin = float(stats.spearmanr(drawn, done.lowest_v).statistic)
        assert (key in told) == (abs(twin) >= 0.15)
        assert told.get(key, twin) == pytest.approx(twin, abs=1e-12)
    assert told["battery ohm"] < 0
    strengths = [abs(one.correlation) for one in verdict().hangs_on]
    assert strengths == sorted(strengths, reverse=True)


@given(st.lists(st.tuples(st.integers(0, 4), st.integers(0, 4)), min_size=3, max_size=30))
def test_what_is_alike_shares_a_rank(pairs: list[tuple[int, int]]) -> None:
    """With ties on both sides the correlation is still Spearman's, whatever the order of the matches."""
    alone = replace(study(), doubts=(Doubt("charge", "", 0, 1),), drivers=study().drivers[:1])
    drawn, lowest = (np.array(side, dtype=float) for side in zip(*pairs, strict=True))
    done = by_hand(lowest.tolist())
    done.drawn[:, at.D_CHARGE] = drawn
    told = verdict_of(alone, done).hangs_on
    if np.ptp(drawn) == 0 or np.ptp(lowest) == 0:
        assert told == ()
        return
    twin = float(stats.spearmanr(drawn, lowest).statistic)
    if told:
        assert told[0].correlation == pytest.approx(twin, abs=1e-12)
    else:
        assert abs(twin) < 0.15 + 1e-12


def test_who_drives_is_the_share_between_drivers() -> None:
    """Two drivers, ranks 1 to 4, one has 1 and 2, the other 3 and 4: between 4 of 5, so the root of 0.8."""
    done = by_hand([8.0, 8.1, 9.0, 9.1])
    done.drawn[:, at.D_DRIVER] = [0, 0, 1, 1]
    two = replace(study(), doubts=(), drivers=study().drivers[:2])
    (told,) = verdict_of(two, done).hangs_on
    assert told.key == "driver"
    assert told.correlation == pytest.approx(sqrt(0.8))


def test_two_matches_say_nothing_of_what_they_hang_on() -> None:
    """Two points always lie on a line."""
    done = by_hand([8.0, 9.0])
    done.drawn[:, at.D_CHARGE] = [0.9, 1.0]
    assert verdict_of(study(), done).hangs_on == ()


def test_a_branch_is_told_by_its_worst_matches() -> None:
    """Peak, root mean squares and warmth are the most of any match; an opened breaker counts a match once."""
    done = by_hand([8.0, 8.1, 8.2])
    done.branches[:, 0, at.R_PEAK] = [30, 40, 35]
    done.branches[:, 0, at.R_SQUARES] = [100, 400, 225]
    done.branches[:, 0, at.R_WORST] = [900, 625, 400]
    done.branches[:, 0, at.R_WARMEST] = [40, 50, 45]
    done.branches[:, 0, at.R_OPENED] = [0, 3, 1]
    branch = verdict_of(study(), done).branches[0]
    assert (branch.peak_a, branch.rms_a, branch.worst_a, branch.hottest_c) == (40.0, 20.0, 30.0, 50.0)
    assert branch.opened == Chance(2, 3)
    assert branch.limit_c is not None


@pytest.mark.parametrize("current_a", [5.0, 20.0, 60.0])
def test_the_steady_current_in_closed_form(current_a: float) -> None:
    """I^2 R (1 + alpha (T - 20)) = G (T - air), solved for T by hand, gives the current back."""
    air_c = 30.0
    heat = current_a**2 * WIRE.ohm_per_m
    warm_c = (WIRE.watt_per_k_m * air_c + heat * (1 - 20 * ALPHA)) / (WIRE.watt_per_k_m - heat * ALPHA)
    machine = study().machine
    motors = (replace(machine.motors[0], wire=WIRE), *machine.motors[1:])
    base = replace(study(), machine=replace(machine, motors=motors))
    done = by_hand([9.0, 9.1, 9.2], base)
    done.drawn[:, at.D_WARMTH] = air_c
    done.branches[:, :, at.R_WARMEST] = air_c
    done.branches[1, 0, at.R_WARMEST] = warm_c
    branches = verdict_of(base, done).branches
    assert branches[0].heat_a == pytest.approx(current_a)
    assert branches[1].heat_a == 0.0


def test_what_heats_for_long_lies_between_the_means_and_the_peak() -> None:
    """In the played study: below the peak, and no more than the worst 10 s; a match never reaches the steady end."""
    for branch in verdict().branches:
        assert branch.heat_a <= branch.peak_a + 1e-9
        assert branch.rms_a <= branch.worst_a + 1e-9 <= branch.peak_a + 2e-9
        assert branch.heat_a <= branch.worst_a * 1.05 + 0.1


def test_the_hottest_wire_has_the_least_to_spare() -> None:
    """60 of 75 C is nearer to its end than 80 of 105 C; what has no wire is no candidate."""
    base = BranchTold("a", "a", 1, 1, 1, 1, 80.0, 105.0, None, curve_assumed=False)
    branches = (base, replace(base, name="b", hottest_c=60.0, limit_c=75.0), replace(base, name="c", hottest_c=None))
    hot = replace(verdict(), branches=branches).hottest
    assert hot is not None
    assert hot.name == "b"
    assert replace(verdict(), branches=branches[2:]).hottest is None


def test_a_verdict_is_that_of_its_matches() -> None:
    """The worst match, played again alone, has the study's lowest voltage; every number of the study is finite."""
    told = verdict()
    assert told.played == MATCHES
    assert min(course_of(study(), told.worst).low_v) == told.lowest_v
    assert told.lowest_v <= told.lowest_5_v <= told.lowest_50_v
    numbers = (told.charge_ah, told.energy_wh, told.metres, told.late_s, told.off_s)
    assert all(np.isfinite(number) for number in numbers)
    # Charge times 9 to 13 V is energy.
    assert 9 * told.charge_ah < told.energy_wh < 13 * told.charge_ah
    assert isclose(told.brown_out.share, told.brown_out.count / MATCHES)
