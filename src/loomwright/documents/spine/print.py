"""The Spine for a packet of printed pages: the head on the first one, and the rows on as many as they need.

The bar runs on from page to page, and each page names the bars that run through it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from loomwright.documents.label import label
from loomwright.documents.look import INK, NAME_MM, SMALL_MM, WHITE
from loomwright.documents.scene import Anchor, Box, Group, Item, Rect, Scene
from loomwright.documents.scene_move import moved
from loomwright.documents.spine.columns import EDGE_MM, INDENT_MM, Columns, columns, levels, with_room
from loomwright.documents.spine.drawing import described
from loomwright.documents.spine.head import block_box, chain, head_mm, panel
from loomwright.documents.spine.rows import (
    BAR_MM,
    GROUP_MM,
    HEAD_MM,
    LINK_MM,
    SUB_BAR_MM,
    heads,
    kind_of,
    link,
    row,
    row_mm,
    told_rows,
)
from loomwright.documents.spine.sheet import SpineBlock, SpineBranch, SpineSheet
from loomwright.documents.type import Face, clean

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.documents.print_room import PrintRoom

_INSIDE_MM: Final = 2.2  # keeps thick lines and the accents of a large title within the room
_TITLE_MM: Final = 8.0
_HEADS_MM: Final = 9.0
_GOES_ON_MM: Final = 6.0
_LEAST_WIRE_MM: Final = 50.0
_STATION_MM: Final = 36.0
_UNDER: Final = "Spine: the power path, page by page"


@dataclass(frozen=True, slots=True)
class _Entry:
    """One row to come: a branch on its bar, at its columns, with the gap above it [mm] and the bars it hangs in."""

    block: SpineBlock
    branch: SpineBranch
    at: Columns
    gap_mm: float
    begins: bool
    bars: tuple[str, ...]


@dataclass(slots=True)
class _Page:
    """A page as it fills: what stands above its rows, where they begin, and where each one has its middle."""

    head: tuple[Item, ...]
    top: float
    bottom: float
    rows: list[tuple[_Entry, float]]


def print_spine(sheet: SpineSheet, room: PrintRoom) -> tuple[Scene, ...]:
    """Draw a sheet on pages of a room that lies; each scene is as large as the room.

    Bars in more levels than a page has room for make it wider; a chain of many stations makes the first page taller.
    """
    at = _columns(sheet, room)
    bottom = room.height_mm + EDGE_MM - 2 * _INSIDE_MM
    pages: list[_Page] = []
    for root in sheet.roots:
        entries = list(_entries(sheet, root, at, ()))
        pages.append(_first(sheet, at, root, bottom) if not pages else _feed(sheet, at, root, bottom))
        _fill(sheet, at, entries, pages, bottom)
    if not pages:
        pages.append(_Page((*chain(sheet, at, head_mm(sheet)), *panel(sheet, at, head_mm(sheet))), bottom, bottom, []))
    return tuple(_scene(sheet, at, pages, number, room) for number in range(len(pages)))


def _columns(sheet: SpineSheet, room: PrintRoom) -> Columns:
    """Return the columns that fill the width of a room, with room enough for the wires of the deepest level."""
    natural = columns(sheet)
    plain = Columns(EDGE_MM, 0.0)
    deepest = Columns(EDGE_MM + (levels(sheet) - 1) * INDENT_MM, 0.0)
    shift = room.width_mm + EDGE_MM - 2 * _INSIDE_MM - plain.drop_end
    needed = _LEAST_WIRE_MM - (deepest.end_b - deepest.end_a)
    return with_room(sheet, Columns(EDGE_MM, min(max(shift, needed), max(natural.shift, shift))))


# ------------------------------------------------------------------ what comes where


def _entries(sheet: SpineSheet, block: SpineBlock, at: Columns, bars: tuple[str, ...]) -> Iterator[_Entry]:
    """Give the rows of a bar from the top down, those of a bar that one of them feeds right below that one."""
    kind = ""
    gap = 0.0
    here = (*bars, block.id)
    for i, branch in enumerate(told_rows(block.branches)):
        gap += GROUP_MM if kind and kind_of(branch) != kind else 0.0
        kind = kind_of(branch)
        yield _Entry(block, branch, at, gap if i else LINK_MM if bars else 0.0, begins=i == 0, bars=here)
        gap = 0.0
        if branch.feeds:
            yield from _entries(sheet, sheet.block(branch.feeds), at.below(), here)
            gap = GROUP_MM


def _fill(sheet: SpineSheet, at: Columns, entries: Sequence[_Entry], pages: list[_Page], bottom: float) -> None:
    """Put rows on the last page and on new ones; a row that feeds a bar stays with that bar's first row."""
    y = pages[-1].top
    for i, entry in enumerate(entries):
        tall = row_mm(entry.branch)
        after = entries[i + 1] if entry.branch.feeds and i + 1 < len(entries) else None
        needed = tall + (after.gap_mm + row_mm(after.branch) if after is not None else 0.0)
        last = i == len(entries) - 1
        if pages[-1].rows and y + entry.gap_mm + needed > pages[-1].bottom - (0.0 if last else _GOES_ON_MM):
            pages[-1].bottom = max(pages[-1].bottom, y + _GOES_ON_MM)
            pages.append(_next(sheet, at, entry, bottom))
            y = pages[-1].top - entry.gap_mm
        y += entry.gap_mm
        pages[-1].rows.append((entry, y + tall / 2))
        y += tall
    pages[-1].bottom = max(pages[-1].bottom, y)


