"""The rows of a list that speak of other wires than a feed: to a motor, of signals, on data lines, to a second coil."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from loomwright.robotfile.lists.draft import Draft, Entry, Line, Told
from loomwright.robotfile.lists.headings import UNKNOWN
from loomwright.robotfile.lists.plain_names import id_of
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from loomwright.robotfile.lists.circuit_list import ListedCircuit

_ON: Final = "on "
_JUMPER: Final = "jumper"
_HOP: Final = re.compile(r"(?P<one>.+) to (?P<other>.+)")
_CHANNEL: Final = re.compile(r"valve (?P<number>[0-9]+)")


def motor_row(draft: Draft, row: ListedCircuit) -> None:
    """Take the wires from a controller to its motor."""
    entry = draft.thing(row.text("load") or _head(row), row.line)
    mechanism = row.take("mechanism")
    entry.is_motor = True
    entry.mechanism = entry.mechanism or (id_of(mechanism.text) if mechanism is not None else entry.name)
    _drop(row, "circuit", "source", "load")
    entry.say("motor length", row.take("length"))
    entry.say("motor wire", row.take("gauge"))
    entry.also(row, about=_about(row, entry))


def signal_row(draft: Draft, row: ListedCircuit) -> None:
    """Take the wires of a signal: the port that it is plugged into, or the link that is a jumper."""
    entry = draft.thing(draft.called(row.text("load") or _head(row)), row.line)
    source, what = row.take("source"), row.name.removeprefix(f"{entry.name}: ")
    about = _about(row, entry)
    _drop(row, "circuit", "load", "mechanism")
    if what == _JUMPER:
        entry.facts["jumper"] = Told("yes", plain=True)
    elif what.startswith(_ON) or source is not None:
        _plug(draft, entry, row, source.text if source is not None else "", what)
    entry.also(row, about=about)


def data_row(draft: Draft, row: ListedCircuit, state: str) -> bool:
    """Take one cable of a data bus or a network; tell whether both of its ends are known."""
    name, _, rest = row.name.rpartition(": ")
    hop = _HOP.fullmatch(rest)
    ends = [row.text("source") or (hop["one"] if hop else ""), row.text("load") or (hop["other"] if hop else "")]
    if "" in ends or UNKNOWN in ends:
        return False
    name = id_of(name or row.name)
    line = draft.lines.setdefault(name, Line(name, row.kind == CircuitKind.NETWORK, row.line))
    one, other = (draft.thing(draft.called(end), row.line).name for end in ends)
    line.hops.append((one, other))
    line.states.add(state)
    _drop(row, "state", "circuit", "load", "source", "mechanism")
    told = Entry(line.name)
    told.also(row, about=f"{one} to {other}")
    line.remarks += told.remarks
    return True


def second_feed(draft: Draft, row: ListedCircuit) -> None:
    """Take a further feed of a thing: a channel where both are a valve's, else it is kept as it stands."""
    entry = draft.thing(row.text("load"), row.line)
    channels = entry.facts.get("channels")
    first = (
        channels.text if channels is not None else _channel(entry.facts["slot"].text if "slot" in entry.facts else "")
    )
    slot, about = row.cells.get("slot"), row.name
    _drop(row, "circuit", "load", "mechanism")
    if first and slot is not None and (number := _channel(slot.text)):
        draft.thing(draft.called(row.text("source"))).outlets.append(slot.text)
        entry.facts["channels"] = Told((*first, *number), row.take("slot"), plain=True)
        entry.facts.pop("slot", None)
        if "from" in entry.facts:
            entry.facts["module"] = entry.facts.pop("from")
        _drop(row, "source")
        about = f"{row.name}, channel {number[0]}"
    entry.also(row, about=about)


def _plug(draft: Draft, entry: Entry, row: ListedCircuit, source: str, what: str) -> None:
    """Write where a signal goes; two rows of one thing make a list of ports."""
    if source:
        entry.facts.setdefault("on", Told(draft.called(source)))
        draft.thing(draft.called(source))
    if what.startswith(_ON):
        port, before = what.removeprefix(_ON), entry.facts.get("port")
        held = () if before is None else before.text if isinstance(before.text, tuple) else (before.text,)
        entry.facts["port"] = Told((*held, port) if held else port)
        entry.words.append(port)
    key = "signal length" if entry.is_fed else "length"
    length = row.cells.get("length")
    if length is not None and entry.say(key, length):
        row.take("length")


def _head(row: ListedCircuit) -> str:
    return row.name.partition(": ")[0]


def _about(row: ListedCircuit, entry: Entry) -> str:
    """Say which of a thing's wires a remark speaks of."""
    return row.name.removeprefix(f"{entry.name}: ")


def _channel(slot: str | tuple[str, ...]) -> tuple[str, ...]:
    found = _CHANNEL.fullmatch(slot) if isinstance(slot, str) else None
    return (found["number"],) if found else ()


def _drop(row: ListedCircuit, *meanings: str) -> None:
    for meaning in meanings:
        row.take(meaning)
