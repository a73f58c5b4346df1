"""What a battery may be used for: the histories that teams know, and what no single reading may do."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.rack.battery import RackBattery, class_of
from loomwright.rack.health.health import health_of
from loomwright.rack.health.result import State
from tests.rack.health.stories import DAY, NOW, OF_18, Story, noisy


@pytest.mark.parametrize(
    ("mohm", "state"),
    [(11, State.FIT), (15, State.FIT), (18, State.FIT), (23, State.PRACTICE), (27, State.PRACTICE), (34, State.RETIRE)],
)
def test_bands_of_common_practice(mohm: float, state: State) -> None:
    """Up to 15 milliohm good, to 19 marginal and still fit, 20 to 28 not for matches, above 28 to 30 retire."""
    verdict = Story().tests([mohm] * 5).verdict()
    assert verdict.state is state
    assert "common practice" in " ".join(verdict.reasons)
    assert ("marginal" in " ".join(verdict.reasons)) == (mohm == 18)


def test_nothing_known_asks_for_the_test_currents() -> None:
    """Without a reading that counts there is no verdict, but a range that its class leads to expect."""
    found = Story().judged()
    assert found.verdict.state is State.UNMEASURED
    assert found.verdict.since is None
    assert "whose two test currents are known" in found.verdict.ask
    assert 0.006 < found.health.resistance_ohm.low < found.health.resistance_ohm.high < 0.025
    assert found.health.tested == 0


def test_one_good_reading_makes_it_fit_and_one_bad_one_does_not_retire_it() -> None:
    """A first reading of 12 decides; a first one of 34 asks for a second, and that retires it."""
    assert Story().tests([12]).verdict().state is State.FIT
    once, twice = (Story().tests([34] * count).verdict() for count in (1, 2))
    assert once.state is State.RETEST
    assert "a second reading that agrees decides" in once.ask
    assert twice.state is State.RETIRE
    assert any("the readings of 2024-10-05 and 2024-10-07 agree" in one for one in twice.reasons)


def test_readings_far_from_the_usual_currents_decide_nothing() -> None:
    """The cell that shows 22.7 milliohm from 1 to 18 A shows 5.3 from 100 to 200 A: three of those make no verdict.

    A load test at 200 A may: it is held against its own limit.
    """
    story = Story()
    for day in (1, 3, 5):
        story.tested(day, 5.3, low_a=100.0, high_a=200.0)
    assert story.verdict().state is State.UNMEASURED
    assert "near 1 and 18 A" in story.verdict().ask
    assert any("3 readings at other currents" in one for one in story.verdict().reasons)
    assert story.tested(7, 22.7).tested(9, 22.7).verdict().state is State.PRACTICE
    assert Story().load_test(1, 10.9, rest_v=12.9).verdict().state is State.FIT


def test_readings_of_one_way_are_wrong_together() -> None:
    """Nine readings at far currents narrow the range hardly more than one; nine at the usual ones do."""
    widths = []
    for low_a, high_a in ((10.0, 100.0), (1.0, 18.0)):
        for count in (1, 9):
            story = Story()
            for n in range(count):
                story.tested(1 + 2 * n, 11, low_a=low_a, high_a=high_a)
            found = story.health().resistance_ohm
            widths.append(found.high / found.low)
    assert widths[1] > 0.95 * widths[0]
    assert widths[3] < 0.85 * widths[2]


@given(
    st.sampled_from([11.0, 13.0, 16.0, 23.0, 34.0]),
    st.floats(1.0, 100.0),
    st.integers(4, 9),
    st.integers(0, 10_000),
)
def test_one_odd_reading_never_flips_a_verdict(mohm: float, odd: float, count: int, seed: int) -> None:
    """After four readings and more that agree, one of anything from 1 to 100 milliohm leaves the verdict as it was."""
    rng = np.random.default_rng(seed)
    mohms = [noisy(rng, mohm, 0.03) for _ in range(count)]
    before = Story().tests(mohms).verdict().state
    assert Story().tests([*mohms, odd]).verdict().state is before


def test_one_odd_reading_is_asked_for_again() -> None:
    """It says which one, and that it lies far from the others; a usual reading after it answers that."""
    assert "lies far from the others" in Story().tests([12, 12, 12, 12, 30]).verdict().ask
    assert "again" not in Story().tests([12, 12, 12, 12, 30, 12]).verdict().ask


def test_a_change_is_believed_when_a_second_reading_agrees() -> None:
    """Twelve milliohm for weeks, then 24 three times: not for matches since the day of the second or third."""
    verdict = Story().tests([12] * 6 + [24] * 3).verdict()
    assert verdict.state is State.PRACTICE
    assert verdict.since is not None
    assert DAY + 1 + 2 * 7 <= verdict.since <= DAY + 1 + 2 * 8


def test_flat_is_not_bad() -> None:
    """Stored flat it reads 40 milliohm: re-test after a full charge; charged it reads 13 and is fit."""
    flat = Story().rested(1, 11.9).tested(1.01, 40, charged=False, rest_v=11.9).tested(1.02, 41, charged=False)
    assert flat.verdict().state is State.RETEST
    assert "Charge it fully" in flat.verdict().ask
    assert any("of charge: it decides nothing" in one for one in flat.verdict().reasons)
    assert flat.tested(5, 13).tested(7, 13).verdict().state is State.FIT


def test_an_unknown_charge_is_not_bad_either() -> None:
    """High readings of a battery of which nobody wrote down a charge: charge it and measure again."""
    story = Story()
    for day in (1, 2, 3):
        story.tested(day, 34, charged=False)
    assert story.verdict().state is State.RETEST
    assert "Charge it fully" in story.verdict().ask


def test_half_charged_is_not_called_flat() -> None:
    """A high reading at 60 % of charge was not of a full battery; one at a tenth was of a flat one."""
    half = Story().tests([12] * 4).rested(29.9, 12.4).tested(30, 30, charged=False).verdict()
    assert half.ask.endswith("measure its resistance again: it was not fully charged, so it reads high.")
    flat = Story().tests([12] * 4).played(20).rested(29.9, 11.7).tested(30, 30, charged=False).verdict()
    assert flat.ask.endswith("measure its resistance again: stored flat it reads high.")


def test_odds_are_said_in_plain_words() -> None:
    """Each sentence names what the odds are of, and why they decide or do not."""
    close, odd, practice = (" ".join(Story().tests(mohms).verdict().reasons) for mohms in ([24], [34], [24] * 4))
    assert re.search(r"The odds that it is not for matches are [2-7]\d %: too close to call\.", close)
    assert re.search(r"are 1\d %, but its last reading is past that limit: no verdict yet\.", odd)
    team = [Story(label=f"B{n}").tests([24] * (1 if n == 0 else 4)).battery() for n in range(6)]
    assert ", but one reading alone decides nothing." in " ".join(health_of(team, NOW)[0].verdict.reasons)
    assert "The odds that it is not for matches are 99 %; below 20 % it is for matches again." in practice
    assert "The odds that it is past its end are 9" in " ".join(Story().tests([34] * 4).verdict().reasons)
    short = Story().tests([12] * 3).discharged(20, 9 / 7.5).discharged(30, 9 / 7.5).verdict()
    assert "The odds that it holds too little are 9" in " ".join(short.reasons)


def test_a_fit_battery_that_reads_high_flat_twice_is_tested_again() -> None:
    """Two high readings that its charge may explain take the verdict back, and one does not."""
    story = Story().tests([12] * 4).played(20).played(21).played(22).rested(29.9, 11.9)
    once = story.tested(30, 30, charged=False).verdict()
    assert once.state is State.FIT
    assert "Charge it fully" in once.ask
    assert story.tested(31, 30, charged=False).verdict().state is State.RETEST


def test_a_verdict_does_not_swing_at_the_limit() -> None:
    """40 readings of a battery right at 19.5 milliohm change the verdict once at most, after the first five."""
    for seed in range(6):
        rng = np.random.default_rng(seed)
        mohms = [noisy(rng, 19.5, 0.05) for _ in range(40)]
        states = [Story().tests(mohms[:count]).verdict().state for count in range(5, 41, 5)]
        assert sum(one is not other for one, other in pairwise(states)) <= 1


def test_of_the_same_readings_the_verdict_that_stood_stays() -> None:
    """Four of 20.5 milliohm and four of 18.5: not for matches where it began so, for matches where it began so."""
    high, low = [20.5] * 4, [18.5] * 4
    assert Story().tests([*high, *low]).verdict().state is State.PRACTICE
    assert Story().tests([*low, *high]).verdict().state is State.FIT
    assert Story().tests([*high, *([14.0] * 4)]).verdict().state is State.FIT


def test_alarms_come_first_whatever_the_numbers() -> None:
    """A dropped battery of 11 milliohm is in quarantine since that day; the reasons name the look and the numbers."""
    verdict = Story().tests([11] * 4).looked(30, "dropped").looked(31, "swollen").verdict()
    assert verdict.state is State.QUARANTINE
    assert verdict.since == DAY + 30
    assert verdict.reasons[0].startswith("Put aside: dropped, seen by AB on 2024-")
    assert "Only a mentor's release" in verdict.reasons[1]
    assert any("milliohm" in one for one in verdict.reasons)
    assert verdict.ask.startswith("A mentor")


def test_limits_of_another_class_are_scaled_and_say_so() -> None:
    """Of 7 Ah 28 milliohm are the class's own: fit; the limits of 18 Ah are 18/7 times as much."""
    small = class_of(None, 7.0)
    verdict = Story(of=small).tests([28] * 4).verdict()
    assert verdict.state is State.FIT
    assert "They are told for 18 Ah and scaled to 7 Ah." in verdict.reasons
    assert Story(of=small).tests([90] * 4).verdict().state is State.RETIRE
    seventeen = Story(of=class_of(None, 17.0)).tests([14] * 3).verdict()
    assert not any("scaled" in one for one in seventeen.reasons)


