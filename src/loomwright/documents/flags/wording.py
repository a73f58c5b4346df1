"""The words that a flag's code holds: seven short lines that a phone shows as they are.

No scheme, no address, nothing to look up: the text is the answer. Its lines and their order are a promise, see
docs/outputs.md, "Flags".
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace
from typing import Final

from loomwright.documents.type import clean

#: Bytes that a code of version 7 holds at its lowest error correction (source: iso-iec-18004-memory).
LONGEST_BYTES: Final = 154
_GAP: Final = "..."
#: Of a shortened name its beginning tells which thing it is, its end which pole: both stay.
_HEAD: Final = 0.6
_SHORTEST: Final = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeWords:
    """What a code tells: the wire, the end it hangs on, use, gauge and colour, both ends, slot, plan revision."""

    wire: str
    letter: str
    use: str
    gauge: str
    a: str
    b: str
    slot: str
    revision: str


def code_text(words: CodeWords, *, longest_bytes: int = LONGEST_BYTES) -> str:
    """Return the text of a code, at most so many bytes of UTF-8; where it is too long, the longest names give first."""
    said = replace(
        words,
        wire=_plain(words.wire),
        use=_plain(words.use),
        a=_plain(words.a),
        b=_plain(words.b),
        slot=_plain(words.slot),
    )
    most = max(_size(name) for name in (said.use, said.a, said.b, said.slot))
    for cap in range(min(most, longest_bytes), _SHORTEST - 1, -1):
        text = _lines(said, cap)
        if _size(text) <= longest_bytes:
            return text
    return _cut(_lines(said, _SHORTEST), longest_bytes)


def _lines(words: CodeWords, cap: int) -> str:
    return "\n".join(
        (
            f"{words.wire} {words.letter}",
            _shortened(words.use, cap),
            words.gauge,
            f"A: {_shortened(words.a, cap)}",
            f"B: {_shortened(words.b, cap)}",
            f"slot: {_shortened(words.slot, cap)}",
            f"plan: {words.revision}",
        )
    )


def _plain(text: str) -> str:
    """Return a name in one line, without control or direction characters and without anything that phones call up."""
    return re.sub(r":/+", ": ", clean(text))


def _shortened(text: str, cap: int) -> str:
    """Return the beginning and the end of a text that is longer than so many bytes."""
    if _size(text) <= cap:
        return text
    room = cap - len(_GAP)
    head = _cut(text, round(room * _HEAD))
    tail = _cut_front(text, room - _size(head))
    _, _, whole_words = tail.partition(" ")
    return f"{head.rstrip()}{_GAP}{whole_words or tail}"


def _cut(text: str, size: int) -> str:
    """Return the beginning of a text, whole signs only."""
    end = len(text.encode()[:size].decode(errors="ignore"))
    while 0 < end < len(text) and _belongs(text, end):
        end -= 1
    return text[:end]


def _cut_front(text: str, size: int) -> str:
    """Return the end of a text, whole signs only."""
    raw = text.encode()
    start = len(text) - len(raw[len(raw) - size :].decode(errors="ignore")) if size > 0 else len(text)
    while start < len(text) and _belongs(text, start):
        start += 1
    return text[start:]


def _belongs(text: str, i: int) -> bool:
    """Tell whether a character continues the sign before it: a mark, a tone, or what a joiner ties on."""
    joins = text[i] == "\u200d" or unicodedata.category(text[i]) in {"Mn", "Me", "Mc"} or "🏻" <= text[i] <= "🏿"
    return i > 0 and (joins or text[i - 1] == "\u200d")


def _size(text: str) -> int:
    return len(text.encode())
