"""What stands on the packet's pages, as data: chapters of blocks, tables of cells. No look, no place."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from loomwright.documents.scene import Scene


class Look(StrEnum):
    """How a cell is shown: plain, in bold, as a number; as a wire in its colour; a box to tick, room to write in."""

    TEXT = "text"
    STRONG = "strong"
    NUMBER = "number"
    WIRE = "wire"
    END_A = "end a"
    END_B = "end b"
    TICK = "tick"
    WRITE = "write"


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its head, its share of the width (0: as wide as it must be), how its cells look."""

    head: str
    share: float = 0.0
    look: Look = Look.TEXT


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows that belong together: a name and a note above them ("" for none), a text for each column.

    `runs` tells from the top how many rows each stay on one page, as the two wires of a pair do; () is each row alone.
    `legend` are lines below the note that the rows refer to: they come again with the name on every page.
    """

    rows: tuple[tuple[str, ...], ...]
    title: str = ""
    note: str = ""
    runs: tuple[int, ...] = ()
    legend: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """A table of groups of rows, in `small` type where much has to be said; `empty` is said where there is none.

    In a `tight` one the name of a group and its note stand in one line, no larger than its rows.
    """

    columns: tuple[Column, ...]
    groups: tuple[Rows, ...]
    empty: str = ""
    small: bool = False
    tight: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """A heading within a chapter."""

    title: str


@dataclass(frozen=True, slots=True)
class Para:
    """A paragraph."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Notice:
    """What must not be overlooked."""

    text: str


@dataclass(frozen=True, slots=True)
class Points:
    """A list: "points", numbered "steps", "ticks" with a box each, or "plain" lines."""

    items: tuple[str, ...]
    kind: str = "points"


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing among the text, or on a page of its own."""

    scene: Scene
    own_page: bool = False


@dataclass(frozen=True, slots=True)
class Card:
    """A card that stays whole: a title, a drawing, texts with what they are; `used` says which ends it is for."""

    title: str
    scene: Scene
    texts: tuple[tuple[str, str], ...]
    steps: tuple[str, ...] = ()
    note: str = ""
    used: str = ""


@dataclass(frozen=True, slots=True)
class Stage:
    """A piece of work that stays on one page: a title, its steps, lists beside them by their names, a table below."""

    title: str
    steps: tuple[str, ...]
    beside: tuple[tuple[str, tuple[str, ...]], ...]
    table: Table | None = None


@dataclass(frozen=True, slots=True)
class Contents:
    """The chapters with their pages."""


Block: TypeAlias = Contents | Section | Para | Notice | Points | Table | Drawing | Card | Stage


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter: `work` where it asks for hands on the robot, so that the cautions stand above it.

    A `drawn` chapter is drawings alone, which have titles and cautions of their own; the pages of a `wide` one lie.
    On a `cover` the title is large, with a line `below` it, and the chapter is not in the contents.
    """

    title: str
    blocks: tuple[Block, ...]
    work: bool = False
    drawn: bool = False
    wide: bool = False
    cover: bool = False
    below: str = ""


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a sheet that has to hold everything: its type gets smaller until it does."""

    title: str
    blocks: tuple[Block, ...]
    columns: int = 1


@dataclass(frozen=True, slots=True)
class Leaf:
    """Two sides that are one sheet when the packet is printed on both sides, so the first one's page number is odd.

    `beside` is one page, that stands before the two or after them, whichever makes it so.
    """

    front: Side
    back: Side
    beside: Side | Chapter


Part: TypeAlias = Chapter | Side | Leaf
