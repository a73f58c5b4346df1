"""What a list calls a thing, as an id; and the doubt that people write behind a value."""

from __future__ import annotations

import re
from typing import Final

from loomwright.model.fact import State

_NO_ID: Final = re.compile(r"[(){}:]+")
_BRACKET: Final = re.compile(rf"(?P<value>.+?)\s*\((?P<state>{'|'.join(State)})\)", re.IGNORECASE)


def id_of(text: str) -> str:
    """Return the id for what a list calls a thing: `camera (left)` is `camera left`, since an id has no such signs."""
    return " ".join(_NO_ID.sub(" ", text).split())


def parted_doubt(text: str) -> tuple[str, str]:
    """Part a text from the state behind it, "" for none: `H3 (guessed)`, and `H3?` for the same."""
    if found := _BRACKET.fullmatch(text):
        return found["value"], found["state"].casefold()
    value = text.rstrip("? ")
    return (value, str(State.GUESSED)) if value and value != text else (text, "")
