"""Who is who: one person under any spelling, and names that nobody could tell apart."""

from __future__ import annotations

import pytest

from loomwright.records.ends import Standing
from loomwright.records.event import Kind
from loomwright.records.fold import fold
from loomwright.records.people import person, plain_name, same_person
from loomwright.records.reading import read_record
from tests.records.events import NOON, event, faults, key, recorded

SPELLINGS = ("AB", "ab", " a b", "A.B.", "a-b", "A_B", "\uff21\uff22", "AB\u200b", "\u00c4B")


@pytest.mark.parametrize("other", SPELLINGS)
def test_nobody_witnesses_under_another_spelling(other: str) -> None:
    """Dots, hyphens, wide letters and signs that nobody sees make no second person; another letter does."""
    same = other != "\u00c4B"
    assert same_person("AB", other) is same
    pulled = event(2, Kind.PULLED, of=(1,), who=other)
    standing = fold(recorded(event(1, Kind.MADE, who="AB"), pulled)).end("", "W1", "A").standing
    assert standing is (Standing.PULLED_ALONE if same else Standing.PULLED)


def test_letters_that_grow_when_they_are_folded_are_the_same_too() -> None:
    """Case is folded as far as both sides can: sharp s, final sigma, ligatures, the Kelvin sign."""
    for one, other in (("stra\u00dfe", "STRASSE"), ("\u03c3\u03c2", "\u03a3\u03a3"), ("\ufb01", "FI"), ("\u212a", "k")):
        assert person(one) == person(other), one


def test_labels_keep_their_hyphens() -> None:
    """Batteries B-3 and B3 are two things; only case and spaces are no matter."""
    assert plain_name("B-3") != plain_name("B3")
    assert plain_name("b 3") == plain_name("B3")


@pytest.mark.parametrize(
    ("who", "why"),
    [
        ("AB\u200b", "A name has no signs that can't be seen: type it again."),
        ("A\u202eB", "A name has no signs that can't be seen: type it again."),
        ("--", "A name has a letter or a digit at least."),
        ("\u00c4B", None),
        ("7", None),
    ],
)
def test_a_name_that_would_fool_the_eye_is_refused_when_it_is_new_and_read_when_it_is_old(
    who: str, why: str | None
) -> None:
    """A new event is refused with the reason; a record that stands in the file stays readable."""
    sent = {"key": key(1), "kind": "made", "who": who, "measured_at": NOON, "wire": "W1", "end": "A"}
    assert faults(sent) == (() if why is None else (why,))
    record = sent | {"origin": "laptop-a", "sequence": 1, "received_at": NOON, "role": "student"}
    assert read_record(record).event.who == who
