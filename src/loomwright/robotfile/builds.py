"""Builds as overlays and defaults for every motor: both are laid over the tree before it is read."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from loomwright.robotfile.marked.overlay import entry_at, merge, with_value_at
from loomwright.robotfile.marked.tree import Entry, Mapping, Scalar, Sequence
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.mark import Mark
    from loomwright.robotfile.forms.leaves import Faults
    from loomwright.robotfile.marked.tree import Node

Keys = tuple[str, ...]
SHARED = "every motor"
_SINGLE = ("battery", "main breaker")
_MAPS = ("blocks", "electronics", "pneumatics", "lights", "sensors")
_ADDABLE = (*_MAPS, "mechanisms", "data", "plates")
_WHOLE = (SHARED, "wires", "plate")
_MOTOR_KEYS = ("motor", "controller")
_HOLDERS = ("motors", "parts")
_GROUP_KEYS = ("does", *_HOLDERS)
#: Keys of a data line where one id alone stands for a list.
_ONE_OR_MORE = ("devices", "ends")
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
        if entry.key in _HOLDERS and isinstance(value, Mapping):
            inner = (replace(e, value=_below(entry.key, e.value, shared)) for e in value.items)
            items.append(replace(entry, value=replace(value, items=tuple(inner))))
        else:
            items.append(entry)
    node = replace(node, items=tuple(items))
    return merge(shared, node, origin=SHARED) if _is_a_motor(node, shared) else node


def _is_a_motor(node: Mapping, shared: Mapping) -> bool:
    """Tell whether a mechanism carries its motor's own fields: its class, or one that the defaults give."""
    if any(node.entry(key) for key in _MOTOR_KEYS):
        return True
    return shared.entry("motor") is not None and not any(node.entry(key) for key in _HOLDERS)


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
    overlay.leave_out(_names(chosen.get("without")))
    changes = chosen.get("change")
    if isinstance(changes, Mapping):
        overlay.change(changes.items)
    added = chosen.get("add")
    if isinstance(added, Mapping):
        overlay.add(added)
    return Built(overlay.tree, overlay.gone)


@dataclass(slots=True)
class _Overlay:
    """A tree that one build is laid over, step by step."""

    tree: Mapping
    build: str
    faults: Faults
    gone: tuple[str, ...] = ()

    def leave_out(self, names: list[Scalar]) -> None:
        """Take things out, whole mechanisms first; chains, networks and terminators close up over them."""
        before = [*_things(self.tree), *_plates(self.tree)]
        known = _by_name(sorted(before, key=len))
        edit = _Edit()
        for name in names:
            keys = self._find(" ".join(name.text.split()), name.mark, "without", known)
            if keys:
                edit.at(keys).gone = True
        self._edit(edit)
        after = {keys[-1] for keys in (*_things(self.tree), *_plates(self.tree))}
        self.gone = tuple(dict.fromkeys(keys[-1] for keys in before if keys[-1] not in after))
        data = self.tree.get("data")
        if isinstance(data, Mapping):
            self.tree = with_value_at(self.tree, ("data",), _closed_up(data, set(self.gone)))

    def change(self, changes: tuple[Entry, ...]) -> None:
        """Lay the facts that differ over things, data lines, plates, and what holds for all."""
        things = _things(self.tree)
        lines = [("data", name) for name in _keys(self.tree.get("data"))]
        others = [*lines, *_plates(self.tree), *((key,) for key in _WHOLE)]
        inner = _by_name([*sorted(things, key=len, reverse=True), *others])
        outer = _by_name([*sorted(things, key=len), *others])
        edit = _Edit()
        for entry in changes:
            if not isinstance(entry.value, Mapping):
                continue  # the form has told it
            known = outer if any(entry.value.entry(key) for key in _GROUP_KEYS) else inner
            keys = self._find(entry.key, entry.key_mark, "change", known)
            if keys:
                edit.at(keys).over = entry.value
                self._open(keys, entry)
        self._edit(edit)

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

    def _edit(self, edit: _Edit) -> None:
        tree = _edited(self.tree, edit, f"build {self.build}")
        assert isinstance(tree, Mapping)  # noqa: S101  the file as a whole is never left out
        self.tree = tree

    def _open(self, keys: Keys, entry: Entry) -> None:
        """Make room for what holds for all where only the build says it."""
        if len(keys) == 1 and self.tree.entry(keys[0]) is None:
            empty = replace(entry, value=Mapping((), entry.value.mark))
            self.tree = replace(self.tree, items=(*self.tree.items, empty))

    def _find(self, name: str, mark: Mark, where: str, known: dict[str, Keys]) -> Keys | None:
        if name in known:
            return known[name]
        close = nearest(name, known)
        hint = f"Did you mean {listed([f'`{word}`' for word in close])}?" if close else "Check the spelling of the id."
        what, path = f"Nothing on this robot is called {quoted(name)}.", f"builds.{self.build}.{where}"
        self.faults.add("unknown-id", None, what, hint, mark=mark, path=path)
        return None


