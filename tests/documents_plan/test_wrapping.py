"""How many lines a text takes: never fewer than it needs, and not many more."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.documents.wrapping import lines, text_width

#: Widths of a plain sans-serif face in thousandths of its size, as printer's fonts have had them since the 1980s;
#: from memory, checked against a free font with the same widths. A column unit is 525 of them at 10 pt.
ADVANCES = {
    222: "ijl",
    278: " !,./:;I[\\]ft",
    333: "()-`r",
    355: '"',
    389: "*",
    500: "Jcksvxyz",
    556: "#$0123456789?L_abdeghnopqu",
    584: "+<=>~",
    611: "FTZ",
    667: "&ABEKPSVXY",
    722: "CDHNRUw",
    778: "GOQ",
    833: "Mm",
    889: "%",
    944: "W",
    1015: "@",
}


@pytest.mark.parametrize(("advance", "char"), [(width, char) for width, chars in ADVANCES.items() for char in chars])
def test_each_character_is_taken_for_as_wide_as_it_is_or_a_little_wider(advance: int, char: str) -> None:
    true = advance / 525
    assert true <= text_width(char) <= 1.16 * true


@pytest.mark.parametrize(
    ("words", "width", "count"),
    [
        ("", 10, 1),
        ("one", 10, 1),
        ("one two three", 8, 2),
        ("one two three", 5, 3),
        ("one\ntwo", 80, 2),
        ("one\n\ntwo", 80, 3),
        ("nnnnnnnnnn", 5.5, 2),  # a word that is too long breaks anywhere
        ("nnnnnnnnnn", 5.4, 3),
        ("a nnnnnnnnnn", 5.5, 3),  # ... after it got a line of its own
        ("nnnnnnnnnn a", 5.4, 3),  # ... and what follows goes on beside its rest
        ("漢字漢字", 8, 2),
        ("é" * 4, 5, 2),
        ("e\u0301" * 4, 5, 1),  # a mark takes no room of its own
    ],
)
def test_lines_break_between_words(words: str, width: float, count: int) -> None:
    assert lines(words, width) == count


def test_bold_takes_more_room() -> None:
    assert lines("nnnnn nnnnn", 11.6) == 1
    assert lines("nnnnn nnnnn", 11.6, bold=True) == 2


TEXTS = st.text(st.characters(codec="utf-8"), max_size=60)


@given(TEXTS, st.floats(3, 50), st.floats(0, 20))
def test_a_wider_column_never_takes_more_lines(words: str, width: float, more: float) -> None:
    assert lines(words, width + more) <= lines(words, width)


@given(TEXTS, TEXTS, st.floats(3, 50))
def test_more_words_never_take_fewer_lines(words: str, more: str, width: float) -> None:
    assert lines(f"{words} {more}", width) >= max(lines(words, width), lines(more, width))


@given(TEXTS, st.floats(3, 50))
def test_there_is_room_for_every_character(words: str, width: float) -> None:
    assert lines(words, width) * width >= sum(text_width(char) for char in words if not char.isspace())
