"""What a new plan means for the wires of the last one: what is undone, made, relabelled, and what stays."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from loomwright.layout.lengths import SERVICE_LOOP_M
from loomwright.plan.differences import Difference, as_made, as_planned, place
from loomwright.plan.fitted import as_reported
from loomwright.plan.remembering import remembered
from loomwright.plan.renaming import carried_over
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from loomwright.plan.memory import KeptWire, Key, Memory
    from loomwright.plan.result import Plan

NEW: Final = "new"
GONE: Final = "not in the plan any more"


@dataclass(frozen=True, slots=True)
class Step:
    """One wire and what is to do with it: the whole wire, or the ends with these letters, and why, in words.

    `wire` tells where its ends are, its copper and its length: as it was for work to undo, as it will be for the rest.
    """

    circuit: str
    role: str
    wire: KeptWire
    whole: bool
    ends: tuple[str, ...]
    why: tuple[str, ...]

    @property
    def id(self) -> str:
        """The wire's id."""
        return self.wire.id

    @property
    def a(self) -> str:
        """Where end A is, in words."""
        return place(self.wire.a)

    @property
    def b(self) -> str:
        """Where end B is, in words."""
        return place(self.wire.b)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rework:
    """What to undo, make and relabel, and what stays; each list in the order of the ids.

    `undo` are made wires, or ends of them, that can't stay as they are. `make` are wires that are new or are planned in
    another way, and what is made again after it was undone. `relabel` are made wires that stay, with another flag.
    `drop` are wires that no plan has any more and that nobody called made. `keep` names the made wires that stay,
    `waiting` those that are still to make as the last plan had them.
    """

    undo: tuple[Step, ...] = ()
    make: tuple[Step, ...] = ()
    relabel: tuple[Step, ...] = ()
    drop: tuple[Step, ...] = ()
    keep: tuple[str, ...] = ()
    waiting: tuple[str, ...] = ()

    @property
    def changes(self) -> bool:
        """Whether anything is to do that the last plan did not ask for."""
        return bool(self.undo or self.make or self.relabel or self.drop)


def rework(before: Memory, after: Plan, made: Collection[Key]) -> Rework:
    """Compare the last plan with a new one; `made` are the wires that are made, by circuit and role.

    A made wire stays where nothing about it must change. One that could be shorter stays as long as the difference is
    less than a service loop. One that has to be longer stays as long as one of its two loops can give that much: the
    other one remains for a new end.
    """
    memory = as_reported(carried_over(before, after.wiring, after.robot), after)
    now = remembered(after)
    said = after.robot.house.service_loop.value
    lists = _Lists(memory, now, SERVICE_LOOP_M if said is None else said)
    for key in memory.kept_wires.keys() | now.kept_wires.keys():
        lists.sort_in(key, made=key in made)
    return lists.done()


@dataclass(slots=True)
class _Lists:
    before: Memory
    after: Memory
    loop_m: float
    undo: list[Step] = field(default_factory=list)
    make: list[Step] = field(default_factory=list)
    relabel: list[Step] = field(default_factory=list)
    drop: list[Step] = field(default_factory=list)
    keep: list[str] = field(default_factory=list)
    waiting: list[str] = field(default_factory=list)

    def sort_in(self, key: Key, *, made: bool) -> None:
        """Put one wire into the lists that it belongs in."""
        old, new = self.before.kept_wires.get(key), self.after.kept_wires.get(key)
        if old is None:
            if new is not None:
                self.make.append(_step(key, new, [Difference("", NEW)]))
        elif new is None:
            (self.undo if made else self.drop).append(_step(key, old, [Difference("", GONE)]))
        elif made:
            self._made(key, old, new)
        elif found := as_planned(old, new):
            self.make.append(_step(key, new, [Difference("", one.words) for one in found]))
        else:
            self.waiting.append(new.id)

    def _made(self, key: Key, old: KeptWire, new: KeptWire) -> None:
        found = as_made(old, new, before=self.before.devices, after=self.after.devices, loop_m=self.loop_m)
        names = list(self._new_names(key, new))
        if found:
            self.undo.append(_step(key, old, found))
            self.make.append(_step(key, new, found))
        else:
            self.keep.append(new.id)
        if names and not any(one.end == "" for one in found):
            self.relabel.append(_step(key, new, [Difference("", words) for words in names]))

    def _new_names(self, key: Key, new: KeptWire) -> Iterator[str]:
        """Give what stands on the wire's flag under another name."""
        for name in dict.fromkeys((key[0], new.a.device, new.b.device)):
            if (old := self.before.renamed.get(name)) is not None:
                yield f"{old} is called {name} now"

    def done(self) -> Rework:
        return Rework(
            undo=_in_order(self.undo),
            make=_in_order(self.make),
            relabel=_in_order(self.relabel),
            drop=_in_order(self.drop),
            keep=tuple(sorted(self.keep, key=natural)),
            waiting=tuple(sorted(self.waiting, key=natural)),
        )


def _step(key: Key, wire: KeptWire, found: Collection[Difference]) -> Step:
    whole = any(one.end == "" for one in found)
    ends = ("A", "B") if whole else tuple(sorted({one.end for one in found}))
    return Step(*key, wire, whole, ends, tuple(dict.fromkeys(one.words for one in found)))


def _in_order(steps: list[Step]) -> tuple[Step, ...]:
    return tuple(sorted(steps, key=lambda step: (natural(step.id), step.circuit, step.role)))