def _first(sheet: SpineSheet, at: Columns, root: SpineBlock, bottom: float) -> _Page:
    """Begin the first page: the way from the battery to the block, and what to know before anything else."""
    top = head_mm(sheet)
    head = (
        Group(chain(sheet, at, top), "source", "", "From the battery to the block"),
        *panel(sheet, at, top, _UNDER),
        *_bar_head(root, at, top),
    )
    return _Page(head, top + HEAD_MM + _HEADS_MM, bottom, [])


def _feed(sheet: SpineSheet, at: Columns, root: SpineBlock, bottom: float) -> _Page:
    """Begin the page of a further block with the stations that it hangs on, as on the first page."""
    stations = sheet.stations
    both = [i for i, station in enumerate(stations) if station.both][-1:]
    kept = sorted({*both, *([len(stations) - 1] if stations else [])})
    below = _under(sheet, root)
    part = replace(sheet, stations=tuple(stations[i] for i in kept), blocks=below)
    top = EDGE_MM + max(len(kept), 1) * _STATION_MM
    words = f"Spine of {clean(sheet.robot)}, continued: {clean(root.title)}"
    title = Box(at.left + 70, EDGE_MM, at.drop_end, EDGE_MM + 7)
    head = (
        *label(words, title, size_mm=NAME_MM, face=Face.BOLD, narrow=True),
        Group(chain(part, at, top), "source", root.id, f"From the battery to {clean(root.title)}"),
        *_bar_head(root, at, top),
    )
    return _Page(head, top + HEAD_MM + _HEADS_MM, bottom, [])


def _under(sheet: SpineSheet, block: SpineBlock) -> tuple[SpineBlock, ...]:
    found = [block]
    for other in found:
        found += [sheet.block(branch.feeds) for branch in other.branches if branch.feeds]
    return tuple(found)


def _bar_head(root: SpineBlock, at: Columns, top: float) -> tuple[Item, ...]:
    """Draw a block's box with the heads of its rows and the neck of its bar."""
    neck = Rect(at.axis - BAR_MM / 2, top + HEAD_MM, BAR_MM, _HEADS_MM, fill=INK)
    return (neck, *block_box(root, at, top), *heads(at, top + HEAD_MM + 7))


