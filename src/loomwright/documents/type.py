"""Type: how wide and how tall a text is, by the shipped fonts' own metrics.

Width is exact for the characters the fonts carry: advances plus kerning, as a browser sets them.
For others (emoji, scripts that we ship no font for) the width is a stated guess, and the SVG writer
makes the browser keep to it, so what is measured here is what is drawn.
"""

from __future__ import annotations

import json
import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache
from importlib.resources import files

_ELLIPSIS = "…"
_JOINER = "\u200d"
_LONGEST = 300  # no label on any sheet shows more characters than this
_TALLEST = (-250, 950)  # lowest and highest ink of a character from somebody else's font, in thousandths


class Face(StrEnum):
    """A typeface of the house."""

    TEXT = "text"
    BOLD = "bold"
    TAG = "tag"


@dataclass(frozen=True, slots=True)
class _Metrics:
    """One face, in thousandths of the type size: {character: (advance, low, high)} and kerning pairs."""

    cap: int
    chars: dict[str, tuple[int, int, int]]
    kern: dict[str, dict[str, int]]


@cache
def _faces() -> dict[str, _Metrics]:
    """Read the metrics of all faces, once."""
    text = (files("loomwright") / "data" / "fonts" / "metrics.json").read_text("utf-8")
    return {
        name: _Metrics(face["cap"], {c: (a, low, high) for c, (a, low, high) in face["chars"].items()}, face["kern"])
        for name, face in json.loads(text)["faces"].items()
    }


@lru_cache(maxsize=4096)
def clean(text: str) -> str:
    """Return text as it can be drawn: composed (NFC), one line, no control or direction characters."""
    if not text.isprintable():  # what is printable has neither controls nor strange spaces
        text = "".join(c if _drawable(c) else "" if unicodedata.category(c) == "Cf" else " " for c in text)
    return unicodedata.normalize("NFC", " ".join(text.split()))


def _drawable(char: str) -> bool:
    """Tell whether a character may stand in a drawing; joiners inside emoji may, controls may not."""
    return char == _JOINER or not unicodedata.category(char).startswith("C")


def width_mm(text: str, face: Face, size_mm: float) -> float:
    """Measure the advance width of a cleaned text [mm]."""
    return _advance(text, face) * size_mm / 1000


@lru_cache(maxsize=8192)
def _advance(text: str, face: Face) -> int:
    """Add up the advance of a cleaned text in thousandths of its size; a sheet asks for the same words many times."""
    metrics = _faces()[face]
    total, single = 0, text.isascii()
    for i, char in enumerate(text):
        total += _metric(char, face)[0] if single or not _joined(text, i) else 0
        total += metrics.kern.get(char, {}).get(text[i + 1 : i + 2], 0)
    return total


def ink_mm(text: str, face: Face, size_mm: float) -> tuple[float, float]:
    """Measure how far the ink of a cleaned text reaches below and above the baseline [mm]; both positive."""
    marks = [_metric(char, face) for char in text] or [(0, 0, 0)]
    low = min(m[1] for m in marks)
    high = max(m[2] for m in marks)
    return -low * size_mm / 1000, high * size_mm / 1000


def cap_mm(face: Face, size_mm: float) -> float:
    """Return the height of capitals [mm]; half of it is how far to drop a baseline to centre a label."""
    return _faces()[face].cap * size_mm / 1000


def is_ours(text: str, face: Face, *, alone: bool = False) -> bool:
    """Tell whether a face, with the symbol face or `alone`, carries every character of a text."""
    faces = _faces()
    return all(c in faces[face].chars or (not alone and c in faces["symbol"].chars) for c in text)


def shorten(text: str, face: Face, size_mm: float, room_mm: float) -> str:
    """Return the text if it fits in the room, else its beginning and an ellipsis, else nothing."""
    if width_mm(text, face, size_mm) <= room_mm:
        return text
    for end in range(min(len(text) - 1, _LONGEST), 0, -1):
        if not _joined(text, end):
            short = text[:end].rstrip() + _ELLIPSIS
            if width_mm(short, face, size_mm) <= room_mm:
                return short
    return _ELLIPSIS if width_mm(_ELLIPSIS, face, size_mm) <= room_mm else ""


def signs(text: str) -> tuple[str, ...]:
    """Part a text into single signs: a letter with its marks, an emoji with all that it ties on."""
    starts = [i for i in range(len(text)) if not _joined(text, i)]
    return tuple(text[start:end] for start, end in zip(starts, [*starts[1:], len(text)], strict=True))


def _joined(text: str, i: int) -> bool:
    """Tell whether the character at `i` belongs to the sign before it: a mark, a joiner, or what a joiner ties on."""
    joins_itself = text[i] == _JOINER or unicodedata.category(text[i]) in {"Mn", "Me"} or "🏻" <= text[i] <= "🏿"
    return i > 0 and (joins_itself or text[i - 1] == _JOINER)


def _metric(char: str, face: Face) -> tuple[int, int, int]:
    """Look up one character: its face, else the symbol face, else a guess on the wide side."""
    faces = _faces()
    found = faces[face].chars.get(char) or faces["symbol"].chars.get(char)
    if found:
        return found
    if unicodedata.category(char) in {"Mn", "Me", "Cf"}:
        return (0, *_TALLEST)
    wide = unicodedata.east_asian_width(char) in {"W", "F"} or unicodedata.category(char) == "So"
    return (1250 if wide else 750, *_TALLEST)
