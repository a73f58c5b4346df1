"""The stretches of time that a timeline shows: round hours, no empty night, none too long for words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from loomwright.documents.timeline.clock import DAY_MIN
from loomwright.documents.timeline.strips import Kind, Row

_HOUR_MIN: Final = 60
_HALF_MIN: Final = 30
_LEAST_MIN: Final = 120
#: From here on the words of a match have no room between it and the charge that follows.
_MOST_MIN: Final = 780
_NIGHT_MIN: Final = 240
#: What the words of the last match of a window need.
_ROOM_MIN: Final = 40


@dataclass(frozen=True, slots=True)
class Window:
    """From a minute to another."""

    low: int
    high: int

    @property
    def hours(self) -> tuple[int, ...]:
        """The minutes of the full hours in it, both ends."""
        return tuple(range(-(-self.low // _HOUR_MIN) * _HOUR_MIN, self.high + 1, _HOUR_MIN))


def windows_of(rows: tuple[Row, ...], begins_min: int) -> tuple[Window, ...]:
    """Return the windows that hold all strips; what sat on a charger overnight is shown from the first hour on."""
    spans = sorted(
        (max(strip.from_min, begins_min), max(strip.to_min, strip.from_min + _ROOM_MIN))
        for row in rows
        for strip in row.strips
        if strip.to_min > begins_min and strip.kind is not Kind.COOL
    )
    joined: list[tuple[int, int]] = []
    for low, high in spans:
        if joined and low - joined[-1][1] < _NIGHT_MIN:
            joined[-1] = (joined[-1][0], max(joined[-1][1], high))
        else:
            joined.append((low, high))
    return tuple(window for low, high in joined or [(begins_min, begins_min)] for window in _parted(low, high))


def name_of(window: Window, windows: tuple[Window, ...]) -> str:
    """Return which day a window is of, "" where all are of the first."""
    return f"Day {window.low // DAY_MIN + 1}" if any(one.low >= DAY_MIN for one in windows) else ""


def _parted(low: int, high: int) -> tuple[Window, ...]:
    """Round to hours and half hours, and part what is too long into pieces of whole hours."""
    start, end = low // _HOUR_MIN * _HOUR_MIN, -(-high // _HALF_MIN) * _HALF_MIN
    end = max(end, start + _LEAST_MIN)
    count = -(-(end - start) // _MOST_MIN)
    step = -(-(end - start) // (count * _HOUR_MIN)) * _HOUR_MIN
    return tuple(Window(at, min(at + step, end)) for at in range(start, end, step))
