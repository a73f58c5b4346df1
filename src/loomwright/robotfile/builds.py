"""Builds as overlays and defaults for every motor: both are laid over the tree before it is read."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from loomwright.robotfile.overlay import entry_at, merge, with_value_at, without_at
from loomwright.robotfile.tree import Entry, Mapping, Scalar, Sequence
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.robotfile.leaves import Faults
    from loomwright.robotfile.tree import Node

Keys = tuple[str, ...]
SHARED = "every motor"
_SINGLE = ("battery", "main breaker")
_MAPS = ("blocks", "electronics", "pneumatics", "lights", "sensors")
_ADDABLE = (*_MAPS, "mechanisms", "data")
_WHOLE = (SHARED, "wires", "plate")
_MOTOR_KEYS = ("motor", "controller")
_GROUP_KEYS = ("does", "motors", "parts")
_NAME = re.compile(r"[^\W_](?:[\w -]*[^\W_])?")
# What some computers keep for themselves.
_DEVICE = re.compile(r"con|prn|aux|nul|com\d|lpt\d", re.IGNORECASE)
_LONGEST_NAME = 40


@dataclass(frozen=True, slots=True)
class Built:
    """The tree as a build has it, and the ids that the build leaves out."""

    tree: Mapping
    gone: tuple[str, ...] = ()


def build_names(tree: Mapping, faults: Faults) -> tuple[str, ...]:
    """Return the names of the builds in the file; names that can't be a file's are faults."""
    builds = tree.get("builds")
    if not isinstance(builds, Mapping):
        return ()
    seen: dict[str, str] = {}
    for entry in builds.items:
        twin = seen.setdefault(entry.key.casefold(), entry.key)
        what, fix = "", f"Use up to {_LONGEST_NAME} letters, digits, spaces and hyphens, such as `practice`."
        if len(entry.key) > _LONGEST_NAME or not _NAME.fullmatch(entry.key) or _DEVICE.fullmatch(entry.key):
            what = f"{quoted(entry.key)} can't be the name of a build, because files are called after it."
        elif twin != entry.key:
            what = f"The builds {quoted(twin)} and {quoted(entry.key)} would share their files on some computers."
            fix = "Give one of them another name."
        if what:
            faults.add("bad-build-name", None, what, fix, mark=entry.key_mark, path="builds")
    return builds.keys()


def apply_defaults(tree: Mapping) -> Mapping:
    """Lay `every motor` under each motor; what a motor says itself wins, mapping by mapping."""
    shared = tree.get(SHARED)
    if not isinstance(shared, Mapping):
        return tree
    mechanisms = tree.entry("mechanisms")
    if mechanisms is None or not isinstance(mechanisms.value, Mapping):
        return tree
    items = tuple(replace(e, value=_with_defaults(e.value, shared)) for e in mechanisms.value.items)
    return with_value_at(tree, ("mechanisms",), replace(mechanisms.value, items=items))


def _with_defaults(node: Node, shared: Mapping) -> Node:
    """Lay the defaults under a mechanism that is a motor itself, and under the motors inside."""
    if not isinstance(node, Mapping):
        return node
    items: list[Entry] = []
    for entry in node.items:
        value = entry.value
        if entry.key in ("motors", "parts") and isinstance(value, Mapping):
            inner = (replace(e, value=_below(entry.key, e.value, shared)) for e in value.items)
            items.append(replace(entry, value=replace(value, items=tuple(inner))))
        else:
            items.append(entry)
    node = replace(node, items=tuple(items))
    return merge(shared, node, origin=SHARED) if any(node.entry(key) for key in _MOTOR_KEYS) else node


def _below(group: str, node: Node, shared: Mapping) -> Node:
    if group == "parts":
        return _with_defaults(node, shared)
    return merge(shared, node, origin=SHARED) if isinstance(node, Mapping) else node


def apply_build(tree: Mapping, build: str, faults: Faults) -> Built:
    """Return the tree as this build has it: without, then change, then add."""
    builds = tree.get("builds")
    chosen = builds.get(build) if build and isinstance(builds, Mapping) else None
    if not isinstance(chosen, Mapping):
        return Built(tree)
    overlay = _Overlay(tree, build, faults)
    for name in _names(chosen.get("without")):
        overlay.leave_out(name)
    changes = chosen.get("change")
    for entry in changes.items if isinstance(changes, Mapping) else ():
        overlay.change(entry)
    added = chosen.get("add")
    if isinstance(added, Mapping):
        overlay.add(added)
    return Built(overlay.tree, tuple(overlay.gone))


@dataclass(slots=True)
class _Overlay:
    """A tree that one build is laid over, step by step."""

    tree: Mapping
    build: str
    faults: Faults
    gone: list[str] = field(default_factory=list)

    def leave_out(self, name: Scalar) -> None:
        """Take a thing out, whole mechanisms first; chains, networks and terminators close up over it."""
        text = " ".join(name.text.split())
        if text in self.gone:
            return
        found = self._find(text, name, "without", sorted(_things(self.tree), key=len))
        if not found:
            return
        before = _things(self.tree)
        self.tree = _without_empty(without_at(self.tree, found), found)
        after = {keys[-1] for keys in _things(self.tree)}
        self.gone += dict.fromkeys(keys[-1] for keys in before if keys[-1] not in after)
        data = self.tree.get("data")
        if isinstance(data, Mapping):
            self.tree = with_value_at(self.tree, ("data",), _closed_up(data, set(self.gone)))

    def change(self, entry: Entry) -> None:
        """Lay the facts that differ over a thing, a data line, or what holds for all."""
        over = entry.value
        if not isinstance(over, Mapping):
            return  # the form has told it
        whole = any(over.entry(key) for key in _GROUP_KEYS)
        paths = sorted(_things(self.tree), key=len, reverse=not whole)
        paths += [("data", name) for name in _keys(self.tree.get("data"))]
        if entry.key in _WHOLE:
            paths.append((entry.key,))
            self._open(entry)
        keys = self._find(entry.key, entry, "change", paths)
        if keys:
            below = entry_at(self.tree, keys).value
            origin = f"build {self.build}"
            laid = merge(_as_mapping(below, keys), over, over_origin=origin)
            self.tree = with_value_at(self.tree, keys, laid)

    def add(self, added: Mapping) -> None:
        """Join more things to their groups; what is there already is changed, not added."""
        known = {keys for keys in _things(self.tree) if _is_device(self.tree, keys)}
        for keys in _things(added):
            if keys in known and _is_device(added, keys):
                self.faults.add(
                    "id-used-twice", None, f"{quoted(keys[-1])} is on this robot already.",
                    "Write what differs under `change`, or give the new one another id.",
                    mark=entry_at(added, keys).key_mark, path=f"builds.{self.build}.add.{'.'.join(keys)}",
                )  # fmt: skip
        groups = tuple(entry for entry in added.items if entry.key in _ADDABLE)
        self.tree = merge(self.tree, replace(added, items=groups), over_origin=f"build {self.build}")

    def _open(self, entry: Entry) -> None:
        """Make room for a group that only the build has."""
        if self.tree.entry(entry.key) is None:
            empty = replace(entry, value=Mapping((), entry.value.mark))
            self.tree = replace(self.tree, items=(*self.tree.items, empty))

    def _find(self, name: str, at: Scalar | Entry, where: str, paths: list[Keys]) -> Keys | None:
        known: dict[str, Keys] = {}
        for keys in paths:
            known.setdefault(keys[-1], keys)
        if name in known:
            return known[name]
        close = nearest(name, known)
        hint = f"Did you mean {listed([f'`{word}`' for word in close])}?" if close else "Check the spelling of the id."
        self.faults.add(
            "unknown-id", None, f"Nothing on this robot is called {quoted(name)}.", hint,
            mark=at.mark if isinstance(at, Scalar) else at.key_mark, path=f"builds.{self.build}.{where}",
        )  # fmt: skip
        return None


def _as_mapping(node: Node, keys: Keys) -> Mapping:
    """Give what is changed as a mapping: a chain or a trunk may stand as a plain list."""
    if isinstance(node, Mapping):
        return node
    items = (Entry("order", node.mark, node),) if keys[0] == "data" and isinstance(node, Sequence) else ()
    return Mapping(items, node.mark)


def _things(tree: Mapping) -> list[Keys]:
    """Return the path of everything that has an id: things, mechanisms and their parts, motors."""
    found: list[Keys] = [(key,) for key in _SINGLE if tree.entry(key)]
    found += [(group, key) for group in _MAPS for key in _keys(tree.get(group))]
    for key in _keys(tree.get("mechanisms")):
        found += _in_mechanism(entry_at(tree, ("mechanisms", key)).value, ("mechanisms", key))
    return found


def _in_mechanism(node: Node, keys: Keys) -> Iterator[Keys]:
    yield keys
    if not isinstance(node, Mapping):
        return
    for group in ("motors", "parts"):
        inner = node.get(group)
        for entry in inner.items if isinstance(inner, Mapping) else ():
            path = (*keys, group, entry.key)
            yield from [path] if group == "motors" else _in_mechanism(entry.value, path)


def _is_device(tree: Mapping, keys: Keys) -> bool:
    """Tell whether an id means one device; a mechanism does where it carries its motor's own fields."""
    node = entry_at(tree, keys).value
    group = keys[0] == "mechanisms" and keys[-2] != "motors"
    return not group or (isinstance(node, Mapping) and any(node.entry(key) for key in _MOTOR_KEYS))