def test_limits_are_carried_over_to_a_classs_own_test_currents() -> None:
    """A class whose part was tested from 10 to 100 A has lower limits: there the same battery shows less."""
    other = replace(OF_18, low_a=10.0, high_a=100.0)
    (here,) = (one for one in Story(of=other).tests([12] * 3).verdict().reasons if one.startswith("Limits"))
    assert "good below 13.6, not for matches from 17.2, to retire from 25.5 milliohm" in here


def test_too_little_capacity_is_not_for_matches_after_a_second_test() -> None:
    """9 Ah at 7.5 A where 11.5 are asked for: the first test asks for another, the second decides; 13 Ah are fine."""
    good = Story().tests([12] * 3).discharged(20, 13 / 7.5)
    assert good.verdict().state is State.FIT
    once = Story().tests([12] * 3).discharged(20, 9 / 7.5)
    assert once.verdict().state is State.FIT
    assert "test its capacity again: the last test gave only 9.0 Ah" in once.verdict().ask
    twice = once.discharged(30, 9 / 7.5).verdict()
    assert twice.state is State.PRACTICE
    assert any("at least 11.5 Ah are asked for (common practice)" in one for one in twice.reasons)


def test_load_tests_that_fail_twice() -> None:
    """200 A for 10 s down to 10.0 V, twice: not for matches; once says so and decides nothing; 10.9 V is fine."""
    fine = Story().tests([12] * 3).load_test(20, 10.9, rest_v=12.9)
    assert fine.verdict().state is State.FIT
    once = Story().tests([12] * 3).load_test(20, 9.9, rest_v=12.9)
    assert once.verdict().state is State.FIT
    assert any("1 of the last 1 load test at about 200 A" in one for one in once.verdict().reasons)
    assert once.load_test(24, 9.9, rest_v=12.9).verdict().state is State.PRACTICE


