"""Lay one marked tree over another: defaults under what is written, a build over its design.

Nothing is changed in place and every value keeps its mark, so a fault found after an overlay still points
at the character that somebody typed. Entries that came from elsewhere say so in `Entry.origin`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TypeAlias

from loomwright.robotfile.marked.tree import Entry, Mapping, Node, Sequence

Path: TypeAlias = tuple[str, ...]

_FACT_KEYS = {"value", "claims", "any of"}


def merge(base: Mapping, over: Mapping, *, origin: str = "", over_origin: str = "") -> Mapping:
    """Join two mappings deeply; where both speak of the same thing, `over` wins.

    Mappings in both are joined in turn; text and lists replace. A fact in its long form (`value`, `claims`
    or `any of`) is one statement: it replaces whole and is replaced whole. The order is that of `base`,
    then what only `over` has. The side that comes from elsewhere gets a name: `origin` for a base of defaults
    ("every motor"), `over_origin` for an overlay ("build practice"). The other side is home, and joined
    mappings keep the marks of their home.
    """
    items: list[Entry] = []
    for below in base.items:
        above = over.entry(below.key)
        if above is None:
            items.append(_stamped_entry(below, origin))
        elif isinstance(below.value, Mapping) and isinstance(above.value, Mapping) and _joins(below.value, above.value):
            home = below if over_origin else above
            inner = merge(below.value, above.value, origin=origin, over_origin=over_origin)
            items.append(replace(home, value=inner))
        else:
            items.append(_stamped_entry(above, over_origin))
    items += [_stamped_entry(above, over_origin) for above in over.items if base.entry(above.key) is None]
    return Mapping(tuple(items), base.mark if over_origin else over.mark)


def without(mapping: Mapping, key: str) -> Mapping:
    """Leave one key out; raise KeyError where it is not there."""
    if mapping.entry(key) is None:
        raise KeyError(key)
    return replace(mapping, items=tuple(entry for entry in mapping.items if entry.key != key))


def with_entry(mapping: Mapping, entry: Entry) -> Mapping:
    """Put an entry in the place of the one with its key, or at the end."""
    if mapping.entry(entry.key) is None:
        return replace(mapping, items=(*mapping.items, entry))
    return replace(mapping, items=tuple(entry if old.key == entry.key else old for old in mapping.items))


def entry_at(tree: Mapping, path: Path) -> Entry:
    """Give the entry that a path of keys leads to; raise KeyError with the first key that is not there."""
    *steps, last = path
    for step in steps:
        found = tree.get(step)
        if not isinstance(found, Mapping):
            raise KeyError(step)
        tree = found
    entry = tree.entry(last)
    if entry is None:
        raise KeyError(last)
    return entry


def with_value_at(tree: Mapping, path: Path, value: Node, *, origin: str = "") -> Mapping:
    """Replace the value that a path of keys leads to; raise KeyError where the path ends early."""
    entry = entry_at(tree, path)
    return _rebuilt(tree, path[:-1], replace(entry, value=value, origin=origin or entry.origin))


def without_at(tree: Mapping, path: Path) -> Mapping:
    """Leave out what a path of keys leads to; raise KeyError where the path ends early."""
    *above, last = path
    if not above:
        return without(tree, last)
    parent = entry_at(tree, tuple(above))
    if not isinstance(parent.value, Mapping):
        raise KeyError(last)
    return with_value_at(tree, tuple(above), without(parent.value, last))


def walk(tree: Mapping, above: Path = ()) -> Iterator[tuple[Path, Entry]]:
    """Visit every entry with its path of keys, parents first; lists are not entered."""
    for entry in tree.items:
        path = (*above, entry.key)
        yield path, entry
        if isinstance(entry.value, Mapping):
            yield from walk(entry.value, path)


def stamped(node: Node, origin: str) -> Node:
    """Note an origin on every entry below a node that has none yet."""
    if not origin:
        return node
    if isinstance(node, Mapping):
        return replace(node, items=tuple(_stamped_entry(entry, origin) for entry in node.items))
    if isinstance(node, Sequence):
        return replace(node, items=tuple(stamped(item, origin) for item in node.items))
    return node


def _stamped_entry(entry: Entry, origin: str) -> Entry:
    if not origin:
        return entry
    return replace(entry, value=stamped(entry.value, origin), origin=entry.origin or origin)


def _joins(below: Mapping, above: Mapping) -> bool:
    """Tell whether two mappings are joined; a fact in its long form is not."""
    return not any(entry.key in _FACT_KEYS for side in (below, above) for entry in side.items)


def _rebuilt(tree: Mapping, above: Path, entry: Entry) -> Mapping:
    """Put an entry in its place and make every mapping above it anew."""
    if not above:
        return with_entry(tree, entry)
    parent = entry_at(tree, above)
    assert isinstance(parent.value, Mapping)  # noqa: S101  the path was walked just before
    return _rebuilt(tree, above[:-1], replace(parent, value=with_entry(parent.value, entry)))