def _by_name(paths: list[Keys]) -> dict[str, Keys]:
    """Return the first path of each name."""
    found: dict[str, Keys] = {}
    for keys in paths:
        found.setdefault(keys[-1], keys)
    return found


@dataclass(slots=True)
class _Edit:
    """What becomes of one place of the tree, and of the places below it by their keys."""

    gone: bool = False
    over: Mapping | None = None
    below: dict[str, _Edit] = field(default_factory=dict)

    def at(self, keys: Keys) -> _Edit:
        """Return the edit of a place further down; it is made where there is none yet."""
        edit = self
        for key in keys:
            edit = edit.below.setdefault(key, _Edit())
        return edit


def _edited(node: Node, edit: _Edit, origin: str, at: Keys = ()) -> Node | None:
    """Leave places out of a tree and lay mappings over others, in one walk.

    None stands for nothing: a place that is left out, or a mechanism that is left without a motor.
    """
    if edit.gone:
        return None
    if edit.over is not None:
        node = merge(_as_mapping(node, at), edit.over, over_origin=origin)
    if not edit.below or not isinstance(node, Mapping):
        return node
    items: list[Entry] = []
    for entry in node.items:
        below = edit.below.get(entry.key)
        value = entry.value if below is None else _edited(entry.value, below, origin, (*at, entry.key))
        if value is not None:
            items.append(entry if value is entry.value else replace(entry, value=value))
    left = [e for e in items if not (e.key in _HOLDERS and not _keys(e.value) and _keys(node.get(e.key)))]
    lost_its_motors = len(left) < len(items) and not any(e.key in (*_MOTOR_KEYS, *_HOLDERS) for e in left)
    return None if lost_its_motors else replace(node, items=tuple(left))


def _as_mapping(node: Node, keys: Keys) -> Mapping:
    """Give what is changed as a mapping: a chain or a trunk may stand as a plain list."""
    if isinstance(node, Mapping) and keys[0] in ("plate", "plates"):
        return _with_open_trunks(node)
    if isinstance(node, Mapping):
        return node
    items = (Entry("order", node.mark, node),) if keys[0] == "data" and isinstance(node, Sequence) else ()
    return Mapping(items, node.mark)


def _with_open_trunks(plate: Mapping) -> Mapping:
    trunks = plate.get("trunks")
    if not isinstance(trunks, Mapping):
        return plate
    items = [
        replace(e, value=Mapping((Entry("along", e.key_mark, e.value),), e.value.mark))
        if isinstance(e.value, Sequence) else e
        for e in trunks.items
    ]  # fmt: skip
    return with_value_at(plate, ("trunks",), replace(trunks, items=tuple(items)))


def _things(tree: Mapping) -> list[Keys]:
    """Return the path of everything that has an id: things, mechanisms and their parts, motors."""
    found: list[Keys] = [(key,) for key in _SINGLE if tree.entry(key)]
    found += [(group, key) for group in _MAPS for key in _keys(tree.get(group))]
    mechanisms = tree.get("mechanisms")
    for entry in mechanisms.items if isinstance(mechanisms, Mapping) else ():
        found += _in_mechanism(entry.value, ("mechanisms", entry.key))
    return found


def _plates(tree: Mapping) -> list[Keys]:
    """Return the path of every plate above the base plate."""
    return [("plates", name) for name in _keys(tree.get("plates"))]


def _in_mechanism(node: Node, keys: Keys) -> Iterator[Keys]:
    yield keys
    if not isinstance(node, Mapping):
        return
    for group in _HOLDERS:
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


def _closed_up(node: Node, gone: set[str], *, cables: bool = False) -> Node:
    """Leave ids out of data lines: out of their lists, and every cable that ends at one; so emptied lists go too."""
    if isinstance(node, Mapping):
        here = [e for e in node.items if not (e.key in _ONE_OR_MORE and _is_one(e.value, gone))]
        closed = [(e, _closed_up(e.value, gone, cables=e.key == "links")) for e in here]
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
