"""Which battery is next, when it is cool, and what goes on which charger; the times are common practice."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.rack.battery import class_of
from loomwright.rack.charging import charging_now
from loomwright.rack.cooling import MINUTE, cool_of
from loomwright.rack.day.practice import usual_practice
from loomwright.rack.fleet import RackCharger
from loomwright.rack.health.result import State
from loomwright.rack.next_up import next_up
from loomwright.rack.readings import day_of, readings_of
from loomwright.records.event import Kind
from tests.rack.racks import NOW, battery, charged, known, stamp
from tests.records.events import NOON, event

PRACTICE = usual_practice()
FAST, SLOW = RackCharger(label="C1", gentle_a=2.0, fast_a=6.0), RackCharger(label="C2", gentle_a=2.0)


def test_noon_is_noon() -> None:
    """The tests' two clocks agree."""
    assert day_of(NOON) == NOW
    assert day_of(stamp(90)) == pytest.approx(NOW - 90 * MINUTE)


@pytest.mark.parametrize(("ago", "wait"), [(5, 10), (14, 1), (15, 0), (600, 0)])
def test_a_battery_that_was_charged_fast_cools_before_use(ago: float, wait: int) -> None:
    """About 15 minutes; after a gentle charge it may be used at once."""
    (first,) = next_up([charged("B1", ago, 6)], [known("B1")], PRACTICE, NOW)
    assert (first.wait_min, first.ready) == (wait, wait == 0)
    (gently,) = next_up([charged("B1", ago, 2)], [known("B1")], PRACTICE, NOW)
    assert gently.ready


def test_a_battery_that_was_played_cools_before_it_is_charged() -> None:
    """It is out of the robot ten minutes after the match began, and cools a quarter of an hour from then."""
    played = readings_of([event(1, Kind.PLAYED, about="B1", words="Q1", measured_at=stamp(12))])
    cool = cool_of(replace(battery("B1"), matches=played), PRACTICE, NOW)
    assert (cool.charge_from - NOW) / MINUTE == pytest.approx(13)
    assert cool.use_from < NOW


def test_a_hot_reading_holds_for_a_while_and_stops_both() -> None:
    """45 C a few minutes ago is hot; the same two hours ago says nothing any more."""
    for ago, hot in ((5, True), (120, False)):
        read = readings_of([event(1, Kind.WARMTH, about="B1", value=46.0, unit="C", measured_at=stamp(ago))])
        one = replace(battery("B1"), readings=read)
        (first,) = next_up([one], [known("B1")], PRACTICE, NOW)
        assert first.ready is not hot
        advice = charging_now([one], [known("B1", charge=0.5)], [FAST], PRACTICE, NOW)
        assert (not advice.put) is hot


def test_the_best_comes_first_with_its_reasons() -> None:
    """Fit before practice, ready before cooling, then charge times worth; what is put aside is no candidate."""
    batteries = [battery(label) for label in ("B1", "B2", "B3", "B4", "B5")] + [battery("B6", place="away")]
    health = [
        known("B1", charge=0.9, worth=0.9),
        known("B2", charge=1.0, worth=0.95),
        known("B3", state=State.PRACTICE),
        known("B4", state=State.QUARANTINE),
        known("B5", charge=0.5),
        known("B6"),
    ]
    found = next_up(batteries, health, PRACTICE, NOW)
    assert [one.label for one in found] == ["B2", "B1", "B5", "B3"]
    assert found[0].why == ("holds 100% (95% to 100%)", "a full charge of it is worth 95% of a new one's", "measured")
    assert [one.ready for one in found] == [True, True, False, False]
    assert "below the least charge for a match, 80%" in found[2].why


def test_the_least_charge_is_enough() -> None:
    """80 % is not below 80 %."""
    enough, short = (next_up([battery("B1")], [known("B1", charge=one)], PRACTICE, NOW)[0] for one in (0.8, 0.799))
    assert (enough.ready, short.ready) == (True, False)


def test_a_label_that_only_a_reading_knows_is_no_candidate() -> None:
    """Somebody may have mistyped it."""
    assert next_up([replace(battery("NOBODY"), added=False)], [known("NOBODY")], PRACTICE, NOW) == ()


@given(st.permutations(["B1", "B2", "B3", "B4"]))
def test_the_order_in_which_batteries_stand_changes_nothing(labels: list[str]) -> None:
    """The same list whoever is named first."""
    told = {label: known(label, charge=0.8 + n / 20) for n, label in enumerate(["B1", "B2", "B3", "B4"])}
    found = next_up([battery(label) for label in labels], [told[label] for label in labels], PRACTICE, NOW)
    assert [one.label for one in found] == ["B4", "B3", "B2", "B1"]


