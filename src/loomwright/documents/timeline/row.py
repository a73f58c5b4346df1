"""One row of the timeline: words above, strips below; beside it the label of its battery or charger."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from loomwright.documents.look import INK, WHITE
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Rect, Text
from loomwright.documents.timeline.ink import BEGINS, DOTS, EDGE, FAST, GENTLE, RAIL, ROBOT, WORD_MM
from loomwright.documents.timeline.strips import Kind, Row, Strip
from loomwright.documents.timeline.window import Window
from loomwright.documents.type import Face, cap_mm, clean, ink_mm, shorten

#: Rows are never lower and never higher than this [mm].
LOWEST_MM: Final = 6.2
HIGHEST_MM: Final = 15.0
_WORDS: Final = 0.5  # of a row's height is for type
_STRIP_MM: Final = 5.0
_ABOVE_MM: Final = 0.3
#: How far ink reaches below and above the line that words stand on, in parts of their size; for any script.
_INK: Final = (0.25, 0.95)
_BELOW_MM: Final = 0.8
_FILLS: Final = {Kind.ROBOT: ROBOT, Kind.GENTLE: GENTLE, Kind.FAST: FAST}


@dataclass(frozen=True, slots=True)
class Track:
    """Where a row lies on the page, and which minutes its sides are."""

    box: Box
    window: Window

    def x(self, minute: int) -> float:
        """Return the place of a minute [mm]; what lies outside comes to stand at the side."""
        share = (minute - self.window.low) / (self.window.high - self.window.low)
        return self.box.left + min(1.0, max(0.0, share)) * self.box.width

    @property
    def words_mm(self) -> float:
        """The size of the type [mm]."""
        return min(WORD_MM, self.box.height * _WORDS)

    @property
    def strip(self) -> Box:
        """The band that the strips lie in."""
        tall = min(_STRIP_MM, self.box.height - _ABOVE_MM - sum(_INK) * self.words_mm - _BELOW_MM)
        bottom = self.box.bottom - _BELOW_MM
        return Box(self.box.left, bottom - tall, self.box.right, bottom)

    @property
    def baseline(self) -> float:
        """Where the words stand [mm on the page]."""
        return self.strip.top - self.words_mm * _INK[0]


def strips_of(row: Row, track: Track) -> tuple[Item, ...]:
    """Draw the strips of a row."""
    return tuple(_drawn(strip, track) for strip in shown(row, track.window))


def shown(row: Row, window: Window) -> tuple[Strip, ...]:
    """Return the strips of a row that a window shows, whole or in part."""
    return tuple(strip for strip in row.strips if strip.to_min > window.low and strip.from_min < window.high)


def _drawn(strip: Strip, track: Track) -> Group:
    box = track.strip
    left, right = track.x(strip.from_min), track.x(strip.to_min)
    if strip.kind is Kind.COOL:
        middle = (box.top + box.bottom) / 2
        # The dots are round: the first and the last stay inside.
        inset = min(1.0, (right - left) / 2)
        return Group((Line((left + inset, middle), (right - inset + 0.02, middle), DOTS),), "cool")
    fill = WHITE if strip.may else _FILLS[strip.kind]
    marks: list[Item] = [Rect(left, box.top, right - left, box.height, 0, EDGE, fill)]
    if strip.may:
        inset = box.height * 0.28
        marks.append(Rect(left + 0.5, box.top + inset, right - left - 1.0, box.height - 2 * inset, 0, None, ROBOT))
    if strip.begins_min is not None and strip.from_min < strip.begins_min < strip.to_min:
        x = track.x(strip.begins_min)
        marks.append(Line((x, box.top + 0.2), (x, box.bottom - 0.2), BEGINS))
    told = " ".join(word for word in (strip.name, strip.number, strip.more) if word)
    return Group(tuple(marks), strip.kind, strip.name, clean(told))


def label_of(row: Row, track: Track, left: float) -> tuple[Item, ...]:
    """Write the label of a row left of it."""
    size = min(5.2, track.box.height * 0.62)
    room = Box(left, track.box.top, track.box.left - 4.0, track.box.bottom)
    shown = shorten(clean(row.label), Face.BOLD, size, room.width)
    if not shown:
        return ()
    middle = (room.top + room.bottom + cap_mm(Face.BOLD, size)) / 2
    below, _ = ink_mm(shown, Face.BOLD, size)
    base = min(middle, room.bottom - below)
    return (Text((room.left, base), shown, size, Face.BOLD, Anchor.START, INK, clean(row.label), room),)


def edge_of(track: Track, room: Box) -> Line:
    """Draw the line under a row."""
    return Line((room.left, track.box.bottom), (room.right, track.box.bottom), RAIL)
