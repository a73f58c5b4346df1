"""How many lines a text takes in a column of a sheet: an estimate on the wide side.

Which font shows a workbook is up to the computer that opens it. So the width of each character is that of a plain
sans-serif face rounded up to one of a few classes, and a test holds the estimate against the metrics of another font.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import Final

#: Widths in the unit of a sheet's columns at 10 pt: 1 is 7 px at 96 px an inch, a little less than a digit.
_CLASSES: Final = (
    (0.45, "ijl'|"),
    (0.55, "ftI.,:;!/\\[] "),
    (0.7, 'r()-"`°²'),
    (0.75, "*"),
    (1.0, "ckvxyszJ"),
    (1.1, "abdeghnopquL0123456789?$#_"),
    (1.2, "FTZ+=<>~^×−"),
    (1.32, "ABEKPSVXY&"),
    (1.45, "CDHNRUw"),
    (1.55, "GOQΩ"),
    (1.65, "mM"),
    (1.85, "W%"),
    (2.0, "@…"),
)
_WIDTHS: Final = {char: width for width, chars in _CLASSES for char in chars}
_SPACE: Final = _WIDTHS[" "]
_OTHER: Final = 1.65
_IDEOGRAPH: Final = 2.7
_BOLD: Final = 1.08


@lru_cache(maxsize=4096)
def lines(text: str, width: float, *, bold: bool = False) -> int:
    """Count the lines of a text that wraps between words in so much width [column units]."""
    room = width / _BOLD if bold else width
    return sum(_lines_of_one(paragraph, room) for paragraph in text.split("\n"))


@lru_cache(maxsize=4096)
def text_width(words: str) -> float:
    """Estimate the width of a text on one line [column units]."""
    return sum(_WIDTHS.get(char) or _foreign(char) for char in words)


def _lines_of_one(paragraph: str, room: float) -> int:
    count, used = 1, 0.0
    for word in paragraph.split(" "):
        gap = _SPACE if used else 0.0
        width = text_width(word)
        if used + gap + width <= room:
            used += gap + width
            continue
        more, rest = _broken(word, room)
        count, used = count + bool(used) + more, rest
    return count


def _broken(word: str, room: float) -> tuple[int, float]:
    """Break a word that is longer than a line between any two characters: lines begun in it, width of the last."""
    begun, used = 0, 0.0
    for width in map(text_width, word):
        if used and used + width > room:
            begun, used = begun + 1, 0.0
        used += width
    return begun, used


def _foreign(char: str) -> float:
    """Guess the width of a character outside the classes: marks take none, ideographs and emoji the most."""
    if unicodedata.category(char) in {"Mn", "Me", "Cf"}:
        return 0.0
    wide = unicodedata.east_asian_width(char) in {"W", "F"} or unicodedata.category(char) == "So"
    return _IDEOGRAPH if wide else _OTHER
