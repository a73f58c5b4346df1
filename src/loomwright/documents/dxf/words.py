"""Words in a DXF file: text that no reader takes for a code, and layer names that every reader takes."""

from __future__ import annotations

import re
from typing import Final

from loomwright.documents.type import clean

_FORBIDDEN: Final = re.compile(r"""[<>/\\":;?*|=,`^']""")
_CODES: Final = ((re.compile(r"%(?=%)"), "% "), (re.compile(r"\\(?=[UuMm]\+)"), r"\\ "), (re.compile(r"\^"), "^ "))
_LONGEST: Final = 240  # characters; a name in a DXF file may have 255
_LONGEST_NAME: Final = 200


def dxf_text(words: str) -> str:
    r"""Return text in one line that means what it says: codes such as %%d and \U+0041 are parted by a space.

    A caret is written as the format asks for it, caret and space, and read back as a caret.
    """
    kept = clean(words)
    for code, instead in _CODES:
        kept = code.sub(instead, kept)
    return kept if len(kept) <= _LONGEST else kept[: _LONGEST - 1].rstrip("^ ") + "…"


def layer_names(wanted: tuple[str, ...]) -> dict[str, str]:
    """Give each wanted name one that a layer may have, no two alike whatever the case of their letters.

    What is not allowed becomes a dash; the second of two that would be alike gets "(2)", in the order given.
    """
    found: dict[str, str] = {}
    taken: set[str] = set()
    for name in wanted:
        plain = _FORBIDDEN.sub("-", clean(name)).replace("%%", "% %")[:_LONGEST_NAME].strip() or "layer"
        given, number = plain, 1
        while given.casefold() in taken:
            number += 1
            given = f"{plain} ({number})"
        taken.add(given.casefold())
        found[name] = given
    return found