def test_at_the_event_what_hurries_gets_the_fast_charger() -> None:
    """What can't be played yet goes first, the best of it fast; full ones are left, and said so."""
    batteries = [battery("B1"), battery("B2"), battery("B3"), battery("B4")]
    health = [
        known("B1", charge=0.9),
        known("B2", charge=0.6, worth=0.9),
        known("B3"),
        known("B4", charge=0.3, worth=0.8),
    ]
    advice = charging_now(batteries, health, [FAST, SLOW], PRACTICE, NOW)
    assert [(one.battery, one.charger, one.amps, one.fast) for one in advice.put] == [
        ("B2", "C1", 6.0, True),
        ("B4", "C2", 2.0, False),
    ]
    assert {one.battery: one.why for one in advice.leave} == {
        "B1": "no charger is free",
        "B3": "holds 100%: full enough",
    }


def test_what_is_nearly_full_leaves_the_fast_charger_to_others() -> None:
    """It is charged gently, on the slow one."""
    advice = charging_now([battery("B1")], [known("B1", charge=0.9)], [FAST, SLOW], PRACTICE, NOW)
    assert [(one.charger, one.amps, one.fast) for one in advice.put] == [("C2", 2.0, False)]


def test_no_battery_is_charged_with_more_than_it_takes() -> None:
    """6 A are for the 18 Ah class; a 6 Ah one takes 2 A, and no charger that gives more than that."""
    small = replace(battery("B1"), of=class_of(None, 6))
    assert charging_now([small], [known("B1", charge=0.4)], [FAST], PRACTICE, NOW).put[0].amps == 2
    strong = RackCharger(label="C9", gentle_a=100.0)
    for one in (small, battery("B1")):
        advice = charging_now([one], [known("B1", charge=0.4)], [strong], PRACTICE, NOW)
        assert advice.leave[0].why == "no charger is gentle enough"


def test_at_home_the_emptiest_comes_first() -> None:
    """What stands half empty sulphates; nothing hurries for the others."""
    health = [known("B1", charge=0.85), known("B2", charge=0.4, worth=0.5)]
    advice = charging_now([battery("B1"), battery("B2")], health, [SLOW], PRACTICE, NOW, home=True)
    assert [one.battery for one in advice.put] == ["B2"]


def test_at_home_everything_is_charged_gently() -> None:
    """Nothing hurries, whatever the charger could; what stands nearly full is left alone."""
    health = [known("B1", charge=0.5), known("B2", charge=0.92)]
    advice = charging_now([battery("B1"), battery("B2")], health, [FAST, SLOW], PRACTICE, NOW, home=True)
    assert [(one.battery, one.charger, one.amps, one.fast) for one in advice.put] == [("B1", "C2", 2.0, False)]
    assert advice.leave[0].battery == "B2"


def test_a_flat_battery_is_charged_gently_and_watched() -> None:
    """By what it holds, or by its rest voltage where it was not charged since."""
    empty = charging_now([battery("B1")], [known("B1", charge=0.1)], [FAST], PRACTICE, NOW)
    assert (empty.put[0].amps, empty.put[0].fast) == (2.0, False)
    assert "only while somebody watches" in empty.put[0].watched
    rested = readings_of([event(1, Kind.RESTED, about="B1", value=11.8, unit="V", measured_at=stamp(60))])
    low = replace(battery("B1"), readings=rested)
    assert charging_now([low], [known("B1", charge=0.5)], [FAST], PRACTICE, NOW).put[0].watched
    since = replace(low, charges=readings_of([event(2, Kind.CHARGED, about="B1", tool="C1", measured_at=stamp(20))]))
    assert not charging_now([since], [known("B1", charge=0.5)], [FAST], PRACTICE, NOW).put[0].watched


@pytest.mark.parametrize(
    ("place", "state", "words"),
    [
        ("robot", State.FIT, "in the robot"),
        ("away", State.FIT, "away"),
        ("charger", State.FIT, "on C1 already"),
        ("quarantine", State.FIT, "in quarantine: never on a charger"),
        ("rack", State.QUARANTINE, "in quarantine: never on a charger"),
        ("rack", State.RETIRE, "to be retired: hand it back, do not charge it"),
    ],
)
def test_what_is_not_charged_is_told_with_its_reason(place: str, state: State, words: str) -> None:
    """Nothing is left out without a word, and a charger that holds a battery is not free."""
    held = battery("B1", place=place, charger="c 1" if place == "charger" else "")
    advice = charging_now([held], [known("B1", state=state, charge=0.4)], [FAST], PRACTICE, NOW)
    assert not advice.put
    assert advice.leave[0].why.replace("c 1", "C1") == words
    if place == "charger":
        other = charging_now([held, battery("B2")], [known("B1"), known("B2", charge=0.4)], [FAST], PRACTICE, NOW)
        assert not other.put


def test_a_charger_of_which_nobody_said_the_current_is_not_used() -> None:
    """Unknown is asked, not decided."""
    advice = charging_now([battery("B1")], [known("B1", charge=0.4)], [RackCharger(label="C9")], PRACTICE, NOW)
    assert advice.leave[0].why == "no charger is free"
