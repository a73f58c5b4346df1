"""What stands in the way of measuring and of power: sentences that go when people have recorded what is asked."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import pytest

from loomwright.proof.as_built.ends import built_ends, signed_as
from loomwright.proof.as_built.verdicts import bounds
from loomwright.proof.as_built.wake_locks import (
    Moment,
    before_answers,
    before_measuring,
    before_power,
    before_signing,
)
from loomwright.proof.ends import all_ends
from loomwright.proof.wake_up import wake_up
from loomwright.proof.wake_up_result import WakeUp
from loomwright.records.event import Event, Kind, Role
from loomwright.records.fold import fold
from tests.records.events import NOON, event, key, recorded
from tests.robots import example_plan

PLAN = example_plan("rockpool")


@lru_cache(maxsize=1)
def wake() -> WakeUp:
    """Return the Wake-up list of the trainer."""
    return wake_up(PLAN)


def signed(first: int, *, but: str = "") -> list[Event]:
    """Return signatures and witnessed pulls of every end but one."""
    found: list[Event] = []
    for n, end in enumerate(one for one in all_ends(PLAN) if " ".join(one.name) != but):
        planned = signed_as(end.wire, end.end)
        wire, letter = end.name
        found.append(event(first + 2 * n, Kind.MADE, as_planned=planned, wire=wire, end=letter))
        found.append(event(first + 2 * n + 1, Kind.PULLED, of=(first + 2 * n,), who="CD", wire=wire, end=letter))
    return found


def lugs() -> list[Event]:
    """Return signatures and witnessed pulls of every end on the battery."""
    posts = {end.name for end in all_ends(PLAN) if end.end.device == "battery"}
    return [one for one in signed(100) if (one.wire, one.end) in posts]


def looks(before: str, first: int, *, who: tuple[str, ...] = ("AB", "CD"), of: tuple[int, ...] = ()) -> list[Event]:
    """Return answers of these people to every question before measuring, or before power."""
    asked = [look.key for look in wake().looks if look.before == before]
    pairs = [(key, name) for key in asked for name in who]
    return [event(first + n, Kind.CONFIRMED, about=key, who=name, of=of) for n, (key, name) in enumerate(pairs)]


def readings(first: int, of: tuple[int, ...] = ()) -> list[Event]:
    """Return a good reading of every row that is measured with the battery out, whoever read it knowing these."""
    found = []
    for n, row in enumerate(wake().measurements):
        held = bounds(row)
        good = held.low if held.low > float("-inf") else held.high
        unit = "V" if row.setting.function == "DC volts" else "ohm"
        told = {"value": good, "unit": unit} if abs(good) < float("inf") else {"words": "open"}
        found.append(event(first + n, Kind.MEASURED, about=row.key, of=of, **told))
    return found


def at(*events: Event, now: str = NOON) -> Moment:
    """Return the moment after some events, the last of which a laptop got at noon."""
    state = fold(recorded(*events, role=Role.MENTOR))
    return Moment(wake(), state, "", built_ends(PLAN, state), now)


def measuring(*events: Event, now: str = NOON) -> list[str]:
    """Return what stands in the way of measuring."""
    return list(before_measuring(at(*events, now=now)))


def power(*events: Event, now: str = NOON) -> list[str]:
    """Return what stands in the way of the first power."""
    return list(before_power(at(*events, now=now)))


def numbers(events: list[Event]) -> tuple[int, ...]:
    """Return the numbers of some events."""
    return tuple(int(one.key, 16) for one in events)


def ready(first: int = 500) -> list[Event]:
    """Return all that has to be there before the first power: ends, readings, and looks that know of the readings."""
    read = readings(first)
    return [*signed(100), *read, *looks("power", first + 200, of=numbers(read))]


def test_nothing_recorded_locks_both() -> None:
    """Lugs, looks and rows are all open, each said once."""
    told = measuring()
    assert any("battery post" in words for words in told)
    assert any("Two people look" in words for words in told)
    assert any("to do" in words for words in power())


def test_lugs_seen_by_two_and_looks_answered_by_two_unlock_the_meter() -> None:
    """With a witness at each lug and two people at each question, nothing is in the way."""
    assert measuring(*lugs(), *looks("measuring", 200)) == []


def test_one_person_under_two_spellings_is_one() -> None:
    """Two answers by the same person are one answer."""
    (told,) = measuring(*lugs(), *looks("measuring", 200, who=("AB", "a b")))
    assert "Two people look" in told


def test_a_lug_pulled_by_its_maker_is_not_enough() -> None:
    """At a battery post nobody signs alone."""
    alone = [replace(one, who="AB") for one in lugs()]
    (told,) = measuring(*alone, *looks("measuring", 200))
    assert "battery post" in told


def test_power_on_locks_the_meter_until_it_is_off_and_everybody_has_looked_again() -> None:
    """The lock comes with the word that power is on; what was answered before is worth nothing afterwards."""
    on = event(300, Kind.POWER_ON)
    told = measuring(*lugs(), *looks("measuring", 200), on)
    assert any("power is on" in words for words in told)
    off = event(301, Kind.POWER_OFF, of=(300,))
    (left,) = measuring(*lugs(), *looks("measuring", 200), on, off)
    assert "Two people look" in left
    assert measuring(*lugs(), on, off, *looks("measuring", 400, of=(301,))) == []


def test_what_is_asked_before_the_first_power_alone_is_not_asked_again() -> None:
    """At the second stage breakers are in, so nobody has to say that they are out; wheels and mentor are asked anew."""
    on, off = event(800, Kind.POWER_ON), event(801, Kind.POWER_OFF, of=(800,))
    assert power(*ready(), on) == []
    (told,) = power(*ready(), on, off)
    first = {look.key: look.number for look in wake().looks}
    assert f"question {first['wheels up']}" in told
    assert str(first["protection out again"]) not in told.split("question")[1].replace(".", "").replace(",", "").split()
    again = looks("power", 820, of=(801, *numbers(readings(500))))
    left = [one for one in again if one.about not in ("all rows good", "protection out again")]
    assert power(*ready(), on, off, *left) == []


def test_power_waits_for_every_row_and_its_own_looks() -> None:
    """All rows good and two people at the questions before power: nothing is in the way; one row that stops is."""
    assert power(*ready()) == []
    assert any("1 to do" in words for words in power(*(one for one in ready() if one.key != key(500))))
    bad = event(900, Kind.MEASURED, about="left wheel: plus", value=9.0, unit="ohm")
    assert any("1 stop" in words for words in power(*ready(), bad))
    (told,) = power(*signed(100), *readings(500))
    assert "Two people look" in told


def test_power_waits_for_every_end() -> None:
    """One end that nobody signed, or that failed, and power waits; a pull that nobody witnessed holds nobody up."""
    missing = signed(100, but="W10 A")
    read = readings(500)
    rest = [*read, *looks("power", 700, of=numbers(read))]
    assert power(*missing, *rest)[0] == "1 end is not done: W10 A."
    alone = event(90, Kind.MADE, wire="W10", end="A"), event(91, Kind.PULLED, of=(90,), wire="W10", end="A")
    assert power(*missing, alone[0], *rest)[0] == "1 end is not done: W10 A."
    assert power(*missing, *alone, *rest) == []
    many = power(*lugs(), *rest)[0]
    assert " ends are not done: " in many
    assert " more." in many


def test_an_end_that_is_made_again_sends_its_rows_back_with_the_reason() -> None:
    """Failed: its rows count no more, nor those of the whole board. Made again: only a reading that knows it counts."""
    read = readings(500)
    made = next(one for one in signed(100) if (one.wire, one.end, one.kind) == ("W10", "A", Kind.MADE))
    number = int(made.key, 16)
    failed = event(900, Kind.FAILED, of=(number,), who="CD", wire="W10", end="A")
    row = next(one for one in wake().measurements if one.key == "robot controller: plus")
    other = next(one for one in wake().measurements if one.key == "left wheel: plus")
    board = next(one for one in wake().measurements if one.key == "block: whole board, plus to minus")
    own = [one.key for one in read if one.about == row.key]

    def told(*more: Event) -> list[tuple[str, str]]:
        rows = at(*signed(100), *read, *more).rows
        return [(str(rows.verdict(one).verdict), rows.verdict(one).why) for one in (row, other, board)]

    assert [verdict for verdict, _ in told()] == ["good"] * 3
    assert told(failed)[0] == ("to do", "W10 A is to make again: measure again.")
    again = event(901, Kind.REDONE, of=(number, 900), wire="W10", end="A", as_planned=made.as_planned)
    pulled = event(902, Kind.PULLED, of=(901,), who="CD", wire="W10", end="A")
    since = ("to do", "W10 A was made again since: measure again.")
    assert told(failed, again, pulled)[0] == told(failed, again, pulled)[2] == since
    assert told(failed, again, pulled)[1][0] == "good"
    late = event(903, Kind.MEASURED, about=row.key, value=0.3, unit="ohm", of=(int(own[0], 16), number))
    assert told(failed, again, pulled, late)[0] == since, "it was read before the phone knew of the new end"
    fresh = event(903, Kind.MEASURED, about=row.key, value=0.3, unit="ohm", of=(int(own[0], 16), 901))
    assert told(failed, again, pulled, fresh)[0][0] == "good"
    old = event(903, Kind.MEASURED, about=row.key, value=0.3, unit="ohm", of=(int(own[0], 16),))
    assert told(failed, again, pulled, old)[0][0] == "good", "older records name no ends: what came later counts"


def test_a_new_plan_sends_the_rows_of_what_it_changes_back() -> None:
    """A wire that is to have another gauge is to make again, and what was read of the old one tells nothing."""
    thin = [
        replace(one, as_planned={**one.as_planned, "gauge": "24 AWG"}) if one.wire == "W6" and one.as_planned else one
        for one in signed(100)
    ]
    read = readings(500)
    told = power(*thin, *read, *looks("power", 700, of=numbers(read)))
    assert "2 ends are not done: W6 B and W6 A." in told
    assert any(words.startswith("Not every row is good yet") for words in told)


def test_a_danger_locks_everything_and_takes_every_look_back() -> None:
    """Open: nothing is signed, measured or given power. Cleared by a mentor: everybody looks anew, knowing of it."""
    hunt = event(900, Kind.HUNT)
    danger = event(901, Kind.DANGER, of=(900,), words="smoke", who="EF")
    cleared = event(902, Kind.CLEARED, of=(900, 901), words="a burnt fan")
    held = [*ready(), *looks("measuring", 200)]
    assert measuring(*held) == power(*held) == list(before_signing(at(*held).state)) == []
    told = list(before_signing(at(*held, hunt, danger).state))
    assert told == ["Danger: smoke, told by EF. Hands off, until a mentor has cleared it on Hunt."]
    assert measuring(*held, hunt, danger)[0] == power(*held, hunt, danger)[0] == told[0]
    after = (*held, hunt, danger, cleared)
    assert all("Two people look" in words for words in (*measuring(*after), *power(*after)))
    assert measuring(*after, *looks("measuring", 950, of=(901,))) != [], "they knew of the danger and not of its end"
    assert measuring(*after, *looks("measuring", 950, of=(902,))) == []


def test_a_look_while_power_is_told_on_does_not_count_after_it() -> None:
    """Who looked at a robot that had power has not seen that it has none: the look has to know that it is off."""
    on, off = event(300, Kind.POWER_ON), event(301, Kind.POWER_OFF, of=(300,))
    (told,) = measuring(*lugs(), on, *looks("measuring", 400, of=(300,)), off)
    assert "Two people look" in told
    twice = event(302, Kind.POWER_OFF, of=(301,))
    assert measuring(*lugs(), on, off, *looks("measuring", 400, of=(301,)), twice) == [], "off twice is no news"


def test_looks_grow_old() -> None:
    """Half an hour after a laptop got them they count no more; and a look of next year never does."""
    held = [*lugs(), *looks("measuring", 200)]
    assert measuring(*held, now="2026-02-07T12:30:00Z") == []
    for now in ("2026-02-07T12:30:01Z", "2026-02-12T12:00:00Z", "2026-02-07T11:50:00Z"):
        (told,) = measuring(*held, now=now)
        assert "in the last half hour" in told
    assert any("in the last half hour" in words for words in power(*ready(), now="2026-02-07T12:31:00Z"))


def test_a_look_that_was_kept_for_days_counts_for_nothing_and_the_phone_is_told_why() -> None:
    """It reached the laptop just now; its own clock says five days ago, so it was kept, or that clock is slow."""
    old = [replace(one, measured_at="2026-02-02T12:00:00Z") for one in looks("measuring", 200)]
    told = measuring(*lugs(), *old)
    assert "Two people look" in told[0]
    assert told[1].startswith("AB and CD answered by a clock that is long past")


def test_questions_before_power_are_answered_by_who_knows_the_readings() -> None:
    """Answered before a row is measured, or before it was measured again: to answer anew."""
    early = [*signed(100), *looks("power", 700), *readings(500)]
    (told,) = power(*early)
    assert "Two people look" in told
    again = event(900, Kind.MEASURED, about="left wheel: plus", value=0.3, unit="ohm", of=numbers(
        [one for one in readings(500) if one.about == "left wheel: plus"]))  # fmt: skip
    assert any("Two people look" in words for words in power(*ready(), again))
    assert list(before_answers(at(*ready(), again))) == [], "they can be answered now"


@pytest.mark.parametrize(
    ("events", "words"),
    [
        ([event(300, Kind.POWER_ON, who="EF")], "It came while power was told on, by EF: measure again."),
        ([event(300, Kind.DANGER, words="heat", who="EF")],
         "It came while a danger was told (heat), by EF: measure again."),
    ],
)  # fmt: skip
def test_a_reading_that_came_in_a_live_robot_is_kept_and_does_not_count(events: list[Event], words: str) -> None:
    """Ohms on a robot with power tell nothing, and nobody measures in a danger; volts of a stage need power."""
    row = next(one for one in wake().measurements if one.key == "left wheel: plus")
    stage = next(one for one in wake().all_readings if one.key not in {r.key for r in wake().measurements})
    read = event(400, Kind.MEASURED, about=row.key, value=0.3, unit="ohm")
    told = at(*events, read).rows
    assert (str(told.verdict(row).verdict), told.verdict(row).why) == ("to do", words)
    assert at(read, *events).rows.verdict(row).verdict == "good", "what was read before stays"
    if events[0].kind is Kind.POWER_ON:
        off = event(301, Kind.POWER_OFF, of=(300,))
        assert at(*events, off, read).rows.verdict(row).verdict == "good", "older records: it came after the end"
        blind = replace(read, of=(key(299),))
        state = at(event(298, Kind.POWER_ON), event(299, Kind.POWER_OFF, of=(298,)), *events, off, blind)
        assert state.rows.verdict(row).why == words, "its phone had not heard of this power-on"
        volts = event(400, Kind.MEASURED, about=stage.key, value=12.6, unit="V")
        assert at(*events, volts).rows.counting(stage) == (volts,)


def test_a_number_in_another_unit_is_no_reading_of_a_row() -> None:
    """Volts on a row of ohms, or the other way round: to do again; older records without a unit keep their sense."""
    row = next(one for one in wake().measurements if one.key == "left wheel: plus")
    wrong = event(1, Kind.MEASURED, about=row.key, value=0.3, unit="V")
    told = at(wrong).rows.verdict(row)
    assert (str(told.verdict), told.why) == (
        "to do",
        "300 mV was written, and this row is read in ohm: measure again.",
    )
    assert at(replace(wrong, unit="")).rows.verdict(row).verdict == "good"
    assert at(replace(wrong, unit="ohm")).rows.verdict(row).verdict == "good"
