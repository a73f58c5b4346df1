"""Characters that look like a space, or like nothing, and change the meaning of a word."""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.robotfile.marked.source_text import SourceText

LOOK_ALIKE = re.compile("[\xa0\xad\u1680\u180e\u2000-\u200f\u202a-\u202f\u205f-\u2064\u2066-\u206f\u3000\ufeff]")


def look_alike_fault(source: SourceText, index: int, *, thing: str = "") -> Finding:
    """Make the fault for such a character, counted from 0."""
    char = source.text[index]
    name = f"U+{ord(char):04X}, {unicodedata.name(char, 'no name').lower()}"
    looks = "looks like a space and is none" if unicodedata.category(char) == "Zs" else "can't be seen"
    return source.fault(
        "look-alike-character",
        index,
        f"There is a character here that {looks} ({name}); it often comes with pasted text.",
        "Delete it and type a plain space if one belongs there.",
        thing=thing,
    )
