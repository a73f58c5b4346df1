"""A draft as the text of a robot file: one fact a line, remarks as comments, and of each line where it comes from."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from loomwright.robotfile.lists.draft import Draft, Entry, Line, Told
from loomwright.robotfile.lists.headings import UNKNOWN
from loomwright.robotfile.marked.plain_yaml import scalar

if TYPE_CHECKING:
    from loomwright.robotfile.lists.headings import Said
    from loomwright.robotfile.lists.near_parts import NearParts

_SCHEMA: Final = "# yaml-language-server: $schema=robot.schema.json"
_STEP: Final = "  "
_WIDTH: Final = 118
#: The kinds of parts that stand in each group of things; everything else is electronics.
_GROUPS: Final = {
    "pneumatics": ("pneumatics", "compressor", "valve"),
    "lights": ("light",),
    "sensors": ("sensor", "switch"),
}
_MAIN_BREAKER: Final = "breaker/main"
_ELECTRONICS, _SENSORS = "electronics", "sensors"
_ORDER: Final = (
    *("part", "motor", "controller", "from", "module", "slot", "channels", "over", "protection", "length", "wire"),
    *("leads", "lead length", "plus colour", "minus colour", "motor length", "motor wire", "on", "port"),
)


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a line of the text comes from: the thing, its row in the list, and the cell where there is one."""

    thing: str
    line: int
    said: Said | None = None


