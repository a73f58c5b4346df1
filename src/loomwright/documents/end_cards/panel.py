"""The frame of one picture: a state is a shape first, colour second."""

from __future__ import annotations

from typing import Final

from loomwright.documents.end_cards.ink import FINE
from loomwright.documents.label import label
from loomwright.documents.look import CORNER_MM, DONE, HAIR_MM, INK, REDO, RULE_MM, SMALL_MM, WHITE
from loomwright.documents.scene import Box, Hatch, Item, Line, Polyline, Rect, Stroke
from loomwright.documents.type import Face

BADGE_MM: Final = 4.0
HEAD_MM: Final = 5.8
BAND_MM: Final = 1.5
_PAD_MM: Final = 1.4
_HATCH: Final = Hatch(1.0, 0.35, 45.0, INK, WHITE)


def plain(box: Box, words: str) -> tuple[Item, ...]:
    """Frame a picture that is neither good nor bad: a thin line, its words in bold."""
    half = HAIR_MM / 2 + 0.05
    frame = Rect(
        box.left + half, box.top + half, box.width - 2 * half, box.height - 2 * half, CORNER_MM, Stroke(INK, HAIR_MM)
    )
    return (frame, *_words(words, box, 0.0))


def good(box: Box, words: str) -> tuple[Item, ...]:
    """Frame the good picture: dark and rounded, with a tick."""
    half = RULE_MM / 2 + 0.05
    frame = Rect(
        box.left + half, box.top + half, box.width - 2 * half, box.height - 2 * half, 3.0, Stroke(DONE, RULE_MM)
    )
    x, y = box.left + BAND_MM + _PAD_MM, box.top + BAND_MM + 0.4
    badge = Rect(x, y, BADGE_MM, BADGE_MM, 1.2, None, DONE)
    tick = Polyline(((x + 0.9, y + 2.1), (x + 1.7, y + 2.9), (x + 3.1, y + 1.2)), Stroke(WHITE, 0.6))
    return (frame, badge, tick, *_words(words, box, BADGE_MM + 1.2))


def bad(box: Box, words: str) -> tuple[Item, ...]:
    """Frame a mistake: square, a hatched band all round, a cross."""
    band = BAND_MM
    edge = 0.05
    wide, tall = box.width - 2 * edge, box.height - 2 * band
    bars = (
        Rect(box.left + edge, box.top + edge, wide, band - edge, 0.0, None, _HATCH),
        Rect(box.left + edge, box.bottom - band, wide, band - edge, 0.0, None, _HATCH),
        Rect(box.left + edge, box.top + band, band - edge, tall, 0.0, None, _HATCH),
        Rect(box.right - band, box.top + band, band - edge, tall, 0.0, None, _HATCH),
    )
    outer = Rect(box.left + 0.2, box.top + 0.2, box.width - 0.4, box.height - 0.4, 0.0, Stroke(INK, HAIR_MM))
    inner = Rect(box.left + band, box.top + band, box.width - 2 * band, box.height - 2 * band, 0.0, FINE)
    x, y = box.left + band + _PAD_MM, box.top + band + 0.9
    size = BADGE_MM - 0.6
    badge = Rect(x, y - 0.2, size, size, 0.0, Stroke(REDO, 0.5), WHITE)
    cross = [
        Line(
            (x + 0.7, y + 0.5 + s * (size - 1.4)), (x + size - 0.7, y + 0.5 + (1 - s) * (size - 1.4)), Stroke(REDO, 0.8)
        )
        for s in (0, 1)
    ]
    return (*bars, outer, inner, badge, *cross, *_words(words, box, BADGE_MM + 1.2))


def caption(words: str, box: Box) -> tuple[Item, ...]:
    """Write a line at the foot of a frame, under the picture."""
    bottom = box.bottom - BAND_MM
    room = Box(box.left + BAND_MM + _PAD_MM, bottom - 4.6, box.right - BAND_MM - _PAD_MM, bottom - 0.2)
    return label(words, room, size_mm=SMALL_MM)


def inner(box: Box) -> Box:
    """Return the room inside a frame, below its words; the same in every frame."""
    return Box(box.left + BAND_MM, box.top + BAND_MM + HEAD_MM, box.right - BAND_MM, box.bottom - BAND_MM)


def _words(words: str, box: Box, past_mm: float) -> tuple[Item, ...]:
    left = box.left + BAND_MM + _PAD_MM + past_mm
    room = Box(left, box.top + BAND_MM + 0.2, box.right - BAND_MM - _PAD_MM, box.top + BAND_MM + 0.2 + 4.6)
    return label(words, room, size_mm=SMALL_MM, face=Face.BOLD)
