"""Which paper and which scale: the largest drawing that fits an A4 or A3 sheet together with what is said beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from loomwright.documents.plate.blocks import GAP_MM, Block, new_column
from loomwright.documents.plate.frame import SCALES, Extent, Frame
from loomwright.documents.plate.rulers import FRONT_MM, RULER_MM
from loomwright.documents.scene import Box, Item

EDGE_MM = 9.0
FOOTER_MM = 8.0

_HEAD_MM = FRONT_MM + 1.0  # above a panel: the word FRONT and, for an upper plate, its name
_PANEL_GAP_MM = 6.0
_LEAST_COLUMN_MM = 72.0
_WIDEST_COLUMN_MM = 170.0
_LEAST_BELOW_MM = 40.0
_GUTTER_MM = 7.0
_GIVE_WAY = 3
_LARGE = 3.0
_LONGER_MM = 30.0
_SLACK_MM = 0.01


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper [mm]."""

    name: str
    width_mm: float
    height_mm: float


PAPERS = (
    Paper("A4", 297.0, 210.0),
    Paper("A4", 210.0, 297.0),
    Paper("A3", 420.0, 297.0),
    Paper("A3", 297.0, 420.0),
)


@dataclass(frozen=True, slots=True)
class Page:
    """How a sheet is laid out: paper, scale, a frame for each panel, and columns for what is said beside them."""

    paper: Paper
    scale: float
    frames: Mapping[int, Frame]
    columns: tuple[Box, ...]


def choose(extents: Sequence[Extent], say: Callable[[float, str], Sequence[Block]]) -> Page:
    """Return the page with the largest drawing: on A4 where 1:3 or more fits on it, else on A3.

    The drawing gives way to the words beside it by two scales and no more; then the sheet gets longer instead.
    """
    small = [page for scale in SCALES if scale <= _LARGE for page in pages(extents, scale) if page.paper.name == "A4"]
    for page in small:
        if flow(say(page.scale, page.paper.name), page.columns) is not None:
            return page
    fitting = [scale for scale in SCALES if next(pages(extents, scale), None) is not None]
    for scale in fitting[:_GIVE_WAY]:
        for page in pages(extents, scale):
            if flow(say(scale, page.paper.name), page.columns) is not None:
                return page
    page = list(pages(extents, fitting[0]))[-1]
    return _longer(page, say(page.scale, page.paper.name))


def _longer(page: Page, blocks: Sequence[Block]) -> Page:
    """Return a page with a longer sheet, so that all blocks find room in its columns."""
    height = page.paper.height_mm
    while flow(blocks, page.columns) is None:
        height += _LONGER_MM
        columns = tuple(Box(c.left, c.top, c.right, height - EDGE_MM - FOOTER_MM) for c in page.columns)
        page = replace(page, paper=replace(page.paper, height_mm=height), columns=columns)
    return page


def flow(blocks: Sequence[Block], columns: Sequence[Box]) -> tuple[Item, ...] | None:
    """Let blocks flow through columns, with the breaks that they ask for if that fits; None where they don't fit."""
    found = _flow(blocks, columns, breaks=True)
    return _flow(blocks, columns, breaks=False) if found is None else found


def _flow(blocks: Sequence[Block], columns: Sequence[Box], *, breaks: bool) -> tuple[Item, ...] | None:
    items, left = fill(blocks, columns, breaks=breaks)
    return None if left else items


def fill(
    blocks: Sequence[Block], columns: Sequence[Box], *, breaks: bool = False
) -> tuple[tuple[Item, ...], tuple[Block, ...]]:
    """Let blocks flow through columns until one does not fit any more; return what is drawn and the blocks left."""
    items: list[Item] = []
    free = list(columns)
    column = free.pop(0)
    y = column.top
    for i, block in enumerate(blocks):
        drawn, end = block(Box(column.left, y, column.right, column.bottom))
        while end > column.bottom + _SLACK_MM or (breaks and block is new_column and y > column.top):
            if not free:
                return tuple(items), tuple(blocks[i:])
            column = free.pop(0)
            y = column.top
            drawn, end = block(Box(column.left, y, column.right, column.bottom))
        items += drawn
        y = end if drawn or y > column.top else y  # a gap at the head of a column is no gap
    return tuple(items), ()


