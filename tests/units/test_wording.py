"""Near misses, lists and quotes in the sentences people read."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.wording import listed, nearest, quoted


def test_a_misspelt_word_finds_its_neighbours_best_first() -> None:
    known = ["left front", "left rear", "lift motor", "right rear"]
    assert nearest("left raer", known) == ["left rear", "left front"]
    assert nearest("Left Rear ", known)[0] == "left rear"
    assert nearest("battery", known) == []


def test_of_two_equally_near_words_the_one_that_starts_alike_comes_first() -> None:
    assert nearest("cmm", ["mm", "cm"], limit=1) == ["cm"]
    assert nearest("xm", ["mm", "cm"], limit=1, closeness=0.5) == ["mm"]


@given(st.text(min_size=1).filter(str.strip), st.lists(st.text(), max_size=8))
def test_a_word_that_is_there_is_found_first(word: str, others: list[str]) -> None:
    found = nearest(word, [*others, word])
    assert found[0].strip().casefold() == word.strip().casefold()


@pytest.mark.parametrize(
    ("words", "text"),
    [([], ""), (["a"], "a"), (["a", "b"], "a or b"), (["a", "b", "c"], "a, b or c")],
)
def test_a_list_reads_as_a_sentence(words: list[str], text: str) -> None:
    assert listed(words) == text


def test_a_list_takes_another_joiner() -> None:
    assert listed(["a", "b"], "and") == "a and b"


def test_a_quote_is_short_and_shows_what_can_not_be_seen() -> None:
    assert quoted("a b") == "`a b`"
    assert quoted("a\tb\x00") == "`a<U+0009>b<U+0000>`"
    assert quoted("x" * 50) == f"`{'x' * 40}...`"


@given(st.text())
def test_a_quote_stands_on_one_short_line(text: str) -> None:
    shown = quoted(text)
    assert shown.isprintable()
    assert len(shown) <= 90
