"""From the rows of a list of circuits to a draft: the battery's path and what is fed, then all other wires."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from loomwright.findings import Finding, Severity
from loomwright.robotfile.lists.draft import CONTROLLER, Draft, Entry, Told, new_entry, state_of
from loomwright.robotfile.lists.draft_parts import part_of, take_for_motor
from loomwright.robotfile.lists.draft_wires import data_row, motor_row, second_feed, signal_row
from loomwright.robotfile.lists.headings import UNKNOWN, Said
from loomwright.robotfile.lists.plain_names import id_of
from loomwright.wiring.result import CircuitKind
from loomwright.wording import quoted

if TYPE_CHECKING:
    from loomwright.robotfile.lists.circuit_list import ListedCircuit
    from loomwright.robotfile.lists.near_parts import NearParts
    from loomwright.robotfile.lists.typed_table import TypedTable

_POWER: Final = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
_FIRST_BLOCK: Final = "block"
_SIDES: Final = ("plus colour", "minus colour")
_AND: Final = re.compile(r"\s*(?:,|;| and )\s*")
_COLOURS_FIX: Final = "Write `red, black` for the two, or use the columns `plus colour` and `minus colour`."
_EITHER: Final = re.compile(r"\w+\s*[/+]\s*\w+")
#: What a row of a feed says and the key that it is written as; its state stands behind the first that is there.
_FEED: Final = (("slot", "slot"), ("length", "length"), ("gauge", "wire"), ("protection", "protection"))


@dataclass(slots=True)
class Drafting:
    """Fills a draft row by row; what can't be placed is a fault. `states` tells that the list has such a column."""

    table: TypedTable
    near: NearParts
    states: bool
    draft: Draft = field(default_factory=Draft)
    faults: list[Finding] = field(default_factory=list)

    def fill(self, rows: Sequence[ListedCircuit]) -> Draft:
        """Place every row: what is fed first, so that the rows of its other wires find it."""
        self._find_blocks(rows)
        power = [row for row in rows if row.kind in _POWER]
        seconds = [row for row in power if _is_second(row)]
        for row in power:
            if row not in seconds:
                self._thing(row)
        for row in rows:
            if row.kind == CircuitKind.MAIN:
                self._main(row)
            elif row.kind == CircuitKind.MOTOR:
                motor_row(self.draft, row)
            elif row.kind == CircuitKind.SIGNAL:
                signal_row(self.draft, row)
            elif row.kind in (CircuitKind.BUS, CircuitKind.NETWORK):
                self._data(row)
        for row in seconds:
            second_feed(self.draft, row)
        return self.draft

    def _find_blocks(self, rows: Sequence[ListedCircuit]) -> None:
        """Find the blocks: where the battery's path or a feeder ends, and what else branches come from."""
        power = [row for row in rows if row.kind in _POWER]
        fed = {row.name for row in power}
        ids = [row.text("load") for row in rows if row.kind == CircuitKind.MAIN]
        ids += [row.name for row in power if row.kind == CircuitKind.FEEDER or self._kind(row) == "block"]
        ids += [row.text("source") for row in power if row.kind != CircuitKind.OUTPUT and row.text("source") not in fed]
        for name in (name for name in ids if name not in ("", UNKNOWN) and name not in self.draft.path):
            self.draft.blocks.setdefault(id_of(name), new_entry(name))
        if not self.draft.blocks:
            self.draft.blocks[_FIRST_BLOCK] = Entry(_FIRST_BLOCK)

    def _kind(self, row: ListedCircuit) -> str:
        return self.near.kind(row.text("part"))

    def _data(self, row: ListedCircuit) -> None:
        state = state_of(row.cells.get("state"), column=self.states)
        if not data_row(self.draft, row, state):
            what = f"The data wire {quoted(row.name)} does not name the things at both of its ends."
            fix = "Fill `source` and `load` with the ids of the two."
            self.faults.append(Finding("no-ends", Severity.MUST, self.table.place(row.line), what, fix))

    def _main(self, row: ListedCircuit) -> None:
        """Take the battery's path. The length of a whole path is that of several leads: it is told and not written."""
        path, name = self.draft.path, row.name.casefold()
        owner = path.get(name, path["battery"])
        owner.line = row.line
        for meaning in ("circuit", "source", "load"):
            row.take(meaning)
        owner.say("leads", row.take("gauge"))
        for meaning in ("part", "protected by"):
            kind = self.near.kind(row.text(meaning))
            if kind in ("battery", "breaker"):
                path["battery" if kind == "battery" else "main breaker"].say("part", row.take(meaning))
        if name in path:
            owner.say("lead length", row.take("length"))
        owner.also(row, about="the whole path from the battery to the block" if "length" in row.cells else "")

    def _thing(self, row: ListedCircuit) -> None:
        """Take what feeds a thing for the first time, and with it the thing itself."""
        entry = self.draft.thing(row.name, row.line)
        load = row.text("load")
        entry.line, entry.is_fed = row.line, True
        entry.words += [load.removesuffix(CONTROLLER), row.text("slot")]
        row.take("circuit")
        if load in (row.name, f"{row.name}{CONTROLLER}"):
            row.take("load")
        if entry.name not in self.draft.blocks:
            take_for_motor(entry, row, self.near, load=load)
        part_of(entry, row, self.near)
        self._feed(entry, row)
        entry.also(row)

    def _feed(self, entry: Entry, row: ListedCircuit) -> None:
        source, slot = row.take("source"), row.cells.get("slot")
        if source is not None:
            entry.facts["from"] = Told(UNKNOWN if source.is_unknown else self.draft.called(source.text), source)
        host = self._host(source)
        if slot is not None and not slot.is_unknown:
            host.outlets.append(slot.text)
            self._label(host, slot.text, row)
        if row.kind == CircuitKind.OUTPUT and "gauge" not in row.cells and row.text("wires").count("W") == 1:
            entry.facts["over"] = Told("network cable")  # `plan` writes no gauge for a cable
        self._facts(entry, row)
        self._colours(entry, row)

    def _label(self, host: Entry, slot: str, row: ListedCircuit) -> None:
        """Write what stands at a slot of a block; a second label there, or an odd slot's, is kept as a remark."""
        if host.name in self.draft.blocks and slot not in host.labels and id_of(slot) == slot:
            label = row.take("slot label")
            if label is not None:
                host.labels[slot] = Told(label.text, label)

    def _host(self, source: Said | None) -> Entry:
        if source is None or source.is_unknown:
            return next(iter(self.draft.blocks.values()))
        return self.draft.thing(self.draft.called(source.text))

    def _facts(self, entry: Entry, row: ListedCircuit) -> None:
        """Write what is fed; the state of the row stands behind the first fact that is there."""
        state = state_of(row.cells.get("state"), column=self.states)
        for meaning, key in _FEED:
            said = row.take(meaning)
            if entry.say(key, said, state=state) and said is not None and not said.is_unknown:
                state = ""
        if not state or state == state_of(None, column=self.states):
            row.take("state")

    def _colours(self, entry: Entry, row: ListedCircuit) -> None:
        """Write one colour for the plus wire, two for the pair; more of them are kept as they are."""
        both = row.cells.get("colour")
        words = _AND.split(both.text) if both is not None else []
        if both is not None and _EITHER.fullmatch(both.text):
            what = f"{quoted(both.text)} could be two wires, or one with a stripe."
            place = self.table.place(row.line, both.heading.column, both.heading.title)
            self.faults.append(Finding("two-colours", Severity.MUST, place, what, _COLOURS_FIX))
            row.take("colour")
        elif both is not None and len(words) <= len(_SIDES):
            row.take("colour")
            for key, word in zip(_SIDES, words, strict=False):
                entry.say(key, Said(word, both.line, both.heading))
        for key in _SIDES:
            if key in row.cells and len(_AND.split(row.text(key))) == 1:
                entry.say(key, row.take(key))


def _is_second(row: ListedCircuit) -> bool:
    """Tell whether a row is a further feed of a thing, as the second coil of a valve."""
    load = row.text("load")
    return bool(load) and row.name != load and row.name.startswith(f"{load}: ")
