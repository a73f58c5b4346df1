"""Defaults for every motor, and builds as overlays: both are laid over the tree before it is read."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from loomwright.robotfile.overlay import entry_at, merge, with_value_at, without_at
from loomwright.robotfile.tree import Entry, Mapping, Scalar, Sequence
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.mark import Mark
    from loomwright.robotfile.leaves import Faults
    from loomwright.robotfile.tree import Node

Keys = tuple[str, ...]
_SINGLE = ("battery", "main breaker")
_MAPS = ("blocks", "electronics", "pneumatics", "lights", "sensors")
_ADDABLE = (*_MAPS, "mechanisms", "data")
_MOTOR_KEYS = ("motor", "controller")
_SHARED = "every motor"


def build_names(tree: Mapping) -> tuple[str, ...]:
    """Return the names of the builds in the file."""
    builds = tree.get("builds")
    return builds.keys() if isinstance(builds, Mapping) else ()


def apply_defaults(tree: Mapping) -> Mapping:
    """Lay `every motor` under each motor; what a motor says itself wins, mapping by mapping."""
    shared = tree.get(_SHARED)
    if not isinstance(shared, Mapping):
        return tree
    for keys in list(_motors(tree)):
        motor = entry_at(tree, keys).value
        if isinstance(motor, Mapping):
            tree = with_value_at(tree, keys, merge(shared, motor, origin=_SHARED))
    return tree


def apply_build(tree: Mapping, build: str, faults: Faults) -> Mapping:
    """Return the tree as this build has it: without, then change, then add."""
    builds = tree.get("builds")
    chosen = builds.get(build) if build and isinstance(builds, Mapping) else None
    if not isinstance(chosen, Mapping):
        return tree
    origin = f"build {build}"
    for name in _names(chosen.get("without")):
        tree = _without(tree, name, faults, origin)
    changes = chosen.get("change")
    for entry in changes.items if isinstance(changes, Mapping) else ():
        keys = _find(tree, entry.key, faults, entry.key_mark, f"builds.{build}.change.{entry.key}")
        if keys and isinstance(entry.value, Mapping):
            tree = with_value_at(tree, keys, _over(entry_at(tree, keys).value, entry.value, origin))
    added = chosen.get("add")
    if isinstance(added, Mapping):
        groups = tuple(e for e in added.items if e.key in _ADDABLE)
        for e in added.items:
            if e.key not in _ADDABLE:
                faults.add(
                    "unknown-key", None, f"A build can't add {quoted(e.key)}.", f"It can add to {listed(_ADDABLE)}.",
                    mark=e.key_mark, path=f"builds.{build}.add.{e.key}",
                )  # fmt: skip
        tree = merge(tree, replace(added, items=groups), over_origin=origin)
    return tree


def _over(node: Node, over: Mapping, origin: str) -> Node:
    return merge(node, over, over_origin=origin) if isinstance(node, Mapping) else over


def _motors(tree: Mapping) -> Iterator[Keys]:
    """Give the path of every motor: under `motors`, or a mechanism that carries the motor's own fields."""
    mechanisms = tree.get("mechanisms")
    if isinstance(mechanisms, Mapping):
        for entry in mechanisms.items:
            yield from _motors_in(entry.value, ("mechanisms", entry.key))


def _motors_in(node: Node, keys: Keys) -> Iterator[Keys]:
    if not isinstance(node, Mapping):
        return
    if any(node.entry(key) for key in _MOTOR_KEYS):
        yield keys
    for group in ("motors", "parts"):
        inner = node.get(group)
        if isinstance(inner, Mapping):
            for entry in inner.items:
                path = (*keys, group, entry.key)
                yield from [path] if group == "motors" else _motors_in(entry.value, path)


def _things(tree: Mapping) -> Iterator[Keys]:
    """Give the path of everything that has an id: things, motors, mechanisms and their parts."""
    yield from ((key,) for key in _SINGLE if tree.entry(key))
    for group in _MAPS:
        inner = tree.get(group)
        if isinstance(inner, Mapping):
            yield from ((group, key) for key in inner.keys())  # noqa: SIM118  a Mapping of ours is no dict
    seen: dict[Keys, None] = {}
    for keys in _motors(tree):
        # A motor's path passes through its mechanism and that mechanism's parts, which have ids too.
        for cut in range(2, len(keys) + 1, 2):
            seen.setdefault(keys[:cut])
    yield from seen


def _find(tree: Mapping, name: str, faults: Faults, mark: Mark, path: str) -> Keys | None:
    known = {keys[-1]: keys for keys in _things(tree)}
    if name in known:
        return known[name]
    close = nearest(name, known)
    hint = f"Did you mean {listed([f'`{word}`' for word in close])}?" if close else "Check the spelling of the id."
    faults.add("unknown-id", None, f"Nothing on this robot is called {quoted(name)}.", hint, mark=mark, path=path)
    return None


def _names(node: Node | None) -> list[Scalar]:
    if isinstance(node, Scalar):
        return [node]
    return [item for item in node.items if isinstance(item, Scalar)] if isinstance(node, Sequence) else []


def _without(tree: Mapping, name: Scalar, faults: Faults, origin: str) -> Mapping:
    keys = _find(tree, name.text, faults, name.mark, f"builds.{origin.removeprefix('build ')}.without")
    if keys is None:
        return tree
    gone = {name.text} | {path[-1] for path in _things(tree) if path[: len(keys)] == keys}
    tree = without_at(tree, keys)
    # Chains and networks close up over what a build leaves out.
    data = tree.get("data")
    if not isinstance(data, Mapping):
        return tree
    pruned = replace(data, items=tuple(replace(e, value=_pruned(e.value, gone)) for e in data.items))
    return with_value_at(tree, ("data",), pruned)


def _pruned(node: Node, gone: set[str]) -> Node:
    if isinstance(node, Mapping):
        items = tuple(e if e.key == "links" else replace(e, value=_pruned(e.value, gone)) for e in node.items)
        return replace(node, items=tuple(_pruned_links(e, gone) if e.key == "links" else e for e in items))
    if isinstance(node, Sequence):
        kept = (i for i in node.items if not (isinstance(i, Scalar) and i.text in gone))
        return replace(node, items=tuple(_pruned(item, gone) for item in kept))
    return node


def _pruned_links(entry: Entry, gone: set[str]) -> Entry:
    if not isinstance(entry.value, Sequence):
        return entry
    kept = tuple(
        link
        for link in entry.value.items
        if not (isinstance(link, Sequence) and any(isinstance(i, Scalar) and i.text in gone for i in link.items))
    )
    return replace(entry, value=replace(entry.value, items=kept))
