"""Names that no sheet can print are told before anybody builds from paper."""

from __future__ import annotations

import pytest

from loomwright.documents.names_in_print import names_in_print
from tests.robots import EXAMPLES, example_plan, example_text, robot_of


def told(**names: str) -> list[str]:
    """Return the findings of the trainer with other names, as "line name [code] severity"."""
    text = example_text("rockpool")
    for old, new in names.items():
        text = text.replace(f"  {old.replace('_', ' ')}:\n", f"  {new}:\n")
    found = names_in_print(robot_of(text))
    return [f"{one.place.line} {one.place.thing} [{one.code}] {one.severity}" for one in found]


@pytest.mark.parametrize("example", EXAMPLES)
def test_the_examples_print_as_they_are_named(example: str) -> None:
    """Nothing is told of plain names."""
    assert list(names_in_print(example_plan(example).robot)) == []


def test_latin_letters_with_accents_print() -> None:
    """So do figures, and marks that are put together anew (e and an accent)."""
    assert told(left_wheel="Rad links Ärmel é e\u0301 ß ø č", right_wheel="ruota 2") == []


def test_two_names_that_print_alike_must_be_changed() -> None:
    """Nobody could tell left from right on any table or flag; each is told where it stands, as device and mechanism."""
    found = told(left_wheel="左", right_wheel="右")
    assert sorted(found) == ["17 左 [prints-alike] must", "26 右 [prints-alike] must"]


def test_a_name_without_a_letter_left_must_be_changed_and_one_with_some_should() -> None:
    """A sign beside a name that can be read costs no more than a remark."""
    assert told(left_wheel="колесо") == ["17 колесо [not-printable] must"]
    assert told(left_wheel="wheel 🛞") == ["17 wheel 🛞 [not-printable] should"]
