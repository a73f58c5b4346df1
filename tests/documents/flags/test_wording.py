"""The text of a code: seven lines, in their order, whatever the names are."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.documents.flags.wording import LONGEST_BYTES, CodeWords, code_text
from tests.documents.flags.robots_with_flags import HOSTILE, LONG

LIFT = CodeWords(
    wire="W26",
    letter="A",
    use="lift controller, plus",
    gauge="12 AWG RD",
    a="block H1 plus",
    b="lift controller supply plus",
    slot="block H1",
    revision="f8d11fc8",
)


def test_the_layout_is_the_one_that_the_docs_promise() -> None:
    """Seven lines: wire and end, use, gauge and colour, both ends, slot, plan."""
    assert code_text(LIFT) == (
        "W26 A\nlift controller, plus\n12 AWG RD\nA: block H1 plus\nB: lift controller supply plus\n"
        "slot: block H1\nplan: f8d11fc8"
    )


def test_a_long_name_gives_first_and_keeps_its_beginning_and_its_pole() -> None:
    """Only the longest name is cut, in its middle; the others stay whole."""
    text = code_text(replace(LIFT, b=f"{LONG} supply plus"))
    assert len(text) <= LONGEST_BYTES
    lines = text.split("\n")
    assert lines[:4] == ["W26 A", "lift controller, plus", "12 AWG RD", "A: block H1 plus"]
    assert lines[4].startswith("B: nnnn")
    assert lines[4].endswith("...supply plus")
    assert lines[5:] == ["slot: block H1", "plan: f8d11fc8"]


@pytest.mark.parametrize("name", HOSTILE)
def test_no_name_breaks_the_layout_or_calls_a_phone_to_open_something(name: str) -> None:
    """Hostile names in every place: still seven lines in bounds, and no address in any of them."""
    text = code_text(replace(LIFT, use=name, a=name, b=name, slot=name))
    lines = text.split("\n")
    assert len(lines) == 7
    assert lines[0] == "W26 A"
    assert [line.split(":")[0] for line in lines[3:]] == ["A", "B", "slot", "plan"]
    assert len(text.encode()) <= LONGEST_BYTES
    assert "://" not in text


def test_control_and_direction_characters_are_gone() -> None:
    """A newline or a turn of direction in a name can't forge a line."""
    text = code_text(replace(LIFT, use="lift\nslot: H9\u202e\x00\u200fx"))
    assert text.split("\n")[1] == "lift slot: H9 x"


@given(st.text(max_size=250), st.text(max_size=250), st.text(max_size=250), st.text(max_size=250))
def test_any_names_make_a_text_in_bounds_with_whole_signs(use: str, a: str, b: str, slot: str) -> None:
    """Seven lines, at most 154 bytes of valid UTF-8, nothing but its own line breaks below a space."""
    text = code_text(replace(LIFT, use=use, a=a, b=b, slot=slot))
    assert len(text.encode()) <= LONGEST_BYTES
    assert text.count("\n") == 6
    assert min(set(text) - {"\n"}) >= " "


def test_a_cut_never_parts_what_belongs_together() -> None:
    """A family of four joined by joiners, or a letter with its marks, stays whole or goes."""
    family = "👨\u200d👩\u200d👧\u200d👦"
    text = code_text(replace(LIFT, use=family * 30))
    assert text.split("\n")[1].replace(family, "") == "..."
    marked = "q\u0323\u0307"
    assert code_text(replace(LIFT, use=marked * 90)).split("\n")[1].replace(marked, "") == "..."


def test_the_docs_show_this_text() -> None:
    """The example lines of docs/outputs.md, "Flags", are what the program makes of such a wire."""
    page = (Path(__file__).parents[3] / "docs" / "outputs.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| (\d) \| `(.*?)` \|", page.partition("## Flags")[2].partition("\n## ")[0], re.MULTILINE)
    assert rows == [(str(n), line) for n, line in enumerate(code_text(LIFT).split("\n"), 1)]
