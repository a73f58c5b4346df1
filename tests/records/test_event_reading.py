"""Events as they are sent: what is taken, what is refused and in which words, and the hash of a record."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.records.event import Record, as_data, as_line
from loomwright.records.reading import EventRefusedError, read_event, read_record
from tests.records.events import NOON, histories, key

MADE: dict[str, Any] = {"key": key(1), "kind": "made", "who": "AB", "measured_at": NOON, "wire": "W12", "end": "A"}
READING: dict[str, Any] = {
    "key": key(2), "kind": "measured", "who": "AB", "measured_at": NOON, "about": "row", "value": 0.2, "unit": "ohm",
}  # fmt: skip


def faults(told: object) -> tuple[str, ...]:
    """Return why an event is refused; () where it is taken."""
    try:
        read_event(told)
    except EventRefusedError as error:
        return error.faults
    return ()


def test_a_signed_end_and_a_reading_are_taken() -> None:
    """The least that an event needs is enough."""
    assert read_event(MADE).wire == "W12"
    assert read_event(READING).value == 0.2
    assert read_event(READING | {"value": None, "words": "open", "unit": ""}).value is None


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ("made", "An event is an object"),
        (MADE | {"kind": "undone"}, "`kind` is one of made, "),
        (MADE | {"kind": ["made"]}, "`kind` is one of made, "),
        (MADE | {"key": "1"}, "`key` is 32 hexadecimal digits"),
        (MADE | {"who": "  "}, "`who` is the initials"),
        (MADE | {"who": "x" * 25}, "`who` has 25 characters; 24 are the most."),
        (MADE | {"who": "A\u0007"}, "can't be printed"),
        (MADE | {"end": "C"}, "`wire` and `end` name the end"),
        (MADE | {"wire": "../W1"}, "`wire` and `end` name the end"),
        (MADE | {"measured_at": "yesterday"}, "`measured_at` is a time in UTC"),
        (MADE | {"measured_at": "2026-02-30T00:00:00Z"}, "`measured_at` is a time in UTC"),
        (MADE | {"colour": "RD"}, "Nobody knows the field `colour`"),
        (MADE | {"value": 3}, "`made` has no value."),
        (MADE | {"of": [key(1)]}, "can't name itself"),
        (MADE | {"of": ["abc"]}, "`of` holds keys"),
        (MADE | {"of": [key(9)] * 1001}, "`of` is a list of up to 1000 keys."),
        (MADE | {"as_planned": {"gauge": 12}}, "`as_planned` holds texts"),
        (MADE | {"kind": "pulled"}, "`of` names the events"),
        (READING | {"about": ""}, "`about` names what"),
        (READING | {"value": float("nan")}, "`value` is a number."),
        (READING | {"value": 10**400}, "`value` is a number."),
        (MADE | {"as_planned": {"gauge": "\ud800"}}, "`as_planned` has characters"),
        (READING | {"value": True}, "`value` is a number."),
        (READING | {"unit": "mV"}, "is in ohm or V."),
        (READING | {"value": None}, "or the words `open`"),
        (READING | {"kind": "set begun", "value": 2.5, "unit": ""}, "a whole number from 1"),
        (READING | {"kind": "sample", "about": "fine", "of": [key(9)], "unit": "N"}, "how it ended: held"),
    ],
)
def test_what_can_not_be_taken_says_which_field_and_how(told: object, words: str) -> None:
    """Each fault is named in a sentence."""
    assert any(words in fault for fault in faults(told)), faults(told)


def test_all_faults_are_told_at_once() -> None:
    """Three faults, three sentences."""
    assert len(faults(MADE | {"key": "1", "who": "", "end": "C"})) == 3


_NAMES = st.sampled_from([*MADE, "of", "value", "as_planned"])
_ANYTHING = st.recursive(
    st.none() | st.booleans() | st.floats() | st.text(max_size=9),
    lambda inner: st.lists(inner) | st.dictionaries(_NAMES, inner),
    max_leaves=9,
)


@given(_ANYTHING)
def test_nothing_that_can_be_sent_breaks_the_reader(told: object) -> None:
    """Anything is either taken or refused with sentences."""
    assert isinstance(faults(told), tuple)
    if isinstance(told, dict):
        assert isinstance(faults(MADE | told), tuple)


@given(histories(most=4))
def test_a_record_survives_its_line(records: list[Record]) -> None:
    """Writing a record as a line and reading it gives the same record, with the same hash."""
    for record in records:
        again = json.loads(as_line(record))
        assert as_data(record) == again
        if not faults({name: value for name, value in again.items() if name not in _OF_RECORDS}):
            assert read_record(again).hash == record.hash


_OF_RECORDS = ("origin", "sequence", "before", "received_at", "role")


@given(histories(most=3), st.data())
def test_any_edit_of_a_record_shows(records: list[Record], data: st.DataObject) -> None:
    """Another value in any field gives another hash."""
    told = as_data(records[0])
    name = data.draw(st.sampled_from(sorted(told)))
    told[name] = f"{told[name]}x"
    line = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert hashlib.sha256(line.encode()).hexdigest() != records[0].hash


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"origin": "L"}, "`origin` is 4 to 40"),
        ({"sequence": 0}, "`sequence` is the number"),
        ({"sequence": True}, "`sequence` is the number"),
        ({"before": "x"}, "`before` is 64"),
        ({"role": "owner"}, "`role` is one of student, mentor."),
        ({"role": {}}, "`role` is one of student, mentor."),
        ({"received_at": ""}, "`received_at` is a time"),
    ],
)
def test_a_record_has_its_own_fields(change: dict[str, object], words: str) -> None:
    """What the laptop adds is checked like the rest."""
    whole = MADE | {"origin": "laptop-a", "sequence": 1, "before": "0" * 64, "received_at": NOON, "role": "student"}
    assert read_record(whole).sequence == 1
    with pytest.raises(EventRefusedError, match=words):
        read_record(whole | change)
