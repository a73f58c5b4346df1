"""Write YAML that every reader takes for the same text: one fact a line, quotes wherever a word could mislead."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import TypeAlias

#: What can be written: a text, a whole number, a mapping, or a list of mappings and texts.
Content: TypeAlias = "str | int | Mapping[str, Content] | Sequence[Mapping[str, Content] | str]"

_WORDS = re.compile(r"[^\W\d_][\w./+%-]*(?: [\w./+%-]+)*")
_AMOUNT = re.compile(r"[0-9]+(?:\.[0-9]+)? [A-Za-z]+|[1-4]/0 AWG")
_MEANS_MORE = frozenset({"y", "n", "yes", "no", "on", "off", "true", "false", "null"})
_STEP = "  "


def lines(content: Mapping[str, Content], indent: str = "") -> Iterator[str]:
    """Give the lines of a mapping in block style, each without its line break."""
    for key, value in content.items():
        if isinstance(value, str | int):
            yield f"{indent}{scalar(key)}: {scalar(value)}"
        elif not value:
            yield f"{indent}{scalar(key)}: {'{}' if isinstance(value, Mapping) else '[]'}"
        elif isinstance(value, Mapping):
            yield f"{indent}{scalar(key)}:"
            yield from lines(value, indent + _STEP)
        else:
            yield f"{indent}{scalar(key)}:"
            for item in value:
                yield from _item(item, indent)


def scalar(value: str | int) -> str:
    """Write one value: a plain word where it is one to everybody, else a text in double quotes on one line."""
    if isinstance(value, int):
        return str(int(value))
    if _AMOUNT.fullmatch(value) or (_WORDS.fullmatch(value) and value.casefold() not in _MEANS_MORE):
        return value
    return f'"{"".join(_escaped(character) for character in value)}"'


def _item(item: Mapping[str, Content] | str, indent: str) -> Iterator[str]:
    if isinstance(item, str):
        yield f"{indent}- {scalar(item)}"
        return
    first, *rest = lines(item, indent + _STEP)
    yield f"{indent}- {first.removeprefix(indent + _STEP)}"
    yield from rest


def _escaped(character: str) -> str:
    """Escape quotes, backslashes, and everything that no eye can tell from a space or from nothing."""
    if character in '"\\':
        return f"\\{character}"
    if character.isprintable():
        return character
    code = ord(character)
    return f"\\x{code:02x}" if code <= 0xFF else f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"  # noqa: PLR2004
