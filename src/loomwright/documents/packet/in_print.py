"""How a text of the screen stands on paper: what is to be typed stands in quotation marks."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from loomwright.documents.typst.code import flowing

_TYPED: Final = re.compile(r"(?<![\w`])`([^`\n]+)`(?![\w`])")


def in_print(text: str) -> str:
    """Return a text for paper: backticks are a mark for screens, where they set off what somebody types."""
    return _TYPED.sub("“\\1”", text) if "`" in text else text


@lru_cache(maxsize=4096)
def said(text: str) -> str:
    """Return a text for paper as typst code in which even a long word can go on in the next line."""
    return flowing(in_print(text))