def _next(sheet: SpineSheet, at: Columns, entry: _Entry, bottom: float) -> _Page:
    """Begin a page on which bars run on: it names them."""
    bars = " · ".join(clean(sheet.block(name).title) for name in entry.bars)
    words = f"Spine of {clean(sheet.robot)}, continued: {bars}"
    title = Box(at.left, EDGE_MM, at.drop_end, EDGE_MM + 7)
    head = (
        *label(words, title, size_mm=NAME_MM, face=Face.BOLD, narrow=True),
        *heads(at, EDGE_MM + _TITLE_MM + 7),
    )
    return _Page(head, EDGE_MM + _TITLE_MM + _HEADS_MM, bottom, [])


# ------------------------------------------------------------------ how it is drawn


def _scene(sheet: SpineSheet, at: Columns, pages: Sequence[_Page], number: int, room: PrintRoom) -> Scene:
    page = pages[number]
    bars = [bar for name in _on(pages, number) for bar in _bar(pages, number, name)]
    rows: list[Item] = []
    for entry, y in page.rows:
        rows += _hung(page, entry, y) if entry.begins and len(entry.bars) > 1 else ()
        rows.append(row(entry.block, entry.branch, entry.at, y))
    words = _goes_on(at, page.bottom) if _runs_on(pages, number) else ()
    out = _INSIDE_MM - EDGE_MM
    width = max(room.width_mm, round(at.drop_end + EDGE_MM + 2 * out, 3))
    height = max(room.height_mm, round(page.bottom + EDGE_MM + 2 * out, 3))
    shown = moved((*page.head, *bars, *rows, *words), out, out)
    name, about, said = described(sheet)
    name = f"{name}-{number + 1}" if number else name
    return Scene(name, about, said, width, height, (Rect(0, 0, width, height, fill=WHITE), *shown))


def _on(pages: Sequence[_Page], number: int) -> list[str]:
    """Return the bars that are on a page, or run through it, the outer ones first."""
    named = dict.fromkeys(bar for page in pages for entry, _ in page.rows for bar in entry.bars)
    return [name for name in named if _reach(pages, name)[0] <= number <= _reach(pages, name)[1]]


def _reach(pages: Sequence[_Page], name: str) -> tuple[int, int]:
    """Return the first and the last page that has a row of a bar."""
    held = [i for i, page in enumerate(pages) if any(entry.block.id == name for entry, _ in page.rows)]
    return held[0], held[-1]


def _bar(pages: Sequence[_Page], number: int, name: str) -> tuple[Item, ...]:
    """Draw what of a bar is on a page: from its first row or the head on, to its last row or the foot."""
    page = pages[number]
    first, last = _reach(pages, name)
    at = next(e.at for p in pages for e, _ in p.rows if e.block.id == name)
    mine = [(entry, y) for entry, y in page.rows if entry.block.id == name]
    nested = any(len(entry.bars) > 1 and entry.block.id == name for p in pages for entry, _ in p.rows)
    wide = SUB_BAR_MM if nested else BAR_MM
    begins = mine[0][1] - row_mm(mine[0][0].branch) / 2 - 2 if number == first and mine else page.top - 2
    ends = page.bottom if number < last else mine[-1][1]
    return (Group((Rect(at.axis - wide / 2, begins, wide, ends - begins, fill=INK),), "block", name),)


def _hung(page: _Page, entry: _Entry, y: float) -> tuple[Item, ...]:
    """Draw how a bar hangs on the row that feeds it, right above."""
    parent = next((at_y for other, at_y in reversed(page.rows) if other.branch.feeds == entry.block.id), None)
    if parent is None:
        return ()
    begins = y - row_mm(entry.branch) / 2
    return (link(entry.at, parent + 5.5, begins - LINK_MM / 2 - 0.4, begins),)


def _runs_on(pages: Sequence[_Page], number: int) -> bool:
    return any(_reach(pages, name)[1] > number for name in _on(pages, number))


def _goes_on(at: Columns, bottom: float) -> tuple[Item, ...]:
    """Say at the foot that the bar goes on."""
    room = Box(at.guard, bottom - 5, at.drop_end, bottom)
    return label("continued on the next page", room, size_mm=SMALL_MM, anchor=Anchor.END, baseline_mm=bottom - 1.2)
