"""One window of the day: hours above, a row for each battery, a row for each charger, and a line where now is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from loomwright.documents.label import label
from loomwright.documents.look import WHITE
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Rect
from loomwright.documents.timeline.clock import clock
from loomwright.documents.timeline.ink import EDGE, HALF, HEAVY, HOUR, HOUR_MM, NOW
from loomwright.documents.timeline.row import Track, edge_of, label_of, strips_of
from loomwright.documents.timeline.strips import Row
from loomwright.documents.timeline.window import Window
from loomwright.documents.timeline.words import words_of
from loomwright.documents.type import Face, clean, width_mm

HOURS_MM: Final = 7.2
CHARGERS_MM: Final = 6.4
NOW_MM: Final = 6.0
_WIDEST_MM: Final = 30.0
_HALF_MIN: Final = 30
_APART_MM: Final = 2.0
#: Half of the last hour's number stands right of the plot.
_RIGHT_MM: Final = 6.5


def around_mm(rows: Sequence[Row], now_min: int | None) -> float:
    """Return what a block takes beside its rows [mm]."""
    both = any(row.is_charger for row in rows) and not all(row.is_charger for row in rows)
    return HOURS_MM + (CHARGERS_MM if both else 0.0) + (NOW_MM if now_min is not None else 0.0)


def gutter_mm(rows: Sequence[Row]) -> float:
    """Return how wide the labels left of the rows are [mm]; one column for all windows, so that hours line up."""
    words = ["Batteries", "Chargers", *(clean(row.label) for row in rows)]
    return min(_WIDEST_MM, max(width_mm(word, Face.BOLD, 5.2) for word in words) + 6.0)


def block(
    rows: Sequence[Row], window: Window, room: Box, *, name: str, gutter: float, tall: float, now_min: int | None
) -> Group:
    """Draw a window from the top of a room, its rows this tall [mm]; `name` stands in its head, left of the hours."""
    plot = Box(room.left + gutter, room.top + HOURS_MM, room.right - _RIGHT_MM, 0)
    tracks, heads, bottom = _tracks(rows, window, plot, tall)
    heads[0] = (name, heads[0][1]) if name else heads[0]
    area = Track(Box(plot.left, plot.top, plot.right, bottom), window)
    items: list[Item] = [*_grid(area), *_head(heads, room)]
    items += [edge_of(track, room) for track in tracks]
    items += [Group(strips_of(row, track), "row", row.label) for row, track in zip(rows, tracks, strict=True)]
    items += _now(area, now_min)
    items += words_of(rows, tracks)
    items += [text for row, track in zip(rows, tracks, strict=True) for text in label_of(row, track, room.left)]
    return Group(tuple(items), "window", clock(window.low))


def _tracks(
    rows: Sequence[Row], window: Window, plot: Box, tall: float
) -> tuple[list[Track], list[tuple[str, float]], float]:
    """Lay the rows below each other; return them, the heads of the two parts with their tops, and the bottom."""
    tracks: list[Track] = []
    heads = [("Chargers" if rows[0].is_charger else "Batteries", plot.top - HOURS_MM)]
    y = plot.top
    for n, row in enumerate(rows):
        if n and row.is_charger and not rows[n - 1].is_charger:
            heads.append(("Chargers", y))
            y += CHARGERS_MM
        tracks.append(Track(Box(plot.left, y, plot.right, y + tall), window))
        y += tall
    return tracks, heads, y


def _head(heads: Sequence[tuple[str, float]], room: Box) -> list[Item]:
    items: list[Item] = []
    for n, (words, top) in enumerate(heads):
        tall = CHARGERS_MM if n else HOURS_MM
        bottom = top + tall
        if n:
            # White, so that no line of the hours runs through the head.
            items.append(Rect(room.left, top + 0.2, room.width, tall - 0.2, 0, None, WHITE))
        items += label(
            words, Box(room.left, top, room.right, bottom), size_mm=HOUR_MM, face=Face.BOLD, baseline_mm=bottom - 1.5
        )
        items.append(Line((room.left, bottom), (room.right, bottom), HEAVY))
    return items


def _grid(area: Track) -> list[Item]:
    """Draw the hours with their numbers above, and the half hours between them."""
    box, window = area.box, area.window
    items: list[Item] = []
    numbered = 0.0  # no number begins left of this
    for hour in window.hours:
        x = area.x(hour)
        items.append(Line((x, box.top), (x, box.bottom), HOUR))
        words = clock(hour)
        half = width_mm(words, Face.TEXT, HOUR_MM) / 2 + 0.1
        left = x - half
        if left >= numbered:
            numbered = left + 2 * half + _APART_MM
            room = Box(left, box.top - HOURS_MM, left + 2 * half, box.top)
            items += label(words, room, size_mm=HOUR_MM, anchor=Anchor.MIDDLE, baseline_mm=box.top - 1.5)
    halves = (hour + _HALF_MIN for hour in window.hours if hour + _HALF_MIN < window.high)
    return [*(Line((area.x(at), box.top), (area.x(at), box.bottom), HALF) for at in halves), *items]


def _now(area: Track, now_min: int | None) -> list[Item]:
    """Draw the line where now is, with the time at its foot."""
    if now_min is None or not area.window.low <= now_min <= area.window.high:
        return []
    box, x = area.box, area.x(now_min)
    words = f"now {clock(now_min, beside_min=area.window.low)}"
    half = width_mm(words, Face.BOLD, HOUR_MM) / 2 + 1.0
    left = min(max(x, box.left + half), box.right - half) - half
    flag = Rect(left, box.bottom + 0.9, 2 * half, NOW_MM - 1.2, 0, EDGE, WHITE)
    said = label(words, flag.body, size_mm=HOUR_MM, face=Face.BOLD, anchor=Anchor.MIDDLE)
    line = Line((x, box.top), (x, box.bottom + 0.9), NOW)
    return [Group((line, flag, *said), "now", "", words)]
