"""The Sag for a packet of printed pages: a match on each, and on the last one what the verdict rests on."""

from __future__ import annotations

from typing import Final

from loomwright.documents.look import WHITE
from loomwright.documents.print_room import PrintRoom, print_room
from loomwright.documents.sag.axes import axes_of
from loomwright.documents.sag.drawing import described
from loomwright.documents.sag.head import head, rests_on, slim_head
from loomwright.documents.sag.layers import layers_of
from loomwright.documents.sag.match_block import LEAST_PLOTS_MM, around_mm, match_block
from loomwright.documents.sag.sheet import SagSheet
from loomwright.documents.scene import Box, Item, Rect, Scene
from loomwright.documents.type import clean

_INSIDE_MM: Final = 1.2  # keeps thick lines within the room
_GAP_MM: Final = 4.0


def sag_scenes(sheet: SagSheet, paper: str = "A4", *, foot_mm: float = 0.0) -> tuple[Scene, ...]:
    """Draw the Sag for a printed packet on "A4" or "Letter", on pages that lie, each as large as inside its margins.

    A foot of the packet's own is kept free [mm]. A first match that leaves no room for the
    head has it on a page of its own. Raises KeyError for
    another paper.
    """
    room = print_room(paper, foot_mm=foot_mm)
    inside = Box(_INSIDE_MM, _INSIDE_MM, room.width_mm - _INSIDE_MM, room.height_mm - _INSIDE_MM)
    axes, layers = axes_of(sheet), layers_of(sheet)
    left = [line for line in sheet.rests_on if clean(line)]
    pages: list[tuple[Item, ...]] = []
    items, y = head(sheet, inside)
    y += _GAP_MM
    for i, match in enumerate(sheet.matches):
        least = around_mm(match, axes, inside) + LEAST_PLOTS_MM
        if not pages and y + least > inside.bottom:
            told, left = _as_many(left, Box(inside.left, y, inside.right, inside.bottom))
            pages.append((*items, *told))
        if pages:
            items, y = slim_head(sheet, inside, len(pages) + 1)
        told, bottom = (), inside.bottom
        if i == len(sheet.matches) - 1:
            told, left, bottom = _told(left, inside, y + least + _GAP_MM)
        block = match_block(match, axes, layers, Box(inside.left, y, inside.right, bottom))
        pages.append((*items, block, *told))
    while left:
        items, y = slim_head(sheet, inside, len(pages) + 1)
        told, left = _as_many(left, Box(inside.left, y, inside.right, inside.bottom))
        pages.append((*items, *told))
    return tuple(_scene(sheet, items, i, room) for i, items in enumerate(pages))


def _told(lines: list[str], room: Box, least_top: float) -> tuple[tuple[Item, ...], list[str], float]:
    """Write as many lines as fit at the foot of a room; return them, what is left, and where they begin."""
    for count in range(len(lines), 0, -1):
        _, end = rests_on(lines[:count], Box(room.left, 0, room.right, 0))
        if room.bottom - end >= least_top:
            items, _ = rests_on(lines[:count], Box(room.left, room.bottom - end, room.right, 0))
            return items, lines[count:], room.bottom - end - _GAP_MM
    return (), lines, room.bottom


def _as_many(lines: list[str], room: Box) -> tuple[tuple[Item, ...], list[str]]:
    """Write as many lines as a page holds, one at least where there are any."""
    if not lines:
        return (), lines
    for count in range(len(lines), 1, -1):
        items, end = rests_on(lines[:count], Box(room.left, room.top, room.right, 0))
        if end <= room.bottom:
            return items, lines[count:]
    return rests_on(lines[:1], Box(room.left, room.top, room.right, 0))[0], lines[1:]


def _scene(sheet: SagSheet, items: tuple[Item, ...], number: int, room: PrintRoom) -> Scene:
    name, title, about = described(sheet)
    name = f"{name}-{number + 1}" if number else name
    ground = Rect(0, 0, room.width_mm, room.height_mm, fill=WHITE)
    return Scene(name, title, about, room.width_mm, room.height_mm, (ground, *items))
