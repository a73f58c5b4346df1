"""Slots as a problem on its own: items and seats, wishes and prices; and what an answer is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.search import Certificate

Spot = tuple[str, str]
"""A device's id and the name of one of its slots."""


@dataclass(frozen=True, slots=True)
class Seat:
    """A slot that may be used: the face of the block it is on ("block left"), its place along that face, its group.

    `corner` names the neighbourhood that one blow would take out together.
    """

    spot: Spot
    face: str
    place: int
    group: str = ""
    corner: str = ""


@dataclass(frozen=True, slots=True)
class SlotOption:
    """A seat that an item may take: wire it costs [mm, whole], how many wishes it breaks, and rework [points]."""

    spot: Spot
    wire_mm: int
    breaks: int = 0
    rework: int = 0
    why: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Item:
    """A circuit that wants a seat. `headings` gives, for each face, where along that face its wires leave to [mm].

    Two items on one face cross where their places and their headings there are in opposite orders.
    """

    name: str
    options: tuple[SlotOption, ...]
    headings: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotPrices:
    """What untidiness costs, in millimetres of wire (whole numbers).

    `crossing_mm` for each pair that crosses at a face; `apart_mm` for each place between a pair that belongs together
    beyond the next one, `other_face_mm` where they are on two faces; `mixed_corner_mm` for each corner that holds
    circuits of two sides; `bunched_mm` for each free slot of a group on a face above or below an even spread.
    """

    crossing_mm: int
    apart_mm: int
    other_face_mm: int
    mixed_corner_mm: int
    bunched_mm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotProblem:
    """Items to seat, one to a seat: `pairs` belong together, `sides` are groups that one corner must not stop.

    Breaks come first, then rework, then wire and prices together in millimetres. `unseated_breaks` is what an item
    without any seat counts as.
    """

    items: tuple[Item, ...]
    seats: tuple[Seat, ...]
    prices: SlotPrices
    pairs: tuple[tuple[str, str], ...] = ()
    sides: tuple[tuple[str, ...], ...] = ()
    unseated_breaks: int = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """A few wishes that cannot all be had: the smallest set, and the cheapest of them to drop.

    `counting` clashes are of the kind "8 circuits need one of these 7 seats": `items` and `spots` say which. `wishes`
    are keys of the wishes that stand against each other; without any one of them the rest can be had.
    """

    items: tuple[str, ...]
    spots: tuple[Spot, ...]
    wishes: tuple[str, ...]
    drop: str
    counting: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotAnswer:
    """A seat for every item (None: none is left), how good that is proved to be, and what could not be had."""

    seats: tuple[tuple[str, Spot | None], ...]
    certificate: Certificate
    crossings: int = 0
    clashes: tuple[Clash, ...] = ()
