"""Turn the events of a YAML parser into a marked tree, and find every fault of the content on the way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

import yaml

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.model.mark import Mark
from loomwright.robotfile.marked.pitfalls import (
    Piece,
    bracket_rest,
    comma_in_list_fault,
    empty_item_fault,
    empty_value_fault,
    key_fault,
    lone_key_fault,
    value_faults,
)
from loomwright.robotfile.marked.source_text import SourceText
from loomwright.robotfile.marked.tree import Entry, Mapping, Node, Scalar, Sequence
from loomwright.wording import quoted

if TYPE_CHECKING:
    from yaml._yaml import Mark as FastMark
    from yaml.error import Mark as PlainMark

    YamlMark = FastMark | PlainMark

DEEPEST = 64
MOST_VALUES = 50_000


class _Built(NamedTuple):
    """A node with how many values it holds, aliases counted out in full, and how deep it goes."""

    node: Node
    values: int
    depth: int


class _Spot(NamedTuple):
    """Where in the tree a node stands: its path, its level, and what surrounds it."""

    thing: str
    depth: int
    in_brackets: bool = False
    below_key: bool = False


@dataclass(slots=True)
class TreeBuilder:
    """Turns the parser's events into nodes, for one document."""

    source: SourceText
    events: Iterator[yaml.Event]
    faults: list[Finding] = field(default_factory=list)
    anchors: dict[str, _Built | None] = field(default_factory=dict)
    values: int = 0

    def document(self) -> Node | None:
        """Build the one document of the file; None, with a fault, where there is none."""
        next(self.events)  # the start of the stream
        if isinstance(next(self.events), yaml.StreamEndEvent):
            self._refuse_empty()
            return None
        event = next(self.events)
        node = self._node(event, _Spot("", 1)).node
        next(self.events)  # the end of the document
        if isinstance(again := next(self.events), yaml.DocumentStartEvent):
            self._add(
                "several-documents",
                again,
                "A second document starts here, and one file holds one.",
                "Take the `---` line out, or put the rest into a file of its own.",
            )
        if node == Scalar("", self._mark(event)):
            self._refuse_empty()
        elif not isinstance(node, Mapping):
            self._refuse_top(event, node)
        return node

    def _refuse_empty(self) -> None:
        self.faults.append(
            Finding(
                "empty-file",
                Severity.MUST,
                Place(self.source.file, 1, 1),
                "There is nothing in this file but space and comments.",
                "Write at least one `key: value` line, such as `robot: NAME`.",
            )
        )

    def _refuse_top(self, event: yaml.Event, node: Node) -> None:
        if any(fault.code in {"missing-space", "look-alike-character"} for fault in self.faults):
            return
        self._add(
            "not-a-mapping",
            event,
            f"The file starts with {'a list' if isinstance(node, Sequence) else 'a lone value'}, and keys belong here.",
            "Start each line with a key, a colon and a space, such as `robot: NAME`.",
        )

    def _node(self, event: yaml.Event, spot: _Spot) -> _Built:
        """Build the node that starts with this event."""
        if isinstance(event, yaml.AliasEvent):
            return self._alias(event, spot)
        assert isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent)  # noqa: S101  what a parser may send here
        self._count(event, values=1, depth=spot.depth)
        self._refuse_tag(event, spot.thing)
        anchor = event.anchor
        if anchor in self.anchors:
            self._add("anchor-twice", event, f"`&{anchor}` is used twice.", "Give each a name of its own.", spot.thing)
        if anchor:
            self.anchors[anchor] = None
        if isinstance(event, yaml.MappingStartEvent):
            built = self._mapping(event, spot)
        elif isinstance(event, yaml.ScalarEvent):
            built = self._scalar(event, spot)
        else:
            built = self._sequence(event, spot)
        if anchor:
            self.anchors[anchor] = built
        return built

    def _alias(self, event: yaml.AliasEvent, spot: _Spot) -> _Built:
        name = event.anchor
        if built := self.anchors.get(name or ""):
            self._count(event, values=built.values, depth=spot.depth + built.depth - 1)
            return built
        if name in self.anchors:
            self._add("alias-loop", event, f"`*{name}` stands inside the value it names.", "Write it out.", spot.thing)
        else:
            self._add(
                "unknown-alias",
                event,
                f"`*` in front of a value stands for a value named with `&`, and there is no `&{name}` above.",
                f'Write the value out, or put it in quotes: `"*{name}"`.',
                spot.thing,
            )
        return _Built(Scalar("", self._mark(event)), 1, 1)

    def _scalar(self, event: yaml.ScalarEvent, spot: _Spot) -> _Built:
        piece = self._piece(event, spot.thing, in_brackets=spot.in_brackets)
        if spot.depth == 1 and piece.plain and not piece.empty:
            spot = spot._replace(below_key=True)
        if not piece.empty:
            self.faults.extend(value_faults(piece, below_key=spot.below_key))
        return _Built(Scalar(event.value, self._mark(event), not piece.plain), 1, 1)

    def _sequence(self, event: yaml.CollectionStartEvent, spot: _Spot) -> _Built:
        in_brackets = bool(event.flow_style)
        items: list[_Built] = []
        previous: Piece | None = None
        while not isinstance(child := next(self.events), yaml.SequenceEndEvent):
            inner = _Spot(f"{spot.thing}[{len(items) + 1}]", spot.depth + 1, in_brackets)
            piece = self._value_piece(child, inner)
            if piece and piece.empty:
                self.faults.append(empty_item_fault(piece))
            elif piece and previous and (fault := comma_in_list_fault(previous, piece)):
                self.faults.append(fault)
            items.append(self._node(child, inner))
            previous = piece
        return _gathered(Sequence(tuple(item.node for item in items), self._mark(event)), items)

    def _mapping(self, event: yaml.MappingStartEvent, spot: _Spot) -> _Built:
        in_brackets = bool(event.flow_style)
        entries: dict[str, Entry] = {}
        parts: list[_Built] = []
        last_key, last, cut = "", None, False
        while not isinstance(key_event := next(self.events), yaml.MappingEndEvent):
            key = self._key(key_event, spot, in_brackets=in_brackets)
            name = key.text if key else "?"
            child = next(self.events)
            inner = _Spot(_joined(spot.thing, name), spot.depth + 1, in_brackets, self._starts_below(child, key_event))
            piece = self._value_piece(child, inner)
            if cut and key and piece and piece.empty:
                last, cut = None, ")" not in name  # the rest of a value that a comma cut was told of already
                continue
            parts.append(self._node(child, inner))
            if key is None:
                continue
            if fault := key_fault(key) or _no_value(key, piece, last_key, last, thing=inner.thing):
                self.faults.append(fault)
            elif first := entries.get(name):
                self._add(
                    "duplicate-key",
                    key_event,
                    f"{quoted(name)} is written twice here; the first is in line {first.key_mark.line}.",
                    "Keep one of the two, or give one another name.",
                    inner.thing,
                )
            else:
                entries[name] = Entry(name, self._mark(key_event), parts[-1].node)
            last_key, last = name, piece
            cut = piece is not None and bracket_rest(piece) is not None
        return _gathered(Mapping(tuple(entries.values()), self._mark(event)), parts)

    def _key(self, event: yaml.Event, spot: _Spot, *, in_brackets: bool) -> Piece | None:
        """Give a key as it stands; None, with a fault, where it is no plain text."""
        if not isinstance(event, yaml.ScalarEvent):
            told = len(self.faults)
            self._node(event, spot._replace(depth=spot.depth + 1))
            del self.faults[told:]
            self._add(
                "complex-key",
                event,
                "A list, a mapping or an alias stands where a name belongs.",
                "Write the name as plain text; one pair of `{...}` or `[...]` is enough for a value.",
                spot.thing,
            )
            return None
        self._count(event, values=1, depth=spot.depth)
        self._refuse_tag(event, spot.thing)
        if event.anchor:
            self.anchors[event.anchor] = _Built(Scalar(event.value, self._mark(event)), 1, 1)
        return self._piece(event, _joined(spot.thing, event.value), in_brackets=in_brackets)

    def _refuse_tag(self, event: yaml.NodeEvent, thing: str) -> None:
        tag = event.tag if isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent) else None
        if tag is None:
            return
        index = _start(event).index
        written = self.source.text[index : self.source.rest_end(index)].split(" ", maxsplit=1)[0]
        self._add(
            "tag",
            event,
            f"{quoted(written)} is a YAML tag, and tags are not read: they could start programs.",
            "Take it out; a text that starts with `!` goes in quotes.",
            thing,
        )

    def _count(self, event: yaml.Event, *, values: int, depth: int) -> None:
        """Keep the limits; raise UnreadableInputError where one is passed."""
        self.values += values
        if self.values > MOST_VALUES:
            self._stop(
                "too-many-values",
                event,
                f"Up to here this file holds more than {MOST_VALUES} values, each `*alias` counted in full.",
                "Take repeated parts out; a description of one robot has a few thousand.",
            )
        if depth > DEEPEST:
            self._stop(
                "nesting-too-deep",
                event,
                f"This value lies more than {DEEPEST} levels deep.",
                "Look for brackets or indentation that were repeated by mistake.",
            )

    def _stop(self, code: str, event: yaml.Event, what: str, fix: str) -> None:
        raise UnreadableInputError([self.source.fault(code, _start(event).index, what, fix)])

    def _add(self, code: str, event: yaml.Event, what: str, fix: str, thing: str = "") -> None:
        self.faults.append(self.source.fault(code, _start(event).index, what, fix, thing=thing))

    def _mark(self, event: yaml.Event) -> Mark:
        return Mark(self.source.file, _start(event).line + 1, _start(event).column + 1)

    def _piece(self, event: yaml.ScalarEvent, thing: str, *, in_brackets: bool) -> Piece:
        start, end = _start(event).index, _end(event).index
        return Piece(self.source, start, end, event.value, event.style or "", in_brackets, thing)

    def _value_piece(self, event: yaml.Event, spot: _Spot) -> Piece | None:
        if isinstance(event, yaml.ScalarEvent):
            return self._piece(event, spot.thing, in_brackets=spot.in_brackets)
        return None

    @staticmethod
    def _starts_below(event: yaml.Event, key_event: yaml.Event) -> bool:
        return _start(event).line > _end(key_event).line


def _start(event: yaml.Event) -> YamlMark:
    assert event.start_mark is not None  # noqa: S101  every event of a parser has its marks
    return event.start_mark


def _end(event: yaml.Event) -> YamlMark:
    assert event.end_mark is not None  # noqa: S101  every event of a parser has its marks
    return event.end_mark


def _no_value(key: Piece, value: Piece | None, last_key: str, last: Piece | None, *, thing: str) -> Finding | None:
    if value is None or not value.empty:
        return None
    if key.in_brackets and not key.behind.lstrip().startswith(":"):
        return lone_key_fault(key, last_key, last)
    return empty_value_fault(key, thing=thing)


def _gathered(node: Node, parts: list[_Built]) -> _Built:
    return _Built(
        node,
        1 + sum(part.values for part in parts),
        1 + max((part.depth for part in parts), default=0),
    )


def _joined(thing: str, key: str) -> str:
    visible = key if key.isprintable() else quoted(key).strip("`")
    return f"{thing}.{visible}" if thing else visible
