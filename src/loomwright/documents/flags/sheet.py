"""Flags on pages: one scene a page, of the page's size, with what a person who prints and cuts them has to know."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from loomwright.documents.every_sheet import LAST_WORD
from loomwright.documents.flags.code import LARGEST_MM, code
from loomwright.documents.flags.face import flag_group
from loomwright.documents.flags.fold import UNPRINTED_MM, fold
from loomwright.documents.flags.rows import Flag
from loomwright.documents.flags.stock import LabelStock
from loomwright.documents.label import label
from loomwright.documents.look import INK, SMALL_MM
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Rect, Scene, Stroke
from loomwright.documents.tables.cells import UNKNOWN
from loomwright.documents.type import Face, clean, shorten, width_mm

_CUT: Final = Stroke(INK, 0.15)
_MARK: Final = Stroke(INK, 0.3)
_MARK_MM: Final = 3.9
_OFF_MM: Final = 1.0
_BAR_MM: Final = 50.0
#: Between the labels and the edge that printers reach; a margin with less than this stays blank.
_LINE_MM: Final = 3.6
_HEAD_MM: Final = 3.0
_LONGEST_NAME_MM: Final = 60.0
_CUT_IT: Final = "Cut on the lines, cover with clear tape."
_HOW: Final = (
    "Fold around the wire on the dashed line. Flag and heat-shrink go on before the second end is made. "
    "A new end gets a new flag."
)
_TIE_IT: Final = "Circle: too thick to wrap, so punch and tie."
_NONE: Final = "no wire of this plan needs a flag"
_SCALE: Final = "this box is 50 mm long: print at 100 %"


@dataclass(frozen=True, slots=True, kw_only=True)
class Print:
    """What a page says about itself: robot, build and plan."""

    robot: str
    build: str
    revision: str


def flag_pages(
    held: Sequence[Flag], *, stock: LabelStock, about: Print, start: int = 1, shapes: bool = True
) -> tuple[Scene, ...]:
    """Lay flags on pages of labels, the first one on label `start` of the first page.

    Without `shapes` each code is a white square, for a writer that puts the code there in its own way.

    Raises
    ------
    ValueError
        For a start that the page does not have, or labels that are too small for a flag.
    """
    stock.label(start)
    places = [divmod(start - 1 + i, stock.labels) for i in range(len(held))]
    pages = places[-1][0] + 1 if places else 1
    return tuple(
        _page(
            [(place + 1, flag) for (on, place), flag in zip(places, held, strict=True) if on == page],
            stock,
            about,
            page_of=f"page {page + 1} of {pages}",
            shapes=shapes,
        )
        for page in range(pages)
    )


def _page(held: list[tuple[int, Flag]], stock: LabelStock, about: Print, *, page_of: str, shapes: bool) -> Scene:
    used = [stock.label(place) for place, _ in held]
    flags = [_flag(flag, box, stock, shapes=shapes) for (_, flag), box in zip(held, used, strict=True)]
    tied = any(group.about == "tied on" for flag in flags for group in flag.items if isinstance(group, Group))
    ends = f"ends of wires {held[0][1].id} to {held[-1][1].id}, two for each wire" if held else _NONE
    return Scene(
        f"flags {page_of}",
        f"Flags of {clean(about.robot)}, {page_of}",
        f"Flags: {ends}.",
        stock.page_width_mm,
        stock.page_height_mm,
        (
            *(_cuts(used, stock) if stock.cut else ()),
            *flags,
            *(() if held else label(_NONE, stock.grid, size_mm=SMALL_MM)),
            *_head(stock, tied=tied),
            *_foot(stock, about, page_of),
        ),
    )


def _flag(flag: Flag, box: Box, stock: LabelStock, *, shapes: bool) -> Group:
    """Lay out one flag; wires of one thickness are folded alike, whatever the size of their codes."""
    parts = fold(box, stock.paper, outside_mm=flag.outside_mm, code_mm=LARGEST_MM)
    return flag_group(flag, code(flag.code), parts, box, shapes=shapes)


def _cuts(used: list[Box], stock: LabelStock) -> tuple[Item, ...]:
    """Draw lines around the flags, each once, and marks in the margins for a long cutter."""
    upright = {(x, box.top, box.bottom) for box in used for x in (box.left, box.right)}
    level = {(y, box.left, box.right) for box in used for y in (box.top, box.bottom)}
    grid = stock.grid
    lines = [Line((x, top), (x, bottom), _CUT) for x, top, bottom in sorted(upright)]
    lines += [Line((left, y), (right, y), _CUT) for y, left, right in sorted(level)]
    for x in sorted({x for x, _, _ in upright}):
        for edge, way in ((grid.top, -1), (grid.bottom, 1)):
            lines.append(Line((x, edge + way * _OFF_MM), (x, edge + way * (_OFF_MM + _MARK_MM)), _MARK))
    side = min(_MARK_MM, grid.left - _OFF_MM - UNPRINTED_MM)
    for y in sorted({y for y, _, _ in level}):
        for edge, way in ((grid.left, -1), (grid.right, 1)):
            lines.append(Line((edge + way * _OFF_MM, y), (edge + way * (_OFF_MM + side), y), _MARK))
    return (Group(tuple(lines), "cuts"),)


def _head(stock: LabelStock, *, tied: bool) -> tuple[Item, ...]:
    """Say how a flag is used, and give a box to hold a ruler against."""
    page, top = stock.paper.grown(-UNPRINTED_MM), UNPRINTED_MM
    if stock.grid.top - top < _LINE_MM:
        return ()
    bar = Box(page.right - _BAR_MM, top + 0.1, page.right, top + _LINE_MM - 0.2)
    left = max(page.left, stock.grid.left)
    room = Box(left, top, bar.left - 3, top + _LINE_MM)
    how = " ".join((*((_CUT_IT,) if stock.cut else ()), _HOW, *((_TIE_IT,) if tied else ())))
    return (
        Group(label(how, room, size_mm=_HEAD_MM, face=Face.TAG, least_mm=2.4), "how to"),
        Group(
            (
                Rect(bar.left, bar.top, bar.width, bar.height, stroke=Stroke(INK, 0.2)),
                *label(_SCALE, bar.grown(-0.15), size_mm=2.6, face=Face.TAG, anchor=Anchor.MIDDLE),
            ),
            "scale",
        ),
    )


def _foot(stock: LabelStock, about: Print, page_of: str) -> tuple[Item, ...]:
    """Say which robot and plan, which page, and which source wins."""
    page, bottom = stock.paper.grown(-UNPRINTED_MM), stock.page_height_mm - UNPRINTED_MM
    if bottom - stock.grid.bottom < _LINE_MM:
        return ()
    left, right = max(page.left, stock.grid.left), min(page.right, stock.grid.right)
    split = right - width_mm(LAST_WORD, Face.TAG, SMALL_MM) - 0.5
    names = " · ".join(each for each in (clean(about.robot), clean(about.build)) if each)
    told = f" · plan {about.revision or UNKNOWN} · flags, {page_of} · {stock.name}"
    fixed = split - 3 - width_mm(told, Face.TAG, SMALL_MM)
    who = shorten(names, Face.TAG, SMALL_MM, min(_LONGEST_NAME_MM, fixed - left)) + told
    top = bottom - _LINE_MM
    return (
        Group(
            (
                *label(who, Box(left, top, split - 2, bottom), size_mm=SMALL_MM, face=Face.TAG),
                *label(LAST_WORD, Box(split, top, right, bottom), size_mm=SMALL_MM, face=Face.TAG, anchor=Anchor.END),
            ),
            "footer",
        ),
    )
