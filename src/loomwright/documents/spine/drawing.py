"""The Spine: the whole power path on one sheet, battery to loads, one row a branch.

The page is 297 mm wide, as A4 lies and A3 stands, and as tall as its rows need, 210 mm at least: a bench trainer fills
about an A4 sheet, a competition robot about an A3 sheet. A longer drawing gets a longer page, to be scaled when it is
printed, since cutting the page would cut the one line that it shows. Only more than three levels of bars make it wider.
"""

from __future__ import annotations

import math

from loomwright.documents.look import INK, WHITE
from loomwright.documents.scene import Group, Item, Rect, Scene
from loomwright.documents.spine.columns import EDGE_MM, columns
from loomwright.documents.spine.head import SECOND_FEED_MM, block_box, chain, footer, head_mm, panel, second_feed
from loomwright.documents.spine.rows import BAR_MM, HEAD_MM, bar_of, heads
from loomwright.documents.spine.sheet import SpineSheet
from loomwright.documents.type import clean

_LEAST_HEIGHT_MM = 210.0
_FOOTER_MM = 12.0


def draw(sheet: SpineSheet) -> Scene:
    """Draw the sheet as a scene."""
    at = columns(sheet)
    top = head_mm(sheet)
    items: list[Item] = [Group(chain(sheet, at, top), "source", "", "From the battery to the block")]
    items += panel(sheet, at, top)
    y = top
    for i, block in enumerate(sheet.roots):
        if i:
            y += SECOND_FEED_MM
            items += second_feed(sheet, block, at, y)
        items += block_box(block, at, y)
        items += heads(at, y + HEAD_MM + 7)
        drawn, end = bar_of(sheet, block, at, y + HEAD_MM + 9)
        neck = Rect(at.axis - BAR_MM / 2, y + HEAD_MM, BAR_MM, 8, fill=INK)
        items += [neck, *drawn]
        y = end + 4
    height = math.ceil(max(y + _FOOTER_MM + 4, _LEAST_HEIGHT_MM))
    items += footer(sheet, at, height - _FOOTER_MM)
    width = at.drop_end + EDGE_MM
    ground = Rect(0, 0, width, height, fill=WHITE)
    return Scene(*described(sheet), width, height, (ground, *items))


def described(sheet: SpineSheet) -> tuple[str, str, str]:
    """Return the name of the drawing in files, its title and what it shows."""
    return "spine", f"Spine of {clean(sheet.robot)}", _description(sheet)


def _description(sheet: SpineSheet) -> str:
    """Say in two sentences what a person who can't see the drawing would want to know first."""
    branches = [branch for branch in sheet.branches() if not branch.free]
    way = ", ".join(clean(station.title) for station in sheet.stations)
    return f"The power path from {way or 'an unnamed source'} to {len(branches)} branches. Each row is one branch."
