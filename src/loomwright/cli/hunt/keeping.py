"""The records of a hunt in a robot's folder: what they say, and writing down what is told."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.cli.bench_records import open_records, told_plainly
from loomwright.jobs.hunt.telling import tell_hunt
from loomwright.jobs.told import events_of, write_down
from loomwright.records.event import Kind, Role
from loomwright.records.fold import fold
from loomwright.records.hunts import HUNTS
from loomwright.robotfile.folder import open_folder
from loomwright.store import NAME
from loomwright.store.peek import records_at
from loomwright.web.clock import laptop_clock

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.cli.hunt.asked import Asked
    from loomwright.findings import Finding
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.records.event import Event
    from loomwright.records.fold import State
    from loomwright.records.hunts import HuntRecord

_LONGEST = 120
_WORDS = 600


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """The records of one folder and build, signed for by one person."""

    folder: Path
    build: str
    robot: str
    who: str

    def state(self) -> State:
        """Return what the records say; a folder without records has none, and none are begun."""
        with told_plainly():
            return fold(records_at(self.folder / NAME, self.robot))

    def dangers(self, state: State) -> tuple[Event, ...]:
        """Return every danger that no mentor has cleared: of ended hunts and other builds, too; it is one folder."""
        return state.dangers

    def batch(self) -> Batch:
        """Begin to collect what is told at one moment."""
        return Batch(build=self.build, who=self.who, now=laptop_clock().stamp(), told=[])

    def write(self, batch: Batch, robot: RobotHunt | None, role: Role = Role.STUDENT) -> tuple[str, ...]:
        """Write a batch down, all or nothing; return the keys of its events. Answers to checks need the `robot`."""
        told = batch.in_order()
        with told_plainly(), open_records(self.folder, self.robot) as store:
            if robot is not None:
                tell_hunt(store, told, robot, role, now=batch.now)
            else:
                write_down(store, events_of(told, HUNTS, thing="hunt", foreign=_foreign), role, now=batch.now)
        return tuple(str(one["key"]) for one in told)


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What is told at one moment, in its order."""

    build: str
    who: str
    now: str
    told: list[dict[str, object]]

    def add(self, kind: Kind, about: str = "", words: str = "", of: Sequence[str] = (), **fields: object) -> str:
        """Add an event and return its key for now; empty fields are left out."""
        key = f"{len(self.told):032x}"
        held = {"kind": str(kind), "build": self.build, "who": self.who, "measured_at": self.now, "about": about}
        told = {**held, "words": words[:_WORDS], "of": tuple(of), **fields}
        self.told.append({"key": key, **{name: one for name, one in told.items() if one not in (None, "", ())}})
        return key

    def in_order(self) -> list[dict[str, object]]:
        """Return the events with keys of their own, which sort as they were told: they all have one moment."""
        fresh = sorted(secrets.token_hex(16) for _ in self.told)
        new = {str(one["key"]): key for one, key in zip(self.told, fresh, strict=True)}
        return [{**one, "key": new[str(one["key"])], **_of(one, new)} for one in self.told]


def keeping(asked: Asked) -> Kept:
    """Return the records of the folder and build that were asked for.

    Raises
    ------
    UnreadableInputError
        Where the folder has no robot that can be read, or not this build.
    """
    robot, _ = open_folder(asked.folder).read(asked.build)
    return Kept(folder=asked.folder, build=asked.build, robot=robot.name, who=asked.signer)


def begun(batch: Batch, hunt: HuntRecord | None, words: str) -> str:
    """Return the key of the open hunt; where there is none a new one is begun."""
    return hunt.key if hunt is not None else batch.add(Kind.HUNT, words=words)


def write_dangers(kept: Kept, dangers: Sequence[tuple[str, str]]) -> None:
    """Write dangers down. This needs no plan, and no name is refused."""
    batch = kept.batch()
    hunt = begun(batch, kept.state().hunt(kept.build), listed_dangers(dangers))
    for words, place in dangers:
        batch.add(Kind.DANGER, printable(place), words, (hunt,))
    kept.write(batch, None)


def write_cleared(kept: Kept, state: State) -> tuple[Event, ...]:
    """Write down that a mentor has cleared everything that stands open; return what it was."""
    batch = kept.batch()
    for danger in state.dangers:
        batch.add(Kind.CLEARED, of=(*danger.of, danger.key), build=danger.build)
    if batch.told:
        kept.write(batch, None, Role.MENTOR)
    return kept.dangers(state)


def listed_dangers(dangers: Sequence[tuple[str, str]]) -> str:
    """Say dangers in a few words: "smoke at radio"."""
    return ", ".join(f"{words} at {place}" if place else words for words, place in dangers)


def printable(text: str) -> str:
    """Return text that records take, whatever was typed."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())[:_LONGEST]


def _of(one: dict[str, object], new: dict[str, str]) -> dict[str, object]:
    """Return `of` with the keys that events of this batch have got; they stand in no other hunt's."""
    named = one.get("of")
    return {"of": [new.get(key, key) for key in named]} if isinstance(named, tuple) else {}


def _foreign(event: Event) -> Finding:
    raise AssertionError(f"{event.kind} is made here")
