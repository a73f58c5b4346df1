"""One picture of a card in real mm: what is drawn, what of it must be seen, and the places that words point at."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from loomwright.documents.end_cards.sizes import WireSize
from loomwright.documents.scene import Box, Item, Point


class View(StrEnum):
    """Which picture of a card."""

    STRIPPED = "stripped"
    GOOD = "good"
    FIRST = "first mistake"
    SECOND = "second mistake"


@dataclass(frozen=True, slots=True)
class Spec:
    """What a picture depends on: the card's kind, wire, strip length [mm] (0: nothing is stripped) and variant.

    `variant` is the sleeve's colour where it has one. `stud_mm` is the stud's diameter or the tab's width, and
    `size` its name; both are empty where the robot file does not tell.
    """

    kind: str
    wire: WireSize
    strip_mm: float
    variant: str = ""
    size: str = ""
    stud_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a wire that leaves the picture runs on: to these places [real mm]."""

    left: float
    right: float


@dataclass(frozen=True, slots=True)
class Picture:
    """Items in real mm, with the wire's axis at y = 0 and the end of its insulation near x = 0.

    `core` must be seen; wires may run out of it. `spots` are places by name that labels point at; `fault` is the
    place that is wrong. `letters` stand on small white chips.
    """

    items: tuple[Item, ...]
    core: Box
    spots: Mapping[str, Point] = field(default_factory=dict)
    fault: Point | None = None
    letters: tuple[tuple[Point, str], ...] = ()


Drawer = Callable[[Spec, View, Reach], Picture]
