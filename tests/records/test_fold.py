"""The fold: what records say, whatever order they came in, and what each kind of event does to it."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.records.ends import Standing
from loomwright.records.event import MENTORS_ONLY, Event, Kind, Record, Role
from loomwright.records.fold import State, fold
from tests.records.events import event, histories, key, recorded


def standing(*events: Event, role: Role = Role.MENTOR) -> Standing:
    """Return where some events leave the end W1 A."""
    return fold(recorded(*events, role=role)).end("", "W1", "A").standing


@given(histories(), st.integers(0, 999))
def test_the_order_in_which_records_came_changes_nothing(records: list[Record], seed: int) -> None:
    """Any interleaving, and any record seen twice, folds to the same state."""
    shaken = [*records, *records[: len(records) // 2]]
    random.Random(seed).shuffle(shaken)  # noqa: S311  a test's own order
    assert fold(shaken) == fold(records)


@given(histories())
def test_every_event_that_counts_is_somewhere_once(records: list[Record]) -> None:
    """Nothing that was not taken back is lost: what was signed stands in the history of its end."""
    state = fold(records)
    told = [one.key for end in state.ends.values() for one in end.history]
    ends = {Kind.MADE, Kind.REDONE, Kind.PULLED, Kind.FAILED}
    assert sorted(told) == sorted(one.key for one in state.events.values() if one.kind in ends)


@given(histories())
def test_a_student_changes_nothing_that_only_a_mentor_may(records: list[Record]) -> None:
    """Without the records of students that only a mentor may send, the state is the same."""
    lawful = [r for r in records if r.role is Role.MENTOR or r.event.kind not in MENTORS_ONLY]
    assert fold(lawful) == fold(records)


def test_an_end_is_to_do_until_somebody_signs_it() -> None:
    """Without any event it is to do; a signature makes it made."""
    assert fold([]).end("", "W1", "A").standing is Standing.TO_DO
    assert standing(event(1, Kind.MADE)) is Standing.MADE


@pytest.mark.parametrize(
    ("who", "then"),
    [("CD", Standing.PULLED), ("AB", Standing.PULLED_ALONE), (" a b", Standing.PULLED_ALONE)],
)
def test_only_another_person_witnesses_a_pull(who: str, then: Standing) -> None:
    """Who pulls an end that they made themselves, in whatever spelling, leaves it not witnessed."""
    assert standing(event(1, Kind.MADE, who="AB"), event(2, Kind.PULLED, of=(1,), who=who)) is then


def test_a_failed_end_is_redone_by_who_knows_of_it() -> None:
    """A failure sends the end back; a new signature in its place starts anew, and needs its own pull."""
    failed = (event(1, Kind.MADE), event(2, Kind.FAILED, of=(1,), who="CD"))
    assert standing(*failed) is Standing.REDO
    again = (*failed, event(3, Kind.REDONE, of=(1, 2)))
    assert standing(*again) is Standing.MADE
    assert standing(*again, event(4, Kind.PULLED, of=(3,), who="CD")) is Standing.PULLED
    assert standing(*again, event(4, Kind.PULLED, of=(1,), who="CD")) is Standing.MADE


def test_a_pull_that_held_does_not_hide_one_that_failed() -> None:
    """Whoever says that it failed is believed, whenever that was."""
    pulls = (event(2, Kind.PULLED, of=(1,), who="CD"), event(3, Kind.FAILED, of=(1,), who="EF"))
    assert standing(event(1, Kind.MADE), *pulls) is Standing.REDO
    assert standing(event(1, Kind.MADE), *reversed(pulls)) is Standing.REDO


def test_an_end_signed_twice_stands_as_the_worse_of_both() -> None:
    """Two phones without a network sign one end: it is as far as the one that is less far, and says so."""
    both = (event(1, Kind.MADE), event(2, Kind.MADE, who="CD"), event(3, Kind.PULLED, of=(1,), who="CD"))
    state = fold(recorded(*both)).end("", "W1", "A")
    assert state.twice
    assert state.standing is Standing.MADE
    assert state.keys == (key(1), key(2))
    settled = fold(recorded(*both, event(4, Kind.PULLED, of=(1, 2), who="EF"))).end("", "W1", "A")
    assert settled.standing is Standing.PULLED


def test_what_a_mentor_takes_back_is_gone_and_what_it_replaced_is_back() -> None:
    """A taken-back signature leaves the end as it was before; a student's taking back does nothing."""
    made = (event(1, Kind.MADE), event(2, Kind.REDONE, of=(1,)))
    taken = (*made, event(3, Kind.TAKEN_BACK, of=(2,)))
    assert fold(recorded(*taken, role=Role.MENTOR)).end("", "W1", "A").keys == (key(1),)
    assert fold(recorded(*taken, role=Role.STUDENT)).end("", "W1", "A").keys == (key(2),)


