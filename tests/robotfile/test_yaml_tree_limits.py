"""Files that no robot needs are refused quickly, whoever wrote them."""

from __future__ import annotations

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.robotfile.marked.yaml_tree import read_tree


def _told(data: bytes) -> str:
    with pytest.raises(UnreadableInputError) as caught:
        read_tree(data, file="robot.yaml")
    [fault] = caught.value.faults
    return fault.as_text()


def test_a_file_over_one_megabyte_is_refused() -> None:
    assert read_tree(b"a: 1\n" + b"# pad\n" * 166_665, file="r").keys() == ("a",)
    assert _told(b"a: 1\n" + b"#" * 1_000_000) == (
        "robot.yaml:1:1  [file-too-large] must\n"
        "  This file has 1.0 MB; more than 1 MB is not read.\n"
        "  Fix: Take out what is not part of the description, such as logs or pictures."
    )


def test_a_line_without_end_is_refused() -> None:
    assert read_tree(b"a: " + b"b" * 9_990 + b"\n", file="r").keys() == ("a",)
    assert _told(b"# first\na: " + b"b" * 9_998 + b"\n") == (
        "robot.yaml:2:1  [line-too-long] must\n"
        "  This line has 10002 characters; more than 10000 is not read.\n"
        "  Fix: Break the line: each entry can stand on a line of its own."
    )


NESTING = (
    "  This value lies more than 64 levels deep.\n"
    "  Fix: Look for brackets or indentation that were repeated by mistake."
)


def test_sixty_four_levels_are_read_and_one_more_is_not(parser: str) -> None:
    assert parser
    assert read_tree(b"a: " + b"[" * 63 + b"]" * 63, file="r").keys() == ("a",)
    assert _told(b"a: " + b"[" * 64 + b"]" * 64) == f"robot.yaml:1:67  [nesting-too-deep] must\n{NESTING}"
    assert _told(b"- " * 65 + b"a") == f"robot.yaml:1:129  [nesting-too-deep] must\n{NESTING}"


def test_depth_counts_through_aliases(parser: str) -> None:
    assert parser
    half = b"[" * 32 + b"1" + b"]" * 32
    inner = b"a: &a " + half + b"\nb: " + b"[" * 30
    assert read_tree(inner + b"*a" + b"]" * 30, file="r").keys() == ("a", "b")
    assert _told(inner + b"[*a]" + b"]" * 30) == f"robot.yaml:2:35  [nesting-too-deep] must\n{NESTING}"


@pytest.mark.parametrize("bracket", ["[", "{a: ", "- ", "? "])
def test_a_megabyte_of_nesting_is_refused(bracket: str) -> None:
    """The parser is asked no further than the level that is one too many."""
    line = bracket * (900 // len(bracket))
    data = ("a:\n " + "\n ".join([line] * (900_000 // len(line)))).encode()
    assert any(code in _told(data) for code in ("[nesting-too-deep]", "[yaml-open-bracket]"))


def test_a_bomb_of_aliases_is_refused_at_the_alias_that_is_too_much(parser: str) -> None:
    """Ten names of ten would be ten thousand million values; the count stops in the fifth line."""
    assert parser
    lines = [b"a0: &a0 [x,x,x,x,x,x,x,x,x,x]"]
    lines += [b"a%d: &a%d [%s]" % (n, n, b",".join([b"*a%d" % (n - 1)] * 10)) for n in range(1, 10)]
    assert _told(b"\n".join(lines)) == (
        "robot.yaml:5:22  [too-many-values] must\n"
        "  Up to here this file holds more than 50000 values, each `*alias` counted in full.\n"
        "  Fix: Take repeated parts out; a description of one robot has a few thousand."
    )


def test_fifty_thousand_values_are_read_and_one_more_is_not() -> None:
    """One for the file, one for each key, list and item, and the alias again in full."""
    data = b"a: &a [%s]\nb: *a\nc: [y]\n" % b",\n x".join([b"x"] * 24_996)
    assert read_tree(data, file="r").keys() == ("a", "b", "c")
    assert "[too-many-values]" in _told(data.replace(b"[y]", b"[y, y]"))


def test_many_small_values_are_refused() -> None:
    assert "[too-many-values]" in _told(b"a:\n" + b"- x\n" * 50_001)


def test_many_faults_are_all_told() -> None:
    with pytest.raises(UnreadableInputError) as caught:
        read_tree(b"a: 1\n" * 5_000, file="robot.yaml")
    assert len(caught.value.faults) == 4_999


EMPTY = (
    "robot.yaml:1:1  [empty-file] must\n"
    "  There is nothing in this file but space and comments.\n"
    "  Fix: Write at least one `key: value` line, such as `robot: NAME`."
)


@pytest.mark.parametrize("data", [b"", b"\n\n", b"# only words\n", b"---\n", b"---\n...\n", b"\xef\xbb\xbf"])
def test_a_file_without_content_says_so(data: bytes, parser: str) -> None:
    assert parser
    assert _told(data) == EMPTY


def test_a_byte_that_is_not_utf_8_is_pointed_at() -> None:
    assert _told("robot: x\nnote: 105 °C\n".encode("latin-1")) == (
        "robot.yaml:2:11  [not-utf-8] must\n"
        "  The byte 0xb0 here (byte 20 of the file) is not UTF-8.\n"
        "  Fix: Save the file again as UTF-8 (most editors: Save with encoding)."
    )
    assert "(byte 7 of the file)" in _told(b"\xef\xbb\xbfa: \xff")


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_a_file_in_utf_16_is_recognised(encoding: str) -> None:
    assert _told("robot: x\n".encode(encoding)) == (
        "robot.yaml:1:1  [not-utf-8] must\n"
        "  This file is saved as UTF-16, and UTF-8 is needed.\n"
        "  Fix: Save the file again as UTF-8 (most editors: Save with encoding)."
    )


def test_a_nul_byte_is_pointed_at() -> None:
    assert _told(b"a: 1\nb: \x00\n") == (
        "robot.yaml:2:4  [nul-byte] must\n"
        "  There is a NUL byte here, so this is no text file or a damaged one.\n"
        "  Fix: Take the file from the last good copy, or type this line again."
    )


@pytest.mark.parametrize(
    ("char", "name"),
    [
        ("\x07", "a control character"),
        ("\x1b", "a control character"),
        ("\x85", "a hidden line break"),
        ("\u2028", "a hidden line break"),
    ],
)
def test_a_character_that_no_editor_shows_is_pointed_at(char: str, name: str) -> None:
    assert _told(f"a: x{char}y\n".encode()) == (
        "robot.yaml:1:5  [control-character] must\n"
        f"  There is {name} here (U+{ord(char):04X}) that no editor shows.\n"
        "  Fix: Delete it, or type this line again."
    )