def pages(extents: Sequence[Extent], scale: float, papers: Sequence[Paper] = PAPERS) -> Iterator[Page]:
    """Give the ways to lay panels of a scale out on a sheet, in the order of the papers."""
    sizes = [(extent.width_m * 1000 / scale, extent.depth_m * 1000 / scale) for extent in extents]
    for paper in papers:
        for upright in (False, True) if len(extents) > 1 else (False,):
            boxes, wide, tall = _panels(sizes, upright=upright)
            for columns in (*_right_of(paper, wide, tall), *_below(paper, wide, tall)):
                yield Page(paper, scale, _frames(scale, boxes, extents), columns)
        if len(extents) > 1:
            for boxes, columns in _cornered(paper, sizes):
                yield Page(paper, scale, _frames(scale, boxes, extents), columns)


def _frames(scale: float, boxes: Sequence[Box], extents: Sequence[Extent]) -> dict[int, Frame]:
    return {i: Frame(scale, box, extents[i]) for i, box in enumerate(boxes)}


def _cornered(paper: Paper, sizes: Sequence[tuple[float, float]]) -> Iterator[tuple[list[Box], tuple[Box, ...]]]:
    """Put the upper panels into the lower right corner, with the columns above them."""
    first, wide, tall = _panels(sizes[:1], upright=False)
    others, others_wide, others_tall = _panels(sizes[1:], upright=True)
    bottom, right = paper.height_mm - EDGE_MM - FOOTER_MM, paper.width_mm - EDGE_MM
    left = wide + _GUTTER_MM
    down = bottom - others_tall
    if tall > bottom or left + others_wide - EDGE_MM > right or down < 0:
        return
    across = left - EDGE_MM
    moved = [Box(b.left + across, b.top + down, b.right + across, b.bottom + down) for b in others]
    top = min(box.top for box in moved) - _HEAD_MM - GAP_MM
    if right - left < _LEAST_COLUMN_MM or top - EDGE_MM < _LEAST_COLUMN_MM:
        return
    for columns in split(Box(left, EDGE_MM, right, top)):
        yield [*first, *moved], columns


def _panels(sizes: Sequence[tuple[float, float]], *, upright: bool) -> tuple[list[Box], float, float]:
    """Put panels beside or below each other from the corner of the page on; return them and the room they take."""
    boxes: list[Box] = []
    x, y = EDGE_MM + RULER_MM, EDGE_MM + _HEAD_MM
    for wide, tall in sizes:
        boxes.append(Box(x, y, x + wide, y + tall))
        if upright:
            y += tall + RULER_MM + _HEAD_MM + _PANEL_GAP_MM
        else:
            x += wide + RULER_MM + _PANEL_GAP_MM
    return boxes, max(box.right for box in boxes), max(box.bottom for box in boxes) + RULER_MM


def _right_of(paper: Paper, wide: float, tall: float) -> Iterator[tuple[Box, ...]]:
    """Give the ways to put columns right of the panels."""
    bottom = paper.height_mm - EDGE_MM - FOOTER_MM
    left, right = wide + _GUTTER_MM, paper.width_mm - EDGE_MM
    if tall <= bottom and right - left >= _LEAST_COLUMN_MM:
        yield from split(Box(left, EDGE_MM, right, bottom))


def _below(paper: Paper, wide: float, tall: float) -> Iterator[tuple[Box, ...]]:
    """Give the ways to put columns below the panels."""
    bottom = paper.height_mm - EDGE_MM - FOOTER_MM
    top = tall + GAP_MM + 1
    if wide <= paper.width_mm - EDGE_MM and bottom - top >= _LEAST_BELOW_MM:
        yield from split(Box(EDGE_MM, top, paper.width_mm - EDGE_MM, bottom))


def split(room: Box) -> Iterator[tuple[Box, ...]]:
    """Give the ways to split a room into columns of a width that is good to read, fewer columns first."""
    for count in range(1, 7):
        wide = (room.width - (count - 1) * _GUTTER_MM) / count
        if _LEAST_COLUMN_MM <= wide <= _WIDEST_COLUMN_MM:
            lefts = [room.left + i * (wide + _GUTTER_MM) for i in range(count)]
            yield tuple(Box(left, room.top, left + wide, room.bottom) for left in lefts)
