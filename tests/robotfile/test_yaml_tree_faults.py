"""Every slip that YAML tells cryptically, or not at all, is told in plain words and at its character."""

from __future__ import annotations

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.robotfile.marked.yaml_tree import read_tree
from tests.robotfile.fault_cases import fault_cases

# Where the slow parser refuses what the fast one lets through, the words differ a little.
SLOW_WORDS = {
    "left: {slot: 19?}\n": "robot.yaml:1:16  [question-mark] must\n"
    "  A question mark is no way to say doubt here.\n"
    "  Fix: Write the state in brackets, such as `19 (guessed)`, or write `unknown`.",
    "slot: H7\t(guessed)\n": "robot.yaml:1:9  [yaml-tab] must\n"
    "  There is a tab here, and YAML takes only spaces.\n"
    "  Fix: Replace the tab by a space.",
}


def _told(written: str) -> str:
    with pytest.raises(UnreadableInputError) as caught:
        read_tree(written.encode(), file="robot.yaml")
    return str(caught.value)


@pytest.mark.parametrize(("written", "told"), fault_cases("yaml_syntax_faults.txt"))
def test_the_first_fault_of_yaml_is_told_in_plain_words(written: str, told: str, parser: str) -> None:
    assert parser
    assert _told(written) == told


@pytest.mark.parametrize(("written", "told"), fault_cases("yaml_content_faults.txt"))
def test_what_yaml_accepts_and_nobody_meant_is_told(written: str, told: str, parser: str) -> None:
    assert _told(written) == (SLOW_WORDS.get(written, told) if parser == "slow" else told)


def test_braces_with_a_lone_key_and_colon_are_told_by_both_parsers(parser: str) -> None:
    """`{slot:}` is an error of YAML to one parser and an empty value to the other."""
    assert parser
    assert "[empty-value] must\n  `slot` has no value.\n" in _told("left: {slot:}\n")


def test_all_faults_of_the_content_are_told_at_once_in_order_of_place() -> None:
    told = _told("slot: #6\nslot: 7\nleft: {length: 1,5 m, note: H7 (guessed, mia)}\nlast:\n")
    heads = [line for line in told.splitlines() if not line.startswith(" ")]
    assert heads == [
        "robot.yaml:1:7  slot  [empty-value] must",
        "robot.yaml:3:16  left.length  [decimal-comma] must",
        "robot.yaml:3:29  left.note  [cut-bracket] must",
        "robot.yaml:4:1  last  [empty-value] must",
    ]


def test_a_fault_of_yaml_is_told_alone() -> None:
    """What stands before it may be wrong only because of it."""
    assert _told("slot: 1\nslot: 2\nnote: a: b\n").count("Fix:") == 1


@pytest.mark.parametrize("sign", ["\r\n", "\r", "\n"])
def test_line_and_column_hold_for_every_kind_of_line_end(sign: str) -> None:
    assert _told(sign.join(["# first", "a: 1", "b: {c: 1, c: 2}", ""])).startswith("robot.yaml:3:11  b.c  ")


def test_columns_count_characters_and_not_bytes() -> None:
    """The same column that an editor shows; a wide letter is one."""
    assert _told("é\U0001f600: {ü: 1, ü: 2}\n").startswith("robot.yaml:1:12  é\U0001f600.ü  ")


@pytest.mark.parametrize("char", "\xa0\xad\u2000\u2009\u200b\u200e\u202f\u2060\u3000\ufeff")
def test_every_character_that_looks_like_a_space_or_like_nothing_is_found(char: str) -> None:
    told = _told(f"left:\n  slot: H{char}7\n")
    assert told.startswith("robot.yaml:2:10  left.slot  [look-alike-character] must\n")
    assert f"U+{ord(char):04X}" in told


HARMLESS = [
    ("slot: H7  # guessed from a photo, ask Mia\n", "H7"),
    ("slot: H7  # front\n", "H7"),
    ("slot: H7 #front\n", "H7"),
    ("slot: H7 #3rd from the left\n", "H7"),
    ("slot: H7 # 3 of 4\n", "H7"),
    ("slot: H7 (guessed)\n", "H7 (guessed)"),
    ("note: see (below\n", "see (below"),
    ("note: why so?\n", "why so?"),
    ("note: see https://example.org/a:b\n", "see https://example.org/a:b"),
    ("note:\n  https://example.org/a\n", "https://example.org/a"),
    ("note: 'c#4: (a, b'\n", "c#4: (a, b"),
    ("note: (as it was, on Monday)\n", "(as it was, on Monday)"),
    ("note: can't say\n", "can't say"),
    ('length: 12"\n', '12"'),
    ("note: ''\n", ""),
    ("note: 'null'\n", "null"),
    ("note: |\n  first\n  second\n# guessed\n", "first\nsecond\n"),
    ("note: >\n  first\n  second\n", "first second\n"),
    ("? slot\n: H7\n", "H7"),
    ("%YAML 1.1\n---\nslot: H7\n...\n", "H7"),
]


@pytest.mark.parametrize(("written", "text"), HARMLESS)
def test_what_is_meant_is_not_refused(written: str, text: str, parser: str) -> None:
    assert parser
    [entry] = read_tree(written.encode(), file="robot.yaml").items
    assert getattr(entry.value, "text", None) == text


@pytest.mark.parametrize(
    "written",
    [
        "channels: [3,2]\n",
        "outline: [[0,0],[640 mm,0]]\n",
        "outline: [0, 720 mm]\n",
        "motors: # four of them\n  left: 1\n",
        "a: {}\nb: []\n",
        "labels: {3: lift, 9: lift}\n",
        'left: {"slot":1}\n',
        "left:\n- a\n- b\n",
        "at: [1.5,5 m]\n",
        "left:\n  note: |\n    words\n  # guessed\n  slot: 1\n",
        "left: {slot: H7 (guessed), port: 4 (traced)}\n",
    ],
)
def test_tight_but_clear_writing_is_not_refused(written: str, parser: str) -> None:
    assert parser
    assert read_tree(written.encode(), file="robot.yaml").items