def test_taking_back_a_taking_back_does_nothing() -> None:
    """What was wrongly taken back is signed again: two takings back never settle which of them counts."""
    events = (event(1, Kind.MADE), event(2, Kind.TAKEN_BACK, of=(1,)), event(3, Kind.TAKEN_BACK, of=(2,)))
    assert standing(*events) is Standing.TO_DO


def power(*events: Event) -> State:
    """Return the state after power events and confirmations."""
    return fold(recorded(*events))


def test_any_power_on_revokes_every_confirmation_that_did_not_know_of_it() -> None:
    """A look counts until somebody tells of power on; then it has to be answered again by who knows of that."""
    look = event(1, Kind.CONFIRMED, about="battery out")
    assert power(look).power_of("").confirmations("battery out") == (look,)
    on = event(2, Kind.POWER_ON)
    assert power(look, on).power_of("").confirmations("battery out") == ()
    off = event(3, Kind.POWER_OFF, of=(2,))
    later = event(4, Kind.CONFIRMED, about="battery out", of=(3,))
    assert power(look, on, off, later).power_of("").confirmations("battery out") == (later,)


def test_a_phone_without_network_can_not_vouch_for_a_state_it_has_not_heard_of() -> None:
    """A confirmation that knows of one power-on and not of another, told meanwhile elsewhere, is revoked."""
    on, off = event(1, Kind.POWER_ON), event(2, Kind.POWER_OFF, of=(1,))
    elsewhere = event(3, Kind.POWER_ON, of=(2,))
    look = event(4, Kind.CONFIRMED, about="battery out", of=(2,))
    assert power(on, off, look).power_of("").confirmations("battery out") == (look,)
    told = power(on, off, look, elsewhere).power_of("")
    assert told.confirmations("battery out") == ()
    assert told.told_on


def test_power_is_told_on_as_long_as_one_power_on_has_no_answer() -> None:
    """Off answers the power-on that it knows; another one stays."""
    one, two = event(1, Kind.POWER_ON), event(2, Kind.POWER_ON)
    off = event(3, Kind.POWER_OFF, of=(1,))
    assert power(one, two, off).power_of("").told_on
    assert not power(one, two, event(3, Kind.POWER_OFF, of=(1, 2))).power_of("").told_on


def test_who_told_that_power_is_on_is_named_though_somebody_else_told_that_it_is_off() -> None:
    """Of two who did not know of each other, the one whose power-on nobody has answered is the one to ask."""
    on, off = event(1, Kind.POWER_ON, who="AB"), event(2, Kind.POWER_OFF, who="CD", measured_at="2026-02-07T13:00:00Z")
    held = power(on, off).power_of("")
    assert held.on == on
    assert held.was_on
    assert not power(off).power_of("").was_on


def at(sequence: int, one: Event, received: str, origin: str = "laptop-a") -> Record:
    """Return a record of a laptop whose clock shows a time of day."""
    return Record(event=one, role=Role.MENTOR, origin=origin, sequence=sequence, received_at=f"2026-02-07T{received}")


def order(*records: Record) -> list[int]:
    """Return the numbers of events in the order in which they are folded."""
    return [int(name, 16) for name in fold(records).events]


def test_events_stand_as_they_came_and_no_phones_clock_has_a_say() -> None:
    """Clocks of 1999 and 2031 change nothing; a laptop's clock that is set back does not turn its own records round."""
    odd = [event(n, Kind.NOTED, measured_at=f"{year}-01-01T00:00:00Z") for n, year in ((1, 2031), (2, 2026), (3, 1999))]
    assert order(*(at(n, one, "12:00:00Z") for n, one in enumerate(odd, 1))) == [1, 2, 3]
    times = ("12:00:00.500Z", "12:00:00Z", "09:00:00Z")
    assert order(*(at(n, one, time) for n, (one, time) in enumerate(zip(odd, times, strict=True), 1))) == [1, 2, 3]


def test_what_an_event_knew_of_comes_before_it_whatever_any_clock_says() -> None:
    """Two laptops: by when each got it; but the one that was named stands before whoever names it."""
    one, two = event(1, Kind.NOTED), event(2, Kind.NOTED)
    knowing = event(3, Kind.NOTED, of=(2,))
    early, late = "11:00:00.250Z", "11:00:01Z"
    assert order(at(1, one, late), at(1, two, early, "laptop-b")) == [2, 1]
    assert order(at(1, one, early), at(1, two, late, "laptop-b")) == [1, 2]
    assert order(at(1, knowing, early), at(1, two, late, "laptop-b"), at(2, one, "11:00:00.500Z")) == [2, 3, 1]


