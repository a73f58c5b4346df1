"""A robot as a list of circuits tells it, before it is written down: its things, what is said of each, what is over."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from loomwright.model.fact import State
from loomwright.robotfile.lists.headings import Said
from loomwright.robotfile.lists.plain_names import id_of, parted_doubt

if TYPE_CHECKING:
    from loomwright.robotfile.lists.circuit_list import ListedCircuit

#: What a controller is called, after its motor.
CONTROLLER: Final = " controller"


@dataclass(frozen=True, slots=True)
class Told:
    """One fact to write: a text, or several as a list; its state, "" for none; the cell that says it, None for us.

    `plain` texts are words of the file itself, which want no quotes.
    """

    text: str | tuple[str, ...]
    said: Said | None = None
    state: str = ""
    plain: bool = False


@dataclass(slots=True)
class Entry:
    """One thing of the robot file.

    `facts` go by key, `remarks` are what the list says beyond them, `labels` what is written at its slots, `outlets`
    the slots that others have on it. `words` are what it is called by, `line` is its first row, 0 where it has none.
    `is_fed` tells that one of its rows is about its power.
    """

    name: str
    line: int = 0
    mechanism: str = ""
    facts: dict[str, Told] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)
    outlets: list[str] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    labels: dict[str, Told] = field(default_factory=dict)
    is_motor: bool = False
    is_fed: bool = False

    def say(self, key: str, said: Said | None, *, state: str = "") -> bool:
        """Write a fact where the list says one and none is written yet; tell whether it was written.

        Doubt that stands in the cell itself, as in `H3?` and `H3 (guessed)`, goes before the state of the row.
        """
        if said is None or key in self.facts:
            return False
        text, own = parted_doubt(said.text)
        self.facts[key] = Told(text, said, "" if said.is_unknown else own or state)
        return True

    def also(self, row: ListedCircuit, *, about: str = "") -> None:
        """Keep what is left of a row as a remark; that it is planned is no news."""
        if row.text("state").casefold() == State.PLANNED:
            row.take("state")
        told = "; ".join(f"{said.heading.title}: {said.text}" for said in row.rest())
        head = ": ".join(word for word in (f"line {row.line}", about) if word)
        if told or about:
            self.remarks.append(f"{head}: {told}" if told else head)


@dataclass(slots=True)
class Line:
    """A data bus or a network: its cables from one thing to the next, and what the list says beyond them."""

    name: str
    network: bool
    line: int
    hops: list[tuple[str, str]] = field(default_factory=list)
    states: set[str] = field(default_factory=set)
    remarks: list[str] = field(default_factory=list)

    def chain(self) -> tuple[str, ...]:
        """Return the order of the chain; nothing where the cables make no single chain."""
        after, before = dict(self.hops), {b: a for a, b in self.hops}
        starts = [a for a, _ in self.hops if a not in before]
        if len(starts) != 1 or len(after) != len(self.hops) or len(before) != len(self.hops):
            return ()
        found = [starts[0]]
        while found[-1] in after and len(found) <= len(self.hops):
            found.append(after[found[-1]])
        return tuple(found) if len(found) == len(self.hops) + 1 else ()

    def state(self) -> str:
        """Return the state that all of its cables have, "" where they differ or nobody said one."""
        return next(iter(self.states)) if len(self.states) == 1 else ""

    def members(self) -> tuple[str, ...]:
        """Return everything that a cable goes to, once."""
        return tuple(dict.fromkeys(name for hop in self.hops for name in hop))


@dataclass(slots=True)
class Draft:
    """Everything that a list tells: the battery's path, blocks, things (motors among them), data lines."""

    path: dict[str, Entry] = field(
        default_factory=lambda: {"battery": Entry("battery"), "main breaker": Entry("main breaker")}
    )
    blocks: dict[str, Entry] = field(default_factory=dict)
    things: dict[str, Entry] = field(default_factory=dict)
    lines: dict[str, Line] = field(default_factory=dict)

    def called(self, text: str) -> str:
        """Return the id of a device by what the list calls it: a controller is called after its motor."""
        device = id_of(text)
        stem = device.removesuffix(CONTROLLER)
        known = device in self.things or device in self.blocks or device in self.path
        return stem if not known and stem in self.things else device

    def thing(self, text: str, line: int = 0) -> Entry:
        """Return a thing or a block by what the list calls it, made where nothing is called so yet."""
        name = id_of(text)
        found = self.blocks.get(name) or self.things.get(name) or self.path.get(name)
        return found if found is not None else self.things.setdefault(name, new_entry(text, line))


def new_entry(text: str, line: int = 0) -> Entry:
    """Make a thing by what the list calls it; where that can't be an id, it is `also called` so."""
    entry = Entry(id_of(text), line, words=[text])
    if entry.name != text:
        entry.facts["also called"] = Told(text)
    return entry


def state_of(said: Said | None, *, column: bool) -> str:
    """Return the state that is written behind a fact of a row, "" for planned, which is written as nothing.

    Where the list has no such column, somebody looked at the robot: traced. What `plan` calls unknown is doubtful.
    """
    if said is None:
        return "" if column else str(State.TRACED)
    word = said.text.casefold()
    return {"unknown": str(State.GUESSED), str(State.PLANNED): ""}.get(word, word)