@given(st.permutations(range(8)), st.integers(0, 1000))
def test_the_order_of_arrival_changes_nothing(order: list[int], seed: int) -> None:
    """Whatever order the readings of a battery arrived in, everything told of it is the same."""
    rng = np.random.default_rng(seed)
    story = Story().tests([noisy(rng, 19, 0.2) for _ in range(8)]).played(3.5).played(5.5)
    plain = story.battery()
    mixed = replace(plain, readings=tuple(plain.readings[n] for n in order), charges=plain.charges[::-1])
    assert health_of([mixed], NOW) == health_of([plain], NOW)


@given(st.integers(0, 1000))
def test_labels_change_nothing(seed: int) -> None:
    """With other labels a team's batteries get the same numbers and verdicts."""
    rng = np.random.default_rng(seed)
    team = [Story(label=f"B{n}").tests([noisy(rng, 12 + n) for _ in range(3)]).battery() for n in range(3)]
    renamed = [replace(one, label=f"{9 - n} old") for n, one in enumerate(team)]
    for one, other in zip(health_of(team, NOW), health_of(renamed, NOW), strict=True):
        assert replace(other, health=replace(other.health, label=one.health.label)) == one


def test_rejected_readings_count_for_nothing() -> None:
    """They are set aside with the reason that they were rejected for."""
    plain = Story().tests([12] * 3).battery()
    bad = replace(plain.readings[0], key="bad", value=0.9, rejected="No battery does that.")
    (found,) = health_of([replace(plain, readings=(*plain.readings, bad))], NOW)
    assert found.health.tested == 3
    assert [one.why for one in found.health.set_aside] == ["No battery does that."]