def _keys(node: Node | None) -> tuple[str, ...]:
    return node.keys() if isinstance(node, Mapping) else ()


def _names(node: Node | None) -> list[Scalar]:
    if isinstance(node, Scalar):
        return [node]
    return [item for item in node.items if isinstance(item, Scalar)] if isinstance(node, Sequence) else []


def _without_empty(tree: Mapping, gone: Keys) -> Mapping:
    """Take out the mechanism too whose last motor or part went."""
    while len(gone) > 2:  # noqa: PLR2004  the path of a whole mechanism
        group, gone = gone[:-1], gone[:-2]
        if _keys(entry_at(tree, group).value):
            return tree
        tree = without_at(tree, group)
        if set(_keys(entry_at(tree, gone).value)) & {*_MOTOR_KEYS, "motors", "parts"}:
            return tree
        tree = without_at(tree, gone)
    return tree


def _closed_up(node: Node, gone: set[str], *, cables: bool = False) -> Node:
    """Leave ids out of data lines: out of their lists, and every cable that ends at one; so emptied lists go too."""
    if isinstance(node, Mapping):
        closed = [(e, _closed_up(e.value, gone, cables=e.key == "links")) for e in node.items]
        return replace(node, items=tuple(replace(e, value=v) for e, v in closed if not _emptied(e.value, v)))
    if not isinstance(node, Sequence):
        return node
    closed_items = [(item, _closed_up(item, gone)) for item in node.items if not _is_one(item, gone)]
    kept = (after for item, after in closed_items if not (cables and item != after))
    return replace(node, items=tuple(kept))


def _emptied(before: Node, after: Node) -> bool:
    return isinstance(after, Sequence) and not after.items and before != after


def _is_one(node: Node, gone: set[str]) -> bool:
    return isinstance(node, Scalar) and " ".join(node.text.split()) in gone
