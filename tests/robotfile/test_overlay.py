"""Defaults lie under what is written, builds over their design, and every value keeps its place."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.model.mark import Mark
from loomwright.robotfile.marked.overlay import entry_at, merge, stamped, walk, with_value_at, without, without_at
from loomwright.robotfile.marked.tree import Entry, Mapping, Node, Scalar, Sequence
from loomwright.robotfile.marked.yaml_tree import read_tree, without_marks


def tree(text: str, file: str = "robot.yaml") -> Mapping:
    return read_tree(text.encode(), file=file)


def origins(mapping: Mapping) -> dict[str, str]:
    return {".".join(path): entry.origin for path, entry in walk(mapping)}


def test_a_default_fills_what_is_missing_and_keeps_the_other_side_of_a_limit() -> None:
    shared = tree("controller: inline\nlimit: {motor: 60 A}\n")
    motor = tree("limit: {supply: 40 A}\nslot: 3\n")
    assert without_marks(merge(shared, motor)) == {
        "controller": "inline",
        "limit": {"motor": "60 A", "supply": "40 A"},
        "slot": "3",
    }


def test_the_more_special_wins_and_text_and_lists_replace() -> None:
    base = tree("slot: 1\nat: [1 mm, 2 mm]\nlimit: {motor: 60 A}\nramp: 1 s\n")
    over = tree("slot: 2\nat: [3 mm, 4 mm]\nlimit: 40 A\nramp: {claims: [1 s, 2 s]}\n")
    assert without_marks(merge(base, over)) == without_marks(over)


@pytest.mark.parametrize("form", ["{value: H7, state: guessed}", "{claims: [1, 2]}", "{any of: [1, 2]}"])
def test_a_fact_in_its_long_form_is_one_statement(form: str) -> None:
    """Half of one statement joined to half of another would say what nobody said."""
    fact, other = tree(f"slot: {form}\n"), tree("slot: {value: 3, note: x}\n")
    assert merge(other, fact) == fact
    assert merge(fact, other) == other
    plain = tree("slot: {hold: 1}\n")
    assert without_marks(merge(plain, fact)) == without_marks(fact)
    assert without_marks(merge(fact, plain)) == without_marks(plain)


def test_a_value_from_a_default_points_at_the_default_and_says_so() -> None:
    shared = tree("limit: {motor: 60 A}\nramp: 1 s\n", "shared.yaml")
    motor = tree("limit: {supply: 40 A}\n", "motor.yaml")
    merged = merge(shared, motor, origin="every motor")
    assert origins(merged) == {
        "limit": "",
        "limit.motor": "every motor",
        "limit.supply": "",
        "ramp": "every motor",
    }
    assert merged.where("limit") == Mark("motor.yaml", 1, 1)
    assert entry_at(merged, ("limit", "motor")).value == Scalar("60 A", Mark("shared.yaml", 1, 16))
    assert merged.where("ramp") == Mark("shared.yaml", 2, 1)
    assert merged.where("slot") == motor.mark


def test_a_value_from_a_build_points_at_the_build_and_its_thing_stays_at_home() -> None:
    design = tree("id: 7\nlimit: {supply: 40 A}\n", "design.yaml")
    change = tree("id: 8\nlimit: {motor: 60 A}\nnote: x\n", "change.yaml")
    merged = merge(design, change, over_origin="build practice")
    assert origins(merged) == {
        "id": "build practice",
        "limit": "",
        "limit.supply": "",
        "limit.motor": "build practice",
        "note": "build practice",
    }
    assert merged.where("id") == Mark("change.yaml", 1, 1)
    assert merged.where("limit") == Mark("design.yaml", 2, 1)
    assert merged.where("slot") == design.mark
    assert merged.keys() == ("id", "limit", "note")


def test_an_origin_reaches_everything_inside_and_never_replaces_another() -> None:
    shared = tree("a: {b: {c: 1}}\nd: [{e: 2}]\n")
    once = merge(shared, tree("x: 1\n"), origin="every motor")
    twice = merge(once, tree("y: 1\n"), origin="build practice")
    assert origins(twice) == {
        "a": "every motor",
        "a.b": "every motor",
        "a.b.c": "every motor",
        "d": "every motor",
        "x": "build practice",
        "y": "",
    }
    inner = twice.get("d")
    assert isinstance(inner, Sequence)
    assert isinstance(inner.items[0], Mapping)
    assert origins(inner.items[0]) == {"e": "every motor"}
    assert stamped(shared, "") is shared


def test_one_key_can_be_left_out() -> None:
    design = tree("a: 1\nb: {c: 2, d: 3}\n")
    assert without(design, "a").keys() == ("b",)
    assert without_marks(without_at(design, ("b", "c"))) == {"a": "1", "b": {"d": "3"}}
    assert without_at(design, ("a",)) == without(design, "a")
    assert design.keys() == ("a", "b")


def test_one_value_can_be_replaced_where_a_path_leads() -> None:
    design = tree("a: {b: {c: 2}}\nd: 4\n")
    new = Scalar("9", Mark("new.yaml", 1, 1))
    changed = with_value_at(design, ("a", "b", "c"), new, origin="build practice")
    assert without_marks(changed) == {"a": {"b": {"c": "9"}}, "d": "4"}
    entry = entry_at(changed, ("a", "b", "c"))
    assert (entry.value, entry.origin) == (new, "build practice")
    assert entry.key_mark == entry_at(design, ("a", "b", "c")).key_mark
    assert entry_at(with_value_at(changed, ("a", "b", "c"), new), ("a", "b", "c")).origin == "build practice"


@pytest.mark.parametrize(
    ("path", "missing"), [(("x",), "x"), (("a", "x"), "x"), (("a", "b", "x"), "b"), (("x", "b"), "x")]
)
def test_a_path_that_leads_nowhere_names_the_key_that_is_missing(path: tuple[str, ...], missing: str) -> None:
    design = tree("a: {b: 1}\n")
    value = Scalar("9", Mark("new.yaml", 1, 1))
    calls: list[Callable[[], object]] = [
        lambda: entry_at(design, path),
        lambda: with_value_at(design, path, value),
        lambda: without_at(design, path),
    ]
    for call in calls:
        with pytest.raises(KeyError) as caught:
            call()
        assert caught.value.args[0] in {missing, path[-1]}


def test_a_walk_meets_every_entry_parents_first() -> None:
    assert [".".join(path) for path, _ in walk(tree("a: {b: {c: 1}, d: [{e: 1}]}\nf: 2\n"))] == [
        "a",
        "a.b",
        "a.b.c",
        "a.d",
        "f",
    ]


MARKS = st.builds(Mark, st.sampled_from(["one.yaml", "two.yaml"]), st.integers(1, 99), st.integers(1, 99))
SCALARS = st.builds(Scalar, st.sampled_from(["1", "2", "H7"]), MARKS)


def _mappings(inner: st.SearchStrategy[Node]) -> st.SearchStrategy[Mapping]:
    entries = st.lists(
        st.builds(Entry, st.sampled_from(["a", "b", "c", "limit"]), MARKS, inner), max_size=4, unique_by=lambda e: e.key
    )
    return st.builds(Mapping, entries.map(tuple), MARKS)


NODES: st.SearchStrategy[Node] = st.recursive(
    SCALARS,
    lambda inner: st.builds(Sequence, st.lists(inner, max_size=3).map(tuple), MARKS) | _mappings(inner),
    max_leaves=12,
)
TREES = _mappings(NODES)


def _leaves(node: Node) -> Iterator[Scalar]:
    if isinstance(node, Scalar):
        yield node
    else:
        for item in node.items:
            yield from _leaves(item.value if isinstance(item, Entry) else item)


@given(TREES)
def test_laying_nothing_under_or_over_a_tree_changes_nothing(one: Mapping) -> None:
    nothing = Mapping((), Mark("none.yaml", 1, 1))
    assert merge(nothing, one, origin="every motor") == one
    assert merge(one, nothing, over_origin="build practice") == one
    assert merge(one, one) == one


@given(TREES, TREES, TREES)
def test_three_layers_may_be_joined_from_either_end(one: Mapping, two: Mapping, three: Mapping) -> None:
    """Holds wherever the middle layer does not break a joint by putting text between two mappings."""
    left = merge(merge(one, two), three)
    right = merge(one, merge(two, three))
    texts = {path for path, entry in walk(two) if not isinstance(entry.value, Mapping)}
    if not any(path in texts for layer in (one, three) for path, _ in walk(layer)):
        assert without_marks(left) == without_marks(right)


@given(TREES, TREES)
def test_nothing_is_made_up_and_nothing_that_wins_is_lost(base: Mapping, over: Mapping) -> None:
    merged = merge(base, over, origin="every motor")
    leaves = list(_leaves(merged))
    assert set(leaves) <= set(_leaves(base)) | set(_leaves(over))
    assert [leaf for leaf in _leaves(over) if leaf not in leaves] == []
    assert set(merged.keys()) == set(base.keys()) | set(over.keys())


@given(TREES, TREES)
def test_only_what_came_from_the_base_says_so(base: Mapping, over: Mapping) -> None:
    own = {path for path, _ in walk(over)}
    for path, entry in walk(merge(base, over, origin="every motor")):
        assert (entry.origin == "every motor") == (path not in own)
