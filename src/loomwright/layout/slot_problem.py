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

    Two items on one face cross where their places and their headings there are in opposite orders. The options say
    what is physically possible; what people asked for is a `Wish`.
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
class Wish:
    """Something that people asked for: `item` only on one of these spots. `weight` is what breaking it counts.

    Without an item (""), nobody should sit on the spots, and the weight counts for each of them that is taken. With
    `near`, the item should be on the face that the item of that name is on, whatever the spots; that wish also holds
    while one of the two has no seat.
    """

    key: str
    item: str
    spots: tuple[Spot, ...] = ()
    weight: int = 1
    near: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotProblem:
    """Items to seat, one to a seat: `pairs` belong together, `sides` are groups that one corner must not stop.

    Breaks come first, then rework, then wire and prices together in millimetres. `unseated_breaks` is what an item
    without any seat counts as. Breaks are those of the options taken, of items without a seat, and of `wishes` that do
    not hold. Pairs and `near` wishes of which an item has no seat cost nothing.

    A group's free seats are spread evenly when each face has its share, in proportion to the seats of the group on it,
    rounded up or down. A reserved seat that stays empty counts as free.
    """

    items: tuple[Item, ...]
    seats: tuple[Seat, ...]
    prices: SlotPrices
    pairs: tuple[tuple[str, str], ...] = ()
    sides: tuple[tuple[str, ...], ...] = ()
    wishes: tuple[Wish, ...] = ()
    unseated_breaks: int = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """A few wishes that cannot all be had, and the cheapest of them to drop.

    `counting` clashes are of the kind "8 circuits need one of these 7 seats": `items` and `spots` say which. `wishes`
    are keys of the wishes that stand against each other, with the rest of the plan's wishes out of account. `drops` are
    those that the plan gives up: as few as possible and the cheapest, most often one. With one of them, the set is the
    smallest found: without any single wish of it the rest can be had. With several ("10 circuits need one of these 7
    seats"), that holds for the set without the other drops. Where `drops` is empty, an item
    stays without a seat instead; without any `wishes`, whatever is asked.
    """

    items: tuple[str, ...]
    spots: tuple[Spot, ...]
    wishes: tuple[str, ...]
    drops: tuple[str, ...]
    counting: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotAnswer:
    """A seat for every item (None: none is left), how good that is proved to be, and what could not be had."""

    seats: tuple[tuple[str, Spot | None], ...]
    certificate: Certificate
    crossings: int = 0
    clashes: tuple[Clash, ...] = ()
