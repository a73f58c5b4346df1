"""Several short texts in a row, each its own: so a name read from the right turns no number beside it around."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from loomwright.documents.label import label
from loomwright.documents.scene import Anchor, Box, Text
from loomwright.documents.type import Face, clean, width_mm

_INEXACT_MM: Final = 1e-6  # sums of widths are not exact; a word must not be cut for that


@dataclass(frozen=True, slots=True)
class Word:
    """A text of a row; a `name` may be shortened, and `gap` is the space before it in parts of the type size."""

    text: str
    face: Face = Face.TEXT
    name: bool = False
    gap: float = 0.3


def row_mm(words: Sequence[Word], size_mm: float) -> float:
    """Measure the width of a row that is not shortened [mm]."""
    return sum(_width(word, size_mm) for word in words) + _gaps(words, size_mm)


def row(
    words: Sequence[Word], room: Box, *, size_mm: float, baseline_mm: float, anchor: Anchor = Anchor.START
) -> tuple[Text, ...]:
    """Write words in a row at the left or the right of a room; names share what the other words leave.

    A word that finds no room is left out, and so are those after it.
    """
    said = [Word(clean(word.text), word.face, word.name, word.gap) for word in words if clean(word.text)]
    widths = _shared(said, room.width - _gaps(said, size_mm), size_mm)
    total = sum(widths) + _gaps(said, size_mm)
    x = room.left if anchor is Anchor.START else max(room.left, room.right - total)
    texts: list[Text] = []
    for i, (word, width) in enumerate(zip(said, widths, strict=True)):
        x += word.gap * size_mm if i else 0.0
        end = min(x + width, room.right)
        if end <= x:
            break
        cell = Box(x, room.top, end + _INEXACT_MM, room.bottom)
        texts += label(word.text, cell, size_mm=size_mm, face=word.face, baseline_mm=baseline_mm)
        x = end
    return tuple(texts)


def _shared(words: Sequence[Word], room_mm: float, size_mm: float) -> list[float]:
    """Return the width of each word: names that are short keep theirs, long ones share what is left alike."""
    widths = [_width(word, size_mm) for word in words]
    left = room_mm - sum(width for word, width in zip(words, widths, strict=True) if not word.name)
    names = sorted((width, i) for i, (word, width) in enumerate(zip(words, widths, strict=True)) if word.name)
    for count, (width, i) in enumerate(names):
        widths[i] = min(width, max(0.0, left / (len(names) - count)))
        left -= widths[i]
    return widths


def _width(word: Word, size_mm: float) -> float:
    return width_mm(clean(word.text), word.face, size_mm)


def _gaps(words: Sequence[Word], size_mm: float) -> float:
    return sum(word.gap for word in words[1:]) * size_mm
