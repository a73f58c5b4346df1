"""Words of the typst language: strings, lengths, colours, calls. What a plan says never becomes code."""

from __future__ import annotations

from typing import Final

from loomwright.documents.type import Face, clean, is_ours, signs

#: A place where a line may end; longer words than so many characters get one after every few.
_BREAK: Final = "\u200b"
_LONG, _PIECE = 16, 6
#: What stands for a sign that no shipped font has.
NO_SIGN = "□"


def string(text: str, *, ready: bool = False) -> str:
    """Return a text as a string literal, fit to print (see `printable`) unless it is `ready` already."""
    return '"' + (text if ready else printable(text)).replace("\\", "\\\\").replace('"', '\\"') + '"'


def printable(text: str) -> str:
    """Return a text in one line and without signs that the shipped fonts lack: a square stands for each of them."""
    cleaned = clean(text)
    if is_ours(cleaned, Face.TEXT):
        return cleaned
    return "".join(sign if is_ours(sign, Face.TEXT) else NO_SIGN for sign in signs(cleaned))


def flowing(text: str) -> str:
    """Return a text as a string literal in which even a long word without a hyphen can go on in the next line."""
    words = ("-".join(map(_breakable, word.split("-"))) for word in printable(text).split(" "))
    return string(" ".join(words), ready=True)


def _breakable(part: str) -> str:
    if len(part) <= _LONG:
        return part
    return _BREAK.join(part[i : i + _PIECE] for i in range(0, len(part), _PIECE))


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
