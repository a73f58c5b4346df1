"""The marked tree: raw text, lists and mappings that know where they were written."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from loomwright.model.mark import Mark


@dataclass(frozen=True, slots=True)
class Scalar:
    """One value as raw text: `on`, `010`, `12:30` and `1_0` stay what was typed.

    `quoted` tells that the text stood in quotes or in a `|` or `>` block, so nothing in it is a short form.
    """

    text: str
    mark: Mark
    quoted: bool = False


@dataclass(frozen=True, slots=True)
class Sequence:
    """A list of values."""

    items: tuple[Node, ...]
    mark: Mark


@dataclass(frozen=True, slots=True)
class Entry:
    """One key with its value; `origin` names the default or build that it came from, empty where it was written."""

    key: str
    key_mark: Mark
    value: Node
    origin: str = ""


@dataclass(frozen=True, slots=True)
class Mapping:
    """Keys and values in the order they were written; no key stands twice."""

    items: tuple[Entry, ...]
    mark: Mark

    def entry(self, key: str) -> Entry | None:
        """Give the entry with this key, None where there is none."""
        return next((entry for entry in self.items if entry.key == key), None)

    def get(self, key: str) -> Node | None:
        """Give the value of this key, None where there is none."""
        found = self.entry(key)
        return found.value if found else None

    def keys(self) -> tuple[str, ...]:
        """List the keys in the order they were written."""
        return tuple(entry.key for entry in self.items)

    def where(self, key: str) -> Mark:
        """Give the place of a key, or of the whole mapping where the key is missing."""
        found = self.entry(key)
        return found.key_mark if found else self.mark


Node: TypeAlias = Scalar | Sequence | Mapping


def without_marks(node: Node) -> str | list[object] | dict[str, object]:
    """Give the bare content: text, lists and dicts, for comparing and for writing."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [without_marks(item) for item in node.items]
    return {entry.key: without_marks(entry.value) for entry in node.items}
