"""The printed page: how far a sheet is shrunk to its width, and where pages end so that small groups stay whole."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from itertools import groupby
from typing import Final

#: A4 across, in the number that office programs know it by, and the margins that we ask for [in].
A4: Final = 9
SIDE_IN: Final = 0.25
TOP_IN: Final = 0.4
FOOT_IN: Final = 0.6

_PT_AN_INCH: Final = 72
_WIDE_PT: Final = (297 / 25.4 - 2 * SIDE_IN) * _PT_AN_INCH
_HIGH_PT: Final = (210 / 25.4 - TOP_IN - FOOT_IN) * _PT_AN_INCH
#: Printers and programs differ a little in how much fits on a page.
_SURELY: Final = 0.985
#: A group that is higher than this share of a page may be torn.
_SMALL: Final = 0.15


def shrunk(wide_pt: float) -> float:
    """Give the factor by which a sheet of this width [pt] is shrunk to one page; it is never blown up."""
    return min(1.0, _WIDE_PT / wide_pt)


def room_pt(wide_pt: float) -> float:
    """Give the height [pt, before shrinking] of what surely fits on a page of a sheet of this width."""
    return _SURELY * _HIGH_PT / shrunk(wide_pt)


def page_ends(heights: Sequence[float], groups: Sequence[Hashable], *, first: float, later: float) -> tuple[int, ...]:
    """Give the rows before which a page has to end; elsewhere it ends when it is full.

    `heights` are those of the rows, `groups` tells which rows belong together, `first` and `later` are the room for
    rows on the first page and on each other one, all in one unit.
    """
    ends: list[int] = []
    room = first
    for _, members in groupby(range(len(heights)), key=lambda row: groups[row]):
        rows = list(members)
        high = sum(heights[row] for row in rows)
        if len(rows) > 1 and room < high <= later * _SMALL:
            ends.append(rows[0])
            room = later - high
            continue
        for row in rows:
            room = (room if heights[row] <= room else later) - heights[row]
    return tuple(ends)
