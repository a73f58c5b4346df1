"""One value as YAML text: plain where everybody reads it alike, quoted where anybody might not."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from loomwright.robotfile.marked.plain_yaml import Content, lines, scalar
from loomwright.robotfile.marked.tree import Scalar, without_marks
from loomwright.robotfile.marked.yaml_tree import read_tree

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)


@pytest.mark.parametrize(
    "word",
    [
        "left front",
        "H3",
        "block/6-heavy-10-light",
        "12 AWG",
        "1/0 AWG",
        "85.3 cm",
        "1.234 m",
        "40 A",
        "été",
        "a+b",
        "5.5 %",
    ],
)
def test_plain_words_and_amounts_stay_plain(word: str) -> None:
    assert scalar(word) == (word if word != "5.5 %" else '"5.5 %"')


@pytest.mark.parametrize(
    "word", ["on", "No", "Y", "NULL", "010", "1e3", "12:30", "2024-01-01", "H7?", "", " a", "a ", "a  b", "1"]
)
def test_words_that_mean_something_to_yaml_are_quoted(word: str) -> None:
    assert scalar(word) == f'"{word}"'


def test_what_no_eye_can_see_is_spelled_out() -> None:
    assert scalar("a\u00a0b") == '"a\\xa0b"'
    assert scalar("a\u2028b") == '"a\\u2028b"'
    assert scalar("a\nb\t") == '"a\\x0ab\\x09"'
    assert scalar("\U000e0001") == '"\\U000e0001"'
    assert scalar('a "b" \\c') == '"a \\"b\\" \\\\c"'


def test_nothing_in_a_list_or_a_mapping_is_said() -> None:
    assert list(lines({"a": [], "b": {}})) == ["a: []", "b: {}"]


@given(TEXT)
def test_every_text_is_one_line_and_every_reader_finds_it_again(text: str) -> None:
    written = scalar(text)
    assert len(f"{written}.".splitlines()) == 1
    held: Content = {"a": text, "b": [{"c": text}, {"d": {"e": text}}]}
    data = "".join(f"{line}\n" for line in lines({"a": text, "b": [{"c": text}, {"d": {"e": text}}]})).encode()
    assert yaml.safe_load(data) == held
    tree = read_tree(data, file="a.yaml")
    assert without_marks(tree) == held
    assert isinstance(tree.get("a"), Scalar)
