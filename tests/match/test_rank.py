"""What helps most: every change beside the robot as it is, with the same drivers, batteries and joints."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.match.change import Change
from loomwright.match.course import course_of
from loomwright.match.driver import Cycle, Driver, Phase, Step, Wish
from loomwright.match.engine import layout as at
from loomwright.match.rank import compared, effect_of, pareto, peaks_of, ranked
from loomwright.match.study import play_study
from tests.match.studies import MATCHES, outcomes, study
from tests.match.test_verdict import by_hand

if TYPE_CHECKING:
    from loomwright.match.study import Study
    from loomwright.search import News


@dataclass
class Impatient:
    """A watch that stops after so many words."""

    after: int
    heard: int = 0

    def tell(self, news: News) -> None:
        """Count the words."""
        assert 0.0 <= news.used <= 1.0
        self.heard += 1

    @property
    def stopped(self) -> bool:
        """Whether enough was heard."""
        return self.heard >= self.after


def with_battery(base: Study, share: float) -> Study:
    """Return a study whose battery has so much of its resistances."""
    battery = base.machine.battery
    (r1, t1), (r2, t2) = battery.pairs
    better = replace(
        battery,
        ohm=battery.ohm * share,
        pairs=((r1 * share, t1), (r2 * share, t2)),
        activation_v=battery.activation_v * share,
    )
    return replace(base, machine=replace(base.machine, battery=better))


def test_a_change_that_changes_nothing_does_nothing() -> None:
    """To the last bit: the same drivers, batteries and joints."""
    effect = effect_of(Change("nothing", "none", replace(study())), outcomes())
    assert (effect.risk, effect.wins, effect.loses) == (effect.risk_before, 0, 0)
    assert (effect.lowest_v, effect.lowest_5_v, effect.metres, effect.late_s) == (0.0, 0.0, 0.0, 0.0)


def test_a_step_that_is_parted_where_nobody_waits_draws_the_same() -> None:
    """A step in two halves with one key plays the very same match; with keys of their own it does not."""

    def driver(*steps: Step) -> Driver:
        rest = Step("rest", (0.4, 0.4), (Wish("drive", (-1.0, -0.5), (0.0, 0.0), (-0.2, 0.2)),), key=7)
        return Driver("d", "", 1.0, (Phase("all", 0.0, 6.0, (("go", 1.0),)),), (Cycle("go", (*steps, rest)),))

    wishes = (Wish("drive", (0.5, 1.0), (0.0, 0.0), (-0.2, 0.2)), Wish("shooter", (0.3, 1.0)))
    whole = replace(study(), drivers=(driver(Step("s", (0.8, 0.8), wishes, key=0)),))
    halves = replace(study(), drivers=(driver(*[Step("s", (0.4, 0.4), wishes, key=0)] * 2),))
    other = replace(study(), drivers=(driver(*[Step("s", (0.4, 0.4), wishes, key=key) for key in (0, 1)]),))
    same, like, unlike = (play_study(one, 16).matches for one in (whole, halves, other))
    steps = at.O_STEPS
    assert np.array_equal(np.delete(same, steps, 1), np.delete(like, steps, 1))
    assert not np.array_equal(same[:, at.O_LOWEST], unlike[:, at.O_LOWEST])


def test_less_resistance_never_lowers_the_mean_dip() -> None:
    """A battery with less of all its resistances dips less on the mean, the more the less it has."""
    found = [effect_of(Change("", "", with_battery(study(), share)), outcomes()).lowest_v for share in (0.9, 0.7, 0.5)]
    assert 0 < found[0] < found[1] < found[2]


def test_an_effect_by_hand() -> None:
    """Two of four matches browned out before, one other after: one saved twice, one lost."""
    before, after = by_hand([7, 7, 8, 8]), by_hand([8, 8, 9, 7])
    before.matches[:, at.O_OFF] = [1, 2, 0, 0]
    after.matches[:, at.O_OFF] = [0, 0, 0, 1]
    before.matches[:, at.O_METRES], after.matches[:, at.O_METRES] = 200, 190
    after.ways[:, :, at.Y_LATE] = 0.5
    effect = compared("w", "k", before, after)
    assert (effect.words, effect.kind) == ("w", "k")
    assert (effect.risk_before, effect.risk, effect.wins, effect.loses) == (0.5, 0.25, 2, 1)
    assert effect.lowest_v == 0.5
    assert effect.lowest_5_v == pytest.approx(7.15 - 7.0)  # linear between ranks: 7 + 0.05 * 3 * (8 - 7)
    assert effect.metres == pytest.approx(-0.05)
    assert effect.late_s == 0.5 * len(study().machine.mechanisms)
    assert effect.gain == (0.25, effect.lowest_5_v)
    still = by_hand([8, 8, 9, 7])
    assert compared("", "", still, still).metres == 0.0


def test_peaks_are_those_of_the_teams_worst_motor() -> None:
    """Both sides of the drive are one team."""
    done = by_hand([8.0, 8.1])
    done.branches[:, 0, at.R_PEAK] = [30, 40]
    done.branches[:, 3, at.R_PEAK] = [50, 20]
    done.branches[:, 4, at.R_PEAK] = [10, 11]
    assert peaks_of(study(), done) == {"drive": 50.0, "lift": 11.0, "grabber": 0.0, "feeder": 0.0, "shooter": 0.0}


def test_the_ranking_is_in_order_and_whole() -> None:
    """All changes, each once; risk taken away first, then volts at the dip; a battery's state is one of them."""
    weak = replace(study().machine.thresholds, off_v=10.0, on_v=10.1)
    base = replace(study(), machine=replace(study().machine, thresholds=weak))
    low = with_battery(base, 0.5)
    effects = ranked(base, play_study(base, 16), states=(low,))
    gains = [effect.gain for effect in effects]
    assert gains == sorted(gains, reverse=True)
    assert len({risk for risk, _ in gains}) > 2
    assert effects[0].risk < effects[-1].risk
    assert len({effect.words for effect in effects}) == len(effects) >= 15
    battery = next(effect for effect in effects if effect.kind == "battery")
    leads = next(effect for effect in effects if effect.words == "main leads half as long")
    assert battery.lowest_v > leads.lowest_v > 0
    assert next(effect for effect in effects if effect.words.startswith("drive: supply")).lowest_v > 0


def test_a_stopped_ranking_tells_what_was_played() -> None:
    """Two changes were begun before the third word; they are ranked, the rest is left out."""
    assert len(ranked(study(), outcomes().part(0, 16), watch=Impatient(3))) == 2
    assert ranked(study(), outcomes().part(0, 16), watch=Impatient(1)) == ()


@given(st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5), st.integers(0, 5)), max_size=25))
def test_the_front_is_that_of_a_brute_force(points: list[tuple[int, int, int]]) -> None:
    """Nobody on it is beaten; everybody off it is beaten or equalled by somebody on it; equal points count once."""
    found = pareto([tuple(map(float, point)) for point in points])
    kept = {points[i] for i in found}
    assert len(kept) == len(found)
    beaten = {p for p in points if any(q != p and all(b <= a for a, b in zip(p, q, strict=True)) for q in points)}
    assert kept == set(points) - beaten


def test_a_study_meets_the_same_doubts_with_a_change() -> None:
    """A change of the machine leaves what is drawn for each match as it was."""
    after = play_study(with_battery(study(), 0.5), MATCHES)
    assert np.array_equal(after.drawn, outcomes().drawn)
    assert np.array_equal(after.joints, outcomes().joints)
    steps = [course_of(one, 5).steps for one in (study(), with_battery(study(), 0.5))]
    assert steps[0] == steps[1]
