"""The marked tree as plain containers that pydantic can walk, each still knowing where it stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Protocol, TypeAlias

from loomwright.findings import Finding, Place, Severity
from loomwright.robotfile.marked.tree import Entry, Mapping, Scalar, Sequence

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from loomwright.model.mark import Mark
    from loomwright.robotfile.marked.tree import Node


@dataclass(frozen=True, slots=True)
class Leaf:
    """One scalar: its raw text, its place, and the path of keys that leads to it."""

    text: str
    mark: Mark
    path: str
    quoted: bool = False


class Branch(dict[str, Any]):
    """A mapping with its place and path; values are leaves, branches and rows.

    `head` is where its own name stands, which is another place than its first entry.
    """

    def __init__(
        self,
        items: Iterable[tuple[str, Any]],
        *,
        mark: Mark,
        path: str,
        key_marks: dict[str, Mark],
        head: Mark | None = None,
    ) -> None:
        super().__init__(items)
        self.mark = mark
        self.path = path
        self.key_marks = key_marks
        self.head = head or mark


class Row(list[Any]):
    """A sequence with its place and path."""

    def __init__(self, items: Iterable[Any], *, mark: Mark, path: str) -> None:
        super().__init__(items)
        self.mark = mark
        self.path = path


class Spot(Protocol):
    """Anything of the tree that knows where it stands."""

    @property
    def mark(self) -> Mark: ...  # noqa: D102
    @property
    def path(self) -> str: ...  # noqa: D102


Raw: TypeAlias = Leaf | Branch | Row
_INHERITED = " (from "


def plain(node: Node, path: str = "", head: Mark | None = None) -> Raw:
    """Turn a marked tree into leaves, branches and rows."""
    if isinstance(node, Scalar):
        return Leaf(node.text, node.mark, path, node.quoted)
    if isinstance(node, Sequence):
        return Row((plain(item, f"{path}[{i}]") for i, item in enumerate(node.items, 1)), mark=node.mark, path=path)
    assert isinstance(node, Mapping)  # noqa: S101  narrows the last kind of node
    items = [(entry.key, plain(entry.value, _path_to(entry, path), entry.key_mark)) for entry in node.items]
    marks = {entry.key: entry.key_mark for entry in node.items}
    return Branch(items, mark=node.mark, path=path, key_marks=marks, head=head)


def inherited(raw: Raw) -> bool:
    """Tell whether a value came from a default or a build, and was not written in its place."""
    return _INHERITED in raw.path


def as_written(raw: Raw) -> str:
    """Write a value on one line, as somebody could type it."""
    if isinstance(raw, Leaf):
        return raw.text
    if isinstance(raw, Row):
        return f"[{', '.join(as_written(item) for item in raw)}]"
    return f"{{{', '.join(f'{key}: {as_written(value)}' for key, value in raw.items())}}}"


def leaves(raw: Raw) -> Iterator[Leaf]:
    """Give every scalar below a value, in the order written."""
    if isinstance(raw, Leaf):
        yield raw
        return
    for item in raw.values() if isinstance(raw, Branch) else raw:
        yield from leaves(item)


def _path_to(entry: Entry, path: str) -> str:
    """Join the path, telling once, at its end, where a value came from that was not written here."""
    origin = f"{_INHERITED}{entry.origin})" if entry.origin else ""
    above = path.removesuffix(origin)
    return f"{above}.{entry.key}{origin}" if above else f"{entry.key}{origin}"


@dataclass(slots=True)
class Faults:
    """Collects every fault of one reading, so that all are told at once."""

    found: list[Finding] = field(default_factory=list)

    def add(
        self, code: str, spot: Spot | None, what: str, fix: str, *, mark: Mark | None = None, path: str = ""
    ) -> None:
        """Note one fault at a spot of the tree, or at a mark of its own."""
        where = mark or (spot.mark if spot is not None else None)
        thing = path or (spot.path if spot is not None else "")
        place = Place(where.file, where.line, where.column, thing) if where else Place(thing=thing)
        self.found.append(Finding(code, Severity.MUST, place, what, fix))

    def in_order(self) -> list[Finding]:
        """Return the faults in the order of the file; a slip that many things inherit is told once, where it stands."""
        told: dict[tuple[object, ...], Finding] = {}
        for fault in self.found:
            spot = (fault.place.file, fault.place.line, fault.place.column)
            told.setdefault((*spot, fault.code, fault.what, fault.fix) if fault.place.line else (fault,), fault)
        return sorted(told.values(), key=lambda f: (f.place.file, f.place.line, f.place.column, f.code))