def test_an_event_that_two_laptops_got_counts_as_received_by_the_first() -> None:
    """The earlier of the two times stands, whichever of the records is kept for its content."""
    one = event(1, Kind.NOTED)
    state = fold([at(1, one, "12:00:00Z"), at(1, one, "11:00:00.5Z", "laptop-b")])
    assert state.received == {key(1): "2026-02-07T11:00:00.5Z"}


@st.composite
def chains(draw: st.DrawFn) -> list[Record]:
    """Draw two laptops with clocks of their own, whose events name any that were there, here or there, before them."""
    records: list[Record] = []
    for n in range(1, draw(st.integers(2, 14)) + 1):
        origin = draw(st.sampled_from(["laptop-a", "laptop-b"]))
        of = tuple(draw(st.sets(st.integers(1, n - 1), max_size=3))) if n > 1 else ()
        time = f"{draw(st.integers(9, 17)):02}:00:00Z"
        sequence = sum(record.origin == origin for record in records) + 1
        records.append(at(sequence, event(n, Kind.NOTED, of=of), time, origin))
    return records


@given(chains(), st.data())
def test_the_order_keeps_what_was_known_and_what_was_written_first(records: list[Record], data: st.DataObject) -> None:
    """Whatever the clocks: nothing stands before what it names, nor before what its laptop wrote earlier."""
    places = fold(data.draw(st.permutations(records))).places
    assert places == fold(records).places
    for record in records:
        before = {*record.event.of} | {
            one.event.key for one in records if one.origin == record.origin and one.sequence < record.sequence
        }
        assert all(places[one] < places[record.event.key] for one in before)


def test_a_later_reading_takes_the_place_of_those_it_knows() -> None:
    """A second reading of a row replaces the first; one that did not know of the first stands beside it."""
    first = event(1, Kind.MEASURED, about="row", value=3.0, unit="ohm")
    knowing = event(2, Kind.MEASURED, about="row", value=0.2, unit="ohm", of=(1,))
    blind = event(3, Kind.MEASURED, about="row", value=0.3, unit="ohm")
    assert fold(recorded(first, knowing)).readings["", "row"].readings == (knowing,)
    assert fold(recorded(first, blind)).readings["", "row"].readings == (first, blind)


def test_an_approval_speaks_of_the_readings_it_names() -> None:
    """A mentor's word holds for the reading that was there, and not for a later one."""
    first = event(1, Kind.MEASURED, about="row", value=3.0, unit="ohm")
    signed = event(2, Kind.APPROVED, about="row", of=(1,))
    later = event(3, Kind.MEASURED, about="row", value=4.0, unit="ohm", of=(1,))
    row = {name: fold(recorded(*events, role=role)).readings["", "row"] for name, (events, role) in {
        "mentor": ((first, signed), Role.MENTOR),
        "student": ((first, signed), Role.STUDENT),
        "later": ((first, signed, later), Role.MENTOR),
    }.items()}  # fmt: skip
    assert {name: held.approved(held.readings) for name, held in row.items()} == {
        "mentor": True,
        "student": False,
        "later": False,
    }


def test_a_set_of_samples_holds_the_pulls_that_name_it() -> None:
    """Samples belong to the set that they name, whichever came first."""
    begun = event(1, Kind.SET_BEGUN, about="tool, ring, 12 AWG", value=5.0)
    pulls = (event(2, Kind.SAMPLE, about="held", of=(1,)), event(3, Kind.SAMPLE, about="slipped", of=(9,)))
    (found,) = fold(recorded(*pulls, begun)).sets
    assert found.begun == begun
    assert found.pulls == pulls[:1]


def test_a_setting_is_what_the_last_mentor_who_knew_the_others_said() -> None:
    """A setting replaces those it names; builds keep theirs apart from each other in everything else."""
    first = event(1, Kind.SETTING, about="samples first", words="on")
    then = event(2, Kind.SETTING, about="samples first", words="off", of=(1,), measured_at="2026-02-07T11:00:00Z")
    assert fold(recorded(first, role=Role.STUDENT)).setting("samples first") == ""
    assert len(fold(recorded(first, then, role=Role.MENTOR)).settings["samples first"]) == 1
    assert fold(recorded(first, then, role=Role.MENTOR)).setting("samples first") == "off"


def test_builds_are_kept_apart() -> None:
    """The same wire of another build has its own ends."""
    state = fold(recorded(event(1, Kind.MADE, build="practice")))
    assert state.end("", "W1", "A").standing is Standing.TO_DO
    assert state.end("practice", "W1", "A").standing is Standing.MADE
