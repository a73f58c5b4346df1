"""Words of the typst language: strings, lengths, colours, calls. What a plan says never becomes code.

Names, gauges and colours come again and again on the pages; their code is kept.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from typing import Final

from loomwright.documents.type import Face, clean, is_ours, signs

#: Where a line may end though it would not: space that nobody sees, and a sign for where even space does not do.
_SPACE: Final = "h(0.001pt)"
_SIGN: Final = "\u200b"
#: Words of more characters than this get such places: at a joint, else after every few characters.
_LONG, _PIECE = 16, 6
_JOINT: Final = re.compile(r"(?<=[-/._])")
#: A line ends behind a hyphen by itself, but not before a figure or another sign (UAX #14).
_HYPHEN: Final = re.compile(r"(?<=\w-)(?=[^\W\d_])")
#: What stands for a sign that no shipped font has.
NO_SIGN = "□"


def string(text: str, *, ready: bool = False) -> str:
    """Return a text as a string literal, fit to print (see `printable`) unless it is `ready` already."""
    return '"' + (text if ready else printable(text)).replace("\\", "\\\\").replace('"', '\\"') + '"'


@lru_cache(maxsize=4096)
def printable(text: str) -> str:
    """Return a text in one line and without signs that the shipped fonts lack: a square stands for each of them."""
    cleaned = clean(text)
    if is_ours(cleaned, Face.TEXT):
        return cleaned
    return "".join(sign if is_ours(sign, Face.TEXT) else NO_SIGN for sign in signs(cleaned))


@lru_cache(maxsize=4096)
def flowing(text: str) -> str:
    """Return a text as code in which even a long word can go on in the next line.

    Between letters, space of 0.001 pt lets a line end: a sign would stand in the page's text, and nobody would find the
    word.
    """
    pieces = [""]
    for i, word in enumerate(printable(text).split(" ")):
        pieces[-1] += " " if i else ""
        for part in _HYPHEN.split(word):
            first, *others = _pieces(part)
            pieces[-1] += first
            for other in others:
                if _held_together(pieces[-1][-1], other[0]):
                    pieces[-1] += _SIGN + other
                else:
                    pieces.append(other)
    literals = [string(piece, ready=True) for piece in pieces]
    return literals[0] if len(literals) == 1 else f"{{{f'; {_SPACE}; '.join(literals)}}}"


def _pieces(part: str) -> list[str]:
    """Part a word that is too long for a narrow column."""
    if len(part.removesuffix("-")) <= _LONG:
        return [part]
    at_joints = [piece for piece in _JOINT.split(part) if piece]
    short = (len(piece.rstrip("-/._")) <= _LONG for piece in at_joints)
    return [
        each
        for piece, whole in zip(at_joints, short, strict=True)
        for each in ([piece] if whole else [piece[i : i + _PIECE] for i in range(0, len(piece), _PIECE)])
    ]


def _held_together(before: str, after: str) -> bool:
    """Tell whether no line ends between two signs even with a space there: behind an opening one, before any mark."""
    return not after.isalnum() or unicodedata.category(before) in {"Ps", "Pi"}


def mm(value: float) -> str:
    """Return a length in mm, to a micrometre."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return f"{'0' if text in ('-0', '') else text}mm"


def point(at: tuple[float, float]) -> str:
    """Return a place on the page [mm]."""
    return f"({mm(at[0])},{mm(at[1])})"


def colour(code: str) -> str:
    """Return a colour of the form "#rrggbb"."""
    return f'rgb("{code}")'