def test_a_team_of_old_batteries_makes_a_new_label_doubtful() -> None:
    """Beside four batteries of 21 milliohm an unread one is expected worse than beside four of 11."""
    old, young = ([Story(label=f"B{n}").tests([mohm] * 4).battery() for n in range(4)] for mohm in (21, 11))
    unread = Story(label="N").battery()
    beside_old, beside_young = (health_of([unread, *team], NOW)[0] for team in (old, young))
    assert beside_old.health.resistance_ohm.middle > 1.3 * beside_young.health.resistance_ohm.middle
    assert beside_old.worth < beside_young.worth


def test_a_life_is_a_note_and_no_verdict() -> None:
    """With 450 cycles and 12 milliohm it is fit, and the note says that about 400 are a life."""
    found = Story(cycles_before=450).tests([12] * 3).judged()
    assert found.verdict.state is State.FIT
    assert any("about 400 are a life (common practice)" in one for one in found.health.notes)


def test_a_charged_battery_that_rests_low_points_at_the_charger() -> None:
    """12.4 V twenty hours after a charge: 12.7 to 13.5 V is usual; right off the charger nothing is said."""
    low = Story().tests([12] * 3).charged(20).rested(20.8, 12.4).judged()
    assert any("Rested at 12.40 V 19 h after a charge" in one for one in low.health.notes)
    fresh = Story().tests([12] * 3).charged(20).rested(20.01, 13.8).judged()
    assert not any("Rested at" in one for one in fresh.health.notes)


def test_an_old_reading_is_asked_for_again() -> None:
    """Half a year later the next thing is a reading of the resistance; the verdict stays."""
    verdict = Story().tests([12] * 3).judged(DAY + 200).verdict
    assert verdict.state is State.FIT
    assert "the last one is of 2024-10-09" in verdict.ask


def test_worth_falls_with_resistance_and_capacity() -> None:
    """A battery as its class is worth 1; every milliohm and every amp-hour less costs."""
    assert Story().tests([11] * 8).discharged(30, 1.6).judged().worth == pytest.approx(1, abs=0.05)
    worths = [Story().tests([mohm] * 5).judged().worth for mohm in (11, 14, 18, 23, 30)]
    assert worths == sorted(worths, reverse=True)
    assert worths[-1] < 0.3
    assert Story().tests([11] * 5).discharged(30, 1.1).judged().worth < 0.85 * worths[0]


def test_as_a_match_takes_it() -> None:
    """Factors on the class hold the truth: 16 of 11 milliohm; a temperature told today is the air of the match."""
    told = Story().tests([16] * 6).judged().for_match
    assert told.ohm[0] < 16 / 11 < told.ohm[1] < 1.6
    assert list(told.air_c) == [18, 30]
    cold = Story().tests([16] * 6).tested(119.5, 16, temperature_c=5.0).judged().for_match
    assert list(cold.air_c) == [2, 8]


def test_no_battery_no_answer() -> None:
    """A team without batteries gets an empty list."""
    assert health_of([], NOW) == ()
    assert len(health_of([RackBattery(label="B1", of=OF_18)], NOW)) == 1
