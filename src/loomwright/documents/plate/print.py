"""The Plate for a packet of printed pages: the drawing as large as it gets, then what is said of it, page by page."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from loomwright.documents.label import label
from loomwright.documents.look import INK, NAME_MM, RULE_MM, WHITE
from loomwright.documents.plate.blocks import separator
from loomwright.documents.plate.drawing import called, lay_out, said
from loomwright.documents.plate.frame import SCALES, Extent, extent_of
from loomwright.documents.plate.info import caution, scale_block, title
from loomwright.documents.plate.nowhere import nowhere_items
from loomwright.documents.plate.page import EDGE_MM, FOOTER_MM, Page, Paper, fill, flow, pages, split
from loomwright.documents.scene import Box, Item, Line, Rect, Scene, Stroke
from loomwright.documents.scene_move import moved
from loomwright.documents.type import Face, clean

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.documents.plate.blocks import Block
    from loomwright.documents.plate.sheet import PlateSheet
    from loomwright.documents.print_room import PrintRoom

_INSIDE_MM: Final = 2.2  # keeps thick lines and the accents of a large title within the room
_HEAD_MM: Final = 10.0
_STEP_MM: Final = 4.0
_FEW: Final = 6  # blocks: a heading, a gap and a row or two


def print_plate(sheet: PlateSheet, rooms: Sequence[PrintRoom]) -> tuple[Scene, ...]:
    """Draw a sheet on pages of one of these rooms: the one with the largest round scale, the first of equal ones.

    The first page holds the base plate with title, caution and scale bar, and the upper plates too if they fit; else
    they are on the second one. What else is said goes beside and on as many pages as it needs. Every scene is as large
    as the room.
    """
    if not sheet.panels:
        return _nowhere(sheet, rooms[0])
    room, laid = _largest(sheet, rooms)
    frames = {plate: frame for page in laid for plate, frame in page.frames.items()}
    drawing = lay_out(sheet, replace(laid[0], frames=frames))
    panels = dict(zip(frames, drawing.panels, strict=True))
    left: tuple[Block, ...] = tuple(said(sheet, laid[0].scale, room.paper, drawing.homeless))
    scenes: list[Scene] = []
    for page in laid:
        before = left
        items, left = fill(before, page.columns)
        items = _balanced(before, page.columns) if page is not laid[0] and not left else items
        scenes.append(_scene(sheet, room, (*(panels[plate] for plate in page.frames), *items), len(scenes) + 1))
    while left:
        more, left, needed = _more(sheet, room, left)
        scenes.append(_scene(sheet, needed, more, len(scenes) + 1))
    return tuple(scenes)


def _paper(room: PrintRoom) -> Paper:
    """Return a sheet whose edges and foot lie outside the room."""
    around = 2 * (EDGE_MM - _INSIDE_MM)
    return Paper(room.paper, room.width_mm + around, room.height_mm + around + FOOTER_MM)


def _largest(sheet: PlateSheet, rooms: Sequence[PrintRoom]) -> tuple[PrintRoom, tuple[Page, ...]]:
    """Return the room and the pages in it with the largest scale at which the plates and what must be said fit.

    Where a few words would be left for a page of their own, the next scale is taken if nothing is left over at it.
    """
    extents = [extent_of(sheet, plate) for plate in range(len(sheet.panels))]
    for at, scale in enumerate(SCALES):
        found = _at_scale(sheet, rooms, extents, scale)
        if found is None:
            continue
        if 0 < _left(sheet, *found) <= _FEW and at + 1 < len(SCALES):
            smaller = _at_scale(sheet, rooms, extents, SCALES[at + 1])
            return found if smaller is None or _left(sheet, *smaller) else smaller
        return found
    raise ValueError("a plate is larger than any scale can show")


def _at_scale(
    sheet: PlateSheet, rooms: Sequence[PrintRoom], extents: Sequence[Extent], scale: float
) -> tuple[PrintRoom, tuple[Page, ...]] | None:
    """Return the room and the pages at a scale, all plates on one if that fits; of rooms the one with least left."""
    musts = (title(sheet, scale, rooms[0].paper), separator, caution(), separator, scale_block(scale))
    blocks = said(sheet, scale, rooms[0].paper, ())
    whole = [(room, (page,)) for room in rooms if (page := _page(room, extents, scale, musts, blocks))]
    if whole:
        return min(whole, key=lambda found: _left(sheet, *found) > 0)
    for room in rooms if len(extents) > 1 else ():
        first, others = _page(room, extents[:1], scale, musts, blocks), _page(room, extents[1:], scale, (), blocks)
        if first is not None and others is not None:
            above = {plate + 1: frame for plate, frame in others.frames.items()}
            return room, (first, replace(others, frames=above))
    return None


def _left(sheet: PlateSheet, room: PrintRoom, laid: Sequence[Page]) -> int:
    """Count the blocks that do not find room on the pages with drawings."""
    left: Sequence[Block] = said(sheet, laid[0].scale, room.paper, ())
    for page in laid:
        _, left = fill(left, page.columns)
    return len(left)


def _page(
    room: PrintRoom, extents: Sequence[Extent], scale: float, musts: Sequence[Block], blocks: Sequence[Block]
) -> Page | None:
    """Return the page of a scale that leaves least of what is to be said over, or None where the plates do not fit."""
    ways = pages(extents, scale, (_paper(room),))
    fitting = [page for page in ways if flow(musts, page.columns) is not None]
    return min(fitting, key=lambda page: len(fill(blocks, page.columns)[1]), default=None)


def _more(
    sheet: PlateSheet, room: PrintRoom, blocks: Sequence[Block]
) -> tuple[tuple[Item, ...], tuple[Block, ...], PrintRoom]:
    """Draw a page of what is left to say; one block that is taller than a page makes its page taller."""
    paper = _paper(room)
    whole = Box(EDGE_MM, EDGE_MM + _HEAD_MM, paper.width_mm - EDGE_MM, paper.height_mm - EDGE_MM - FOOTER_MM)
    head = _head(sheet, whole)
    columns = next(iter(split(whole)), (whole,))
    items, left = fill(blocks, columns)
    if len(left) == len(blocks):
        drawn, end = blocks[0](whole)
        taller = max(0.0, end - whole.bottom)
        return (*head, *drawn), tuple(blocks[1:]), replace(room, height_mm=room.height_mm + taller)
    if not left:
        items = _balanced(blocks, columns)
    return (*head, *items), left, room


def _head(sheet: PlateSheet, below: Box) -> tuple[Item, ...]:
    """Write above a room whose drawing goes on there."""
    top = below.top - _HEAD_MM
    name = Box(below.left, top, below.right, top + 7)
    words = label(f"Plate of {clean(sheet.robot)}, continued", name, size_mm=NAME_MM, face=Face.BOLD)
    return (*words, Line((below.left, top + 7), (below.right, top + 7), Stroke(INK, RULE_MM)))


def _balanced(blocks: Sequence[Block], columns: Sequence[Box]) -> tuple[Item, ...]:
    """Let blocks flow through columns of one length, as short as all of them fit."""
    bottom, top = columns[0].bottom, columns[0].top
    while bottom - _STEP_MM > top:
        shorter = [replace(column, bottom=bottom - _STEP_MM) for column in columns]
        if fill(blocks, shorter)[1]:
            break
        bottom -= _STEP_MM
    return fill(blocks, [replace(column, bottom=bottom) for column in columns])[0]


def _scene(sheet: PlateSheet, room: PrintRoom, items: Sequence[Item], number: int) -> Scene:
    inside = moved(items, _INSIDE_MM - EDGE_MM, _INSIDE_MM - EDGE_MM)
    name, about, shown = called(sheet)
    ground = Rect(0, 0, room.width_mm, room.height_mm, fill=WHITE)
    name = name if number == 1 else f"{name}-{number}"
    return Scene(name, about, shown, room.width_mm, room.height_mm, (ground, *inside))


def _nowhere(sheet: PlateSheet, room: PrintRoom) -> tuple[Scene, ...]:
    """Say on a page that no places are known."""
    items, end = nowhere_items(sheet, _paper(room))
    room = replace(room, height_mm=max(room.height_mm, end - EDGE_MM + 2 * _INSIDE_MM))
    return (_scene(sheet, room, items, 1),)
