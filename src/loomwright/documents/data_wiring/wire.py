"""A data wire drawn as itself: two lugs joined by a bar, its id and colour upon it."""

from __future__ import annotations

from collections.abc import Sequence

from loomwright.documents.data_wiring.sheet import DataWire
from loomwright.documents.look import SMALL_MM
from loomwright.documents.scene import Group, Item
from loomwright.documents.type import Face, clean, shorten
from loomwright.documents.wirebar import LUG_MM, bar, chip, chip_width_mm, lug

_CLEAR_MM = 0.7  # keeps a lug's round eye off the edge of a box
_ID_MM = 14.0
_CABLE_COLOUR = "WH"
_THICKEST_MM = 2.4  # what lies side by side here is thin; thicker would hide its neighbour


def strand(wire: DataWire, left: float, right: float, y: float, chips: Sequence[Item]) -> Group:
    """Draw a wire between two edges on one level, end A filled and end B hollow, with what stands upon it."""
    a, b = (left + _CLEAR_MM, right - _CLEAR_MM)
    run = ((a + LUG_MM, y), (b - LUG_MM, y))
    colour = wire.colour or (_CABLE_COLOUR if wire.cable else "")
    items = (
        *bar(*run, colour=colour, copper_mm=min(wire.copper_mm, _THICKEST_MM)),
        lug((a, y), "right", filled=wire.from_left),
        lug((b, y), "left", filled=not wire.from_left),
        *chips,
    )
    ends = "" if wire.from_left else "end A on the right"
    words = (wire.id, wire.role, wire.cable or wire.colour, wire.gauge, length_words(wire), ends)
    return Group(items, "wire", wire.id, clean(", ".join(word for word in words if word)))


def who(wire: DataWire) -> tuple[tuple[str, Face], ...]:
    """Return the words that name a wire: its id and its colour, or that it is a cable."""
    code = clean(wire.cable) or clean(wire.colour) or "colour?"
    name = shorten(clean(wire.id), Face.BOLD, SMALL_MM, _ID_MM)
    return ((name, Face.BOLD), (code, Face.TAG)) if name else ((code, Face.TAG),)


def name_chip(wire: DataWire, middle: float, y: float, room_mm: float) -> tuple[Item, ...]:
    """Draw a wire's name in the middle of a short bar; where the word "colour?" has no room, a mark asks alone."""
    words = who(wire)
    if chip_width_mm(words) > room_mm and not wire.colour and not wire.cable:
        words = (words[0], ("?", Face.TAG))
    return chip((middle, y), words, dashed=not wire.colour and not wire.cable)


def length_words(wire: DataWire) -> str:
    """Return the length, or that it is asked for, or that a part brings the lead."""
    return "own lead" if wire.own else clean(wire.length) or "length?"
