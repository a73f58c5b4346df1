"""What stands in the way of measuring and of power: sentences that go when people have recorded what is asked."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from loomwright.proof.as_built.ends import built_ends, signed_as
from loomwright.proof.as_built.verdicts import bounds
from loomwright.proof.as_built.wake_locks import before_measuring, before_power
from loomwright.proof.ends import all_ends
from loomwright.proof.wake_up import wake_up
from loomwright.proof.wake_up_result import WakeUp
from loomwright.records.event import Event, Kind
from loomwright.records.fold import fold
from tests.records.events import event, recorded
from tests.robots import example_plan

PLAN = example_plan("rockpool")


@lru_cache(maxsize=1)
def wake() -> WakeUp:
    """Return the Wake-up list of the trainer."""
    return wake_up(PLAN)


def lugs() -> list[Event]:
    """Return signatures and witnessed pulls of every end on the battery."""
    found: list[Event] = []
    for n, end in enumerate(one for one in all_ends(PLAN) if one.end.device == "battery"):
        signed = signed_as(end.wire, end.end)
        wire, letter = end.wire.id, end.end.letter
        found.append(event(100 + 2 * n, Kind.MADE, as_planned=signed, wire=wire, end=letter))
        found.append(event(101 + 2 * n, Kind.PULLED, of=(100 + 2 * n,), who="CD", wire=wire, end=letter))
    return found


def looks(before: str, first: int, *, who: tuple[str, ...] = ("AB", "CD"), of: tuple[int, ...] = ()) -> list[Event]:
    """Return answers of these people to every question before measuring, or before power."""
    asked = [look.key for look in wake().looks if look.before == before]
    pairs = [(key, name) for key in asked for name in who]
    return [event(first + n, Kind.CONFIRMED, about=key, who=name, of=of) for n, (key, name) in enumerate(pairs)]


def readings(first: int) -> list[Event]:
    """Return a good reading of every row that is measured with the battery out."""
    found = []
    for n, row in enumerate(wake().measurements):
        held = bounds(row)
        good = held.low if held.low > float("-inf") else held.high
        unit = "V" if row.setting.function == "DC volts" else "ohm"
        told = {"value": good, "unit": unit} if abs(good) < float("inf") else {"words": "open"}
        found.append(event(first + n, Kind.MEASURED, about=row.key, **told))
    return found


def measuring(*events: Event) -> list[str]:
    """Return what stands in the way of measuring."""
    state = fold(recorded(*events))
    return list(before_measuring(wake(), state, "", built_ends(PLAN, state)))


def power(*events: Event) -> list[str]:
    """Return what stands in the way of the first power."""
    return list(before_power(wake(), fold(recorded(*events)), ""))


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
    ready = [*readings(500), *looks("power", 700)]
    on, off = event(800, Kind.POWER_ON), event(801, Kind.POWER_OFF, of=(800,))
    assert power(*ready, on) == []
    (told,) = power(*ready, on, off)
    first = {look.key: look.number for look in wake().looks}
    assert f"question {first['wheels up']}" in told
    assert str(first["protection out again"]) not in told.split("question")[1].replace(".", "").replace(",", "").split()
    left = [one for one in looks("power", 820, of=(801,)) if one.about not in ("all rows good", "protection out again")]
    assert power(*ready, on, off, *left) == []


def test_power_waits_for_every_row_and_its_own_looks() -> None:
    """All rows good and two people at the questions before power: nothing is in the way; one row that stops is."""
    ready = [*readings(500), *looks("power", 700)]
    assert power(*ready) == []
    assert any("1 to do" in words for words in power(*ready[1:]))
    bad = event(900, Kind.MEASURED, about="left wheel: plus", value=9.0, unit="ohm")
    assert any("1 stop" in words for words in power(*ready, bad))
    assert any("Two people look" in words for words in power(*readings(500)))
