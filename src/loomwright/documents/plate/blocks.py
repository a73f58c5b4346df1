"""What stands beside the plate comes in blocks: each draws itself from the top of a room downwards."""

from __future__ import annotations

from collections.abc import Callable

from loomwright.documents.label import label, paragraph
from loomwright.documents.look import BODY_MM, INK, RULE_MM, SMALL_MM
from loomwright.documents.scene import Box, Item, Line, Stroke
from loomwright.documents.type import Face

Drawn = tuple[tuple[Item, ...], float]
"""Items, and the height on the page where they end [mm]."""
Block = Callable[[Box], Drawn]
"""Draws itself from the top of a room downwards as wide as the room, however tall it has to be."""

GAP_MM = 3.5

_FAR_MM = 1e4


def separator(room: Box) -> Drawn:
    """Leave a gap; none at the head of a column."""
    return (), room.top + GAP_MM


def new_column(room: Box) -> Drawn:
    """Draw nothing: what follows begins in a new column where there are enough of them."""
    return (), room.top


def together(*blocks: Block) -> Block:
    """Join blocks that no column may part."""

    def draw(room: Box) -> Drawn:
        items: tuple[Item, ...] = ()
        y = room.top
        for block in blocks:
            drawn, y = block(Box(room.left, y, room.right, room.bottom))
            items = (*items, *drawn)
        return items, y

    return draw


def text_block(words: str, room: Box, *, face: Face = Face.TEXT, size_mm: float = SMALL_MM) -> Drawn:
    """Write words in lines as wide as a room; return them and where they end."""
    lines = paragraph(words, Box(room.left, room.top, room.right, _FAR_MM), size_mm=size_mm, face=face, leading=1.3)
    kept = tuple(line for line in lines if line.text)
    return kept, room.top + len(kept) * size_mm * 1.3


def headed(words: str, room: Box, *, face: Face = Face.TAG) -> Drawn:
    """Draw a rule with a head under it."""
    rule = Line((room.left, room.top), (room.right, room.top), Stroke(INK, RULE_MM))
    said = label(
        words,
        Box(room.left, room.top, room.right, room.top + 6),
        size_mm=BODY_MM,
        face=face,
        baseline_mm=room.top + 4.6,
    )
    return (rule, *said), room.top + 6.4


def below(room: Box, top: float) -> Box:
    """Return what of a room is left below a height, as long as it has to be."""
    return Box(room.left, top, room.right, _FAR_MM)
