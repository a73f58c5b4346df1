"""The end of a chain: a resistor across high and low, with its ohms and how it is there."""

from __future__ import annotations

from loomwright.documents.data_wiring.sheet import DataTerminator, Ending
from loomwright.documents.label import label
from loomwright.documents.look import INK, LINE_MM, RULE_MM, SMALL_MM, WHITE
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Rect, Stroke
from loomwright.documents.spine.margin import marked
from loomwright.documents.type import Face, clean

_ROOM_MM = 17.0
_ARM_MM = 7.0
_BODY_MM = 3.2
_HIGH_MM, _LOW_MM = 4.9, 10.1


def terminator(end: DataTerminator, box: Box, *, to_left: bool) -> tuple[Item, ...]:
    """Draw a terminator beside the first device of a chain (`to_left`) or its last one."""
    way = -1 if to_left else 1
    edge = box.left if to_left else box.right
    x = edge + way * _ARM_MM
    left, right = sorted((edge, edge + way * _ROOM_MM))
    room = Box(left + 0.5, box.top - 3, right - 0.5, box.bottom + 6)
    high, low = box.top + _HIGH_MM, box.top + _LOW_MM
    fitted = end.state is Ending.FITTED
    dash = () if fitted else (1.0, 0.8)
    items: list[Item] = [Line((edge, y), (x, y), Stroke(INK, LINE_MM, dash)) for y in (high, low)]
    items.append(Rect(x - _BODY_MM / 2, high - 1.2, _BODY_MM, low - high + 2.4, 0.4, Stroke(INK, RULE_MM, dash), WHITE))
    items += label("TERMINATOR", room, size_mm=SMALL_MM, face=Face.TAG, anchor=Anchor.MIDDLE, baseline_mm=box.top + 1.6)
    first, second = _words(end)
    shown = label(first, room, size_mm=SMALL_MM, face=Face.BOLD, anchor=Anchor.MIDDLE, baseline_mm=box.top + 15.2)
    items += marked(shown) if end.state is Ending.MISSING else shown
    items += label(second, room, size_mm=SMALL_MM, anchor=Anchor.MIDDLE, baseline_mm=box.top + 19.4, narrow=True)
    about = "start" if to_left else "end"
    return (Group(tuple(items), "terminator", about, clean(f"Terminator at the {about}: {first}, {second}")),)


def _words(end: DataTerminator) -> tuple[str, str]:
    """Return the two lines below a terminator."""
    if end.state is Ending.MISSING:
        return "none", clean(end.how)
    if end.state is Ending.ASKED:
        return "not told", clean(end.how)
    return clean(end.ohms) or "ohms?", clean(end.how)