@dataclass(slots=True)
class RobotText:
    """The text while it is written, with the origin of every line."""

    near: NearParts
    lines: list[tuple[str, Origin]] = field(default_factory=list)

    def write(self, draft: Draft, *, head: Sequence[str], robot: str) -> None:
        """Write all of it."""
        self._put(_SCHEMA)
        self._remarks(head, 0)
        self._put(f"robot: {scalar(robot)}")
        self._put("unsaid: ask")
        self._path(draft)
        self._put("blocks:")
        for block in draft.blocks.values():
            self._entry(block, 1, self._block_hint(block))
        self._mechanisms([entry for entry in draft.things.values() if entry.is_motor])
        groups: dict[str, list[Entry]] = {name: [] for name in (_ELECTRONICS, *_GROUPS)}
        for entry in draft.things.values():
            if not entry.is_motor:
                groups[self._group(entry)].append(entry)
        for name, entries in groups.items():
            if entries:
                self._put(f"{name}:")
                for entry in entries:
                    self._entry(entry, 1, self._hint(entry))
        if draft.lines:
            self._put("data:")
            for line in draft.lines.values():
                self._line(line)

    def _path(self, draft: Draft) -> None:
        battery, breaker = draft.path.values()
        battery.facts.setdefault("plug", Told(UNKNOWN))
        self._entry(battery, 0, self.near.of_kind("battery"))
        self._entry(breaker, 0, [name for name in self.near.of_kind("breaker") if name.startswith(_MAIN_BREAKER)])

    def _mechanisms(self, motors: Sequence[Entry]) -> None:
        if not motors:
            return
        by_name: dict[str, list[Entry]] = {}
        for motor in motors:
            by_name.setdefault(motor.mechanism or motor.name, []).append(motor)
        self._put("mechanisms:")
        self._remarks(
            [f"{kind}s to choose from: {', '.join(self.near.of_kind(kind))}" for kind in ("motor", "controller")], 1
        )
        for name, held in by_name.items():
            if [motor.name for motor in held] == [name]:
                self._entry(held[0], 1, ())
                continue
            self._put(f"{_STEP}{scalar(name)}:", Origin(name, held[0].line))
            self._put(f"{_STEP * 2}motors:", Origin(name, held[0].line))
            for motor in held:
                self._entry(motor, 3, ())

    def _entry(self, entry: Entry, depth: int, hint: Sequence[str]) -> None:
        """Write one thing; what it has to have and the list does not say is unknown."""
        origin = Origin(entry.name, entry.line)
        self._remarks(entry.remarks, depth, origin)
        self._put(f"{_STEP * depth}{scalar(entry.name)}:", origin)
        for key in ("motor", "controller") if entry.is_motor else ("part",):
            entry.facts.setdefault(key, Told(UNKNOWN))
        known = [key for key in _ORDER if key in entry.facts]
        for key in dict.fromkeys([*known, *entry.facts]):
            told = entry.facts[key]
            near = f"   # perhaps {' or '.join(hint)}" if hint and key == "part" and told.text == UNKNOWN else ""
            self._put(f"{_STEP * (depth + 1)}{key}: {_value(told)}{near}", Origin(entry.name, entry.line, told.said))
        if entry.labels:
            self._put(f"{_STEP * (depth + 1)}labels:", origin)
            for slot, told in entry.labels.items():
                line = f"{_STEP * (depth + 2)}{scalar(slot)}: {_value(told)}"
                self._put(line, Origin(entry.name, entry.line, told.said))

    def _line(self, line: Line) -> None:
        origin = Origin(line.name, line.line)
        self._remarks(line.remarks, 1, origin)
        self._put(f"{_STEP}{scalar(line.name)}:", origin)
        if line.network:
            facts = ["kind: network", "links:", *(f"  - {_value(Told(hop))}" for hop in line.hops)]
        elif chain := line.chain():
            facts = list(_listed("order", chain, line.state()))
        else:
            facts = ["order: unknown", *_listed("devices", line.members(), "")]
        for fact in facts:
            self._put(f"{_STEP * 2}{fact}", origin)

    def _block_hint(self, block: Entry) -> tuple[str, ...]:
        return self.near.with_outlets(block.outlets, ("block",)) if block.outlets else self.near.of_kind("block")[:3]

    def _hint(self, entry: Entry) -> tuple[str, ...]:
        """Return the nearest classes: those with the slots that others have on it, else those that sound like it."""
        return self.near.with_outlets(entry.outlets) if entry.outlets else self.near.of_words(entry.words)

    def _group(self, entry: Entry) -> str:
        said = entry.facts.get("part")
        kinds = [self.near.kind(said.text)] if said is not None and isinstance(said.text, str) else []
        kinds = [kind for kind in kinds if kind] or [part_id.partition("/")[0] for part_id in self._hint(entry)[:1]]
        other = _ELECTRONICS if kinds or entry.is_fed or "port" not in entry.facts else _SENSORS
        return next((group for group, held in _GROUPS.items() if set(kinds) & set(held)), other)

    def _remarks(self, remarks: Iterable[str], depth: int, origin: Origin | None = None) -> None:
        for remark in remarks:
            start = f"{_STEP * depth}# "
            wrapped = textwrap.wrap(remark, _WIDTH - len(start), break_long_words=False, break_on_hyphens=False)
            for n, part in enumerate(wrapped):
                self._put(f"{start}{part}" if n == 0 else f"{start}  {part}", origin)

    def _put(self, line: str, origin: Origin | None = None) -> None:
        self.lines.append((line, origin or Origin("", 0)))


def _value(told: Told) -> str:
    """Write a value with its state; where a bracket would not be read as one, in the long form."""
    texts = (told.text,) if isinstance(told.text, str) else told.text
    written = [text if told.plain else scalar(text) for text in texts]
    plain = written[0] if isinstance(told.text, str) else f"[{', '.join(written)}]"
    if not told.state:
        return plain
    short = isinstance(told.text, str) and not plain.startswith('"')
    return f"{plain} ({told.state})" if short else f"{{value: {plain}, state: {told.state}}}"


def _listed(key: str, names: Sequence[str], state: str) -> Iterator[str]:
    """Give the lines of a list of ids, one an id where they are too many for one line."""
    whole = f"{key}: {_value(Told(tuple(names), None, state))}"
    if len(whole) <= _WIDTH - 2 * len(_STEP):
        yield whole
        return
    yield f"{key}:"
    deep = _STEP * 2 if state else _STEP
    if state:
        yield from (f"{_STEP}state: {state}", f"{_STEP}value:")
    yield from (f"{deep}- {scalar(name)}" for name in names)


def all_lines(text: RobotText) -> Iterator[str]:
    """Give the lines of the text, each with its line break."""
    return (f"{line}\n" for line, _ in text.lines)
