"""The Sag: the matches of a study below each other on one sheet, each as large as a page that lies.

Two matches make 297 x 420 mm, as A3 stands; what the verdict rests on stands below them. Below each other, not side by
side: time gets the whole width, and on a phone the words are twice as large.
"""

from __future__ import annotations

import math
from typing import Final

from loomwright.documents.look import WHITE
from loomwright.documents.sag.axes import axes_of
from loomwright.documents.sag.head import FOOTER_MM, footer, head, rests_on
from loomwright.documents.sag.layers import layers_of
from loomwright.documents.sag.match_block import LEAST_PLOTS_MM, around_mm, match_block
from loomwright.documents.sag.sheet import SagSheet
from loomwright.documents.scene import Box, Group, Item, Rect, Scene
from loomwright.documents.svg import write
from loomwright.documents.type import clean

_WIDE_MM: Final = 297.0
_TALL_MM: Final = 210.0
_EDGE_MM: Final = 10.0
_GAP_MM: Final = 7.0


def sag_svg(sheet: SagSheet) -> bytes:
    """Draw the sheet as SVG."""
    return write(draw(sheet)).encode("utf-8")


def draw(sheet: SagSheet) -> Scene:
    """Draw the sheet as a scene."""
    axes, layers = axes_of(sheet), layers_of(sheet)
    room = Box(_EDGE_MM, _EDGE_MM, _WIDE_MM - _EDGE_MM, 0)
    top, y = head(sheet, room)
    y += _GAP_MM
    count = len(sheet.matches)
    spare = _TALL_MM * count - y - count * _GAP_MM - FOOTER_MM - _EDGE_MM / 2
    around = [around_mm(match, axes, room) for match in sheet.matches]
    plots = max((spare - sum(around)) / count, LEAST_PLOTS_MM)
    items: list[Item] = [*top]
    for match, rest in zip(sheet.matches, around, strict=True):
        tall = plots + rest
        items.append(match_block(match, axes, layers, Box(room.left, y, room.right, y + tall)))
        y += tall + _GAP_MM
    lines = [line for line in sheet.rests_on if clean(line)]
    if lines:
        told, y = rests_on(lines, Box(room.left, y, room.right, 0))
        items.append(Group(told, "rests-on"))
        y += _GAP_MM
    height = math.ceil(y + FOOTER_MM + _EDGE_MM / 2 - 1e-6)
    items += footer(sheet, Box(room.left, 0, room.right, height - _EDGE_MM / 2))
    ground = Rect(0, 0, _WIDE_MM, height, fill=WHITE)
    return Scene(*described(sheet), _WIDE_MM, height, (ground, *items))


def described(sheet: SagSheet) -> tuple[str, str, str]:
    """Return the name of the drawing in files, its title and what it shows."""
    told = [clean(sheet.headline)] if clean(sheet.headline) else []
    for match in sheet.matches:
        time, volt = match.trace.lowest
        told.append(f"{clean(match.title) or 'match'}: lowest {volt:.2f} V at {time:.1f} s")
    return "sag", f"Sag of {clean(sheet.robot) or 'robot?'}", f"{'. '.join(told)}."
