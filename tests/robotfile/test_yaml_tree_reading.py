"""What was typed is what comes out, with the place it was typed at."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from loomwright.model.mark import Mark
from loomwright.robotfile.marked.yaml_tree import Entry, Mapping, Node, Scalar, Sequence, read_tree, without_marks

Data = str | list["Data"] | dict[str, "Data"]

ROBOT = """\
# a robot
robot: Tidepool
left front: {slot: H7, at: [60 mm, '4 mm']}
lift:
  motors:
    - a
    - b
"""


def test_a_file_becomes_a_tree_with_a_place_for_everything(parser: str) -> None:
    assert parser

    def at(line: int, column: int) -> Mark:
        return Mark("robot.yaml", line, column)

    assert read_tree(ROBOT.encode(), file="robot.yaml") == Mapping(
        (
            Entry("robot", at(2, 1), Scalar("Tidepool", at(2, 8))),
            Entry(
                "left front",
                at(3, 1),
                Mapping(
                    (
                        Entry("slot", at(3, 14), Scalar("H7", at(3, 20))),
                        Entry(
                            "at",
                            at(3, 24),
                            Sequence((Scalar("60 mm", at(3, 29)), Scalar("4 mm", at(3, 36), quoted=True)), at(3, 28)),
                        ),
                    ),
                    at(3, 13),
                ),
            ),
            Entry(
                "lift",
                at(4, 1),
                Mapping(
                    (Entry("motors", at(5, 3), Sequence((Scalar("a", at(6, 7)), Scalar("b", at(7, 7))), at(6, 5))),),
                    at(5, 3),
                ),
            ),
        ),
        at(2, 1),
    )


@pytest.mark.parametrize(
    "text",
    ["on", "off", "yes", "010", "0x1F", "12:30", "1_0", "1e3", "2024-05-01", "true", ".5", "=", "12 AWG", "1/4 in"],
)
def test_plain_text_keeps_its_meaning(text: str, parser: str) -> None:
    assert parser
    assert without_marks(read_tree(f"a: {text}\nb: [{text}]\n".encode(), file="r")) == {"a": text, "b": [text]}


@pytest.mark.parametrize("key", ["on", "010", "1_0", "2024-05-01", "true", "3"])
def test_a_key_keeps_its_meaning(key: str, parser: str) -> None:
    assert parser
    assert read_tree(f"{key}: 1\n".encode(), file="r").keys() == (key,)


def test_a_mark_of_the_byte_order_is_no_part_of_the_text(parser: str) -> None:
    assert parser
    assert read_tree(b"\xef\xbb\xbfrobot: x\n", file="r").where("robot") == Mark("r", 1, 1)


def test_an_alias_stands_for_the_value_and_keeps_the_place_of_the_value(parser: str) -> None:
    assert parser
    tree = read_tree(b"left: &drive {slot: 1}\nright: *drive\n", file="r")
    assert tree.get("right") == tree.get("left")
    assert tree.where("right") == Mark("r", 2, 1)
    assert without_marks(tree) == {"left": {"slot": "1"}, "right": {"slot": "1"}}


def test_a_mapping_gives_its_entries_by_key() -> None:
    tree = read_tree(b"b: 1\na: {c: 2}\n", file="r")
    assert tree.keys() == ("b", "a")
    assert tree.get("b") == Scalar("1", Mark("r", 1, 4))
    assert tree.get("c") is None
    assert tree.entry("c") is None
    assert tree.where("a") == Mark("r", 2, 1)
    assert tree.where("c") == tree.mark == Mark("r", 1, 1)


# Letters that YAML must quote or escape are welcome; the signs of doubt have their own tests.
TEXT = st.text(
    st.one_of(
        st.sampled_from("abz09 :#-,[]{}&*!|>'\"%@`~<=.\n\\/+_"),
        st.characters(categories=["L", "N", "S"], exclude_characters="?()"),
    ),
    max_size=20,
).filter(lambda text: text not in {"~", "null"})
KEYS = st.text(st.sampled_from("abcdefgh 0123456789-_."), min_size=1, max_size=12).filter(
    lambda key: key == key.strip()
)
NESTED: st.SearchStrategy[Data] = st.recursive(
    TEXT,
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(KEYS, inner, max_size=4)),
    max_leaves=25,
)


@given(
    st.dictionaries(KEYS, NESTED, min_size=1, max_size=5),
    st.sampled_from([None, True, False]),
    st.sampled_from([None, '"', "'"]),
    st.booleans(),
)
def test_what_is_written_as_yaml_reads_back(
    data: dict[str, Data],
    flow: bool | None,  # noqa: FBT001  hypothesis draws it
    style: str | None,
    unicode: bool,  # noqa: FBT001  hypothesis draws it
) -> None:
    text = yaml.safe_dump(
        data, default_flow_style=flow, default_style=style, allow_unicode=unicode, sort_keys=False, width=10_000
    )
    assert without_marks(read_tree(text.encode(), file="r")) == data


def _scalars(node: Node) -> Iterator[Scalar]:
    if isinstance(node, Scalar):
        yield node
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from _scalars(item)
    else:
        for entry in node.items:
            yield Scalar(entry.key, entry.key_mark)
            yield from _scalars(entry.value)


@given(
    st.dictionaries(KEYS, st.recursive(KEYS, lambda k: st.lists(k, max_size=3) | st.dictionaries(KEYS, k, max_size=3))),
    st.sampled_from([None, True, False]),
)
def test_every_mark_points_at_the_text_it_speaks_of(data: dict[str, Data], flow: bool | None) -> None:  # noqa: FBT001
    if not data:
        return
    text = yaml.safe_dump(data, default_flow_style=flow, width=10_000)
    lines = text.split("\n")
    for scalar in _scalars(read_tree(text.encode(), file="r")):
        assert lines[scalar.mark.line - 1][scalar.mark.column - 1 :].lstrip("'\"").startswith(scalar.text)
