"""Whatever a file holds, it is read or refused with a place and a fix; nothing else ever comes out."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from loomwright.findings import UnreadableInputError
from loomwright.robotfile.marked import yaml_tree
from loomwright.robotfile.marked.yaml_tree import Mapping, read_tree

SIGNS = "ab1 \n:#-,[]{}()&*!|>'\"%@`~<\\?\t.\xa0"


def _read(data: bytes) -> Mapping | UnreadableInputError:
    try:
        return read_tree(data, file="robot.yaml")
    except UnreadableInputError as error:
        return error


def _is_told_well(error: UnreadableInputError, text: str) -> None:
    lines = text.splitlines() or [""]
    assert error.faults
    for fault in error.faults:
        assert fault.place.file == "robot.yaml"
        assert 1 <= fault.place.line <= len(lines) + 1
        assert fault.place.column >= 1
        assert fault.what.endswith((".", "`."))
        assert fault.fix.endswith(".")
        assert fault.what.isprintable()
        assert fault.fix.isprintable()
        assert fault.place.thing.isprintable()


@given(st.binary(max_size=200))
@example(b"a: \xc3")
@example(b"\xff\xfe")
def test_arbitrary_bytes_are_read_or_refused(data: bytes) -> None:
    assert isinstance(_read(data), Mapping | UnreadableInputError)


@given(st.text(max_size=200) | st.text(SIGNS, max_size=60))
def test_arbitrary_text_is_read_or_told_well(text: str) -> None:
    found = _read(text.encode())
    if isinstance(found, UnreadableInputError):
        _is_told_well(found, text)


LINES = st.lists(
    st.sampled_from(
        [
            "left front: {slot: H7, at: [60 mm, 4 mm]}",
            "  slot: H7 (guessed)",
            "lift:",
            "  motors:",
            "    a: {limit: {supply: 40 A}}",
            "- x",
            "note: 'it''s'",
            '"q": "w"',
            "# words",
            "chain: [a, b",
            "  c]",
        ]
    ).flatmap(lambda line: st.tuples(st.just(line), st.integers(0, len(line)), st.sampled_from(["", *SIGNS]))),
    max_size=8,
)


@given(LINES)
def test_a_robot_with_slips_is_read_or_told_well(lines: list[tuple[str, int, str]]) -> None:
    """One sign put in anywhere in each line: what a tired person types."""
    text = "\n".join(line[:at] + sign + line[at:] for line, at, sign in lines)
    found = _read(text.encode())
    if isinstance(found, UnreadableInputError):
        _is_told_well(found, text)


@given(st.text(SIGNS.replace("?", "").replace("\t", ""), max_size=40))
def test_both_parsers_read_the_same(text: str) -> None:
    """A file means the same on a machine without libyaml; only `?` and tabs are refused by one of them."""
    found = []
    with pytest.MonkeyPatch.context() as patch:
        for loader in (yaml.CSafeLoader, yaml.SafeLoader):
            patch.setattr(yaml_tree, "_LOADER", loader)
            found.append(_read(text.encode()))
    fast, slow = found
    if isinstance(fast, Mapping) or isinstance(slow, Mapping):
        assert fast == slow
