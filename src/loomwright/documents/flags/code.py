"""A flag's code: its text as a QR code (source: iso-iec-18004-memory), drawn as one shape without seams.

**Size of a module.** At least 17 steps of 1/1200 in: 0.36 mm, 2.1 pixels of a picture at 150 dpi, and five or more of a
phone at 10 cm. Exactly two pixels is the size to keep away from: every module may then lie half on one pixel and half
on the next, all over the code, which no error correction mends; a little more or less and only some modules do. Beyond
24 steps (0.51 mm) nothing is won.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from loomwright.documents.flags.wording import LONGEST_BYTES
from loomwright.documents.look import INK
from loomwright.documents.scene import Box, Move, Path, Straight

STEP_MM: Final = 25.4 / 1200
LEAST_STEPS: Final = 17
_MOST_STEPS: Final = 24
#: Light modules that the standard asks for on every side.
QUIET: Final = 4
#: Modules of a version 7 code, the largest that is made.
_MOST_MODULES: Final = 45
#: Side of the smallest box that holds any code of a flag, with its quiet zone.
LARGEST_MM: Final = (_MOST_MODULES + 2 * QUIET) * LEAST_STEPS * STEP_MM
#: Bytes of a version 7 code at error correction M; a longer text takes L, so that no code gets larger.
_MEDIUM_BYTES: Final = 122
#: On such texts the eight masks of the standard differ little in their penalty (this one: 3 % above the best of each
#: text), and to try them all takes five times as long.
_MASK: Final = 2
_DARK: Final = re.compile(b"\x01+")


@dataclass(frozen=True, slots=True)
class Code:
    """The modules of a code, row by row, without the quiet zone: 1 is dark, 0 light."""

    modules: tuple[bytes, ...]

    @property
    def least_mm(self) -> float:
        """The side of the smallest box that holds it with its quiet zone."""
        return self.across * LEAST_STEPS * STEP_MM

    @property
    def across(self) -> int:
        """Modules from side to side, the quiet zone on both sides counted."""
        return len(self.modules) + 2 * QUIET

    def module_mm(self, side_mm: float) -> float:
        """Return the size of a module in a box of this side, in whole steps; 0 where it would be too small to read."""
        steps = min(_MOST_STEPS, int(side_mm / self.across / STEP_MM + 1e-6))
        return steps * STEP_MM if steps >= LEAST_STEPS else 0.0

    def side_mm(self, side_mm: float) -> float:
        """Return the side that it takes with its quiet zone in a box of this side."""
        return self.across * self.module_mm(side_mm)


@lru_cache(maxsize=1024)
def code(text: str) -> Code:
    """Return the code of a text of at most 154 bytes.

    The bytes are UTF-8 without a mark that says so: readers tell it by themselves, and some show such a mark.

    Raises
    ------
    ValueError
        For a longer text.
    """
    import segno  # noqa: PLC0415  only where flags are made

    level = "m" if len(text.encode()) <= _MEDIUM_BYTES else "l"
    if len(text.encode()) > LONGEST_BYTES:
        raise ValueError(f"a flag's code holds at most {LONGEST_BYTES} bytes")
    made = segno.make_qr(text, error=level, mask=_MASK, mode="byte", encoding="utf-8")
    return Code(tuple(map(bytes, made.matrix)))


def square(made: Code, room: Box) -> Box:
    """Return the box that a code takes with its quiet zone, at the left top of a room.

    Raises
    ------
    ValueError
        For a room in which it could not be read.
    """
    side = made.side_mm(min(room.width, room.height))
    if not side:
        raise ValueError(f"a code needs {made.least_mm:.1f} mm, the room has {min(room.width, room.height):.1f} mm")
    return Box(room.left, room.top, room.left + side, room.top + side)


def drawn(made: Code, held: Box) -> Path:
    """Return a code's shape in the box that it takes with its quiet zone."""
    module = held.width / made.across
    left, top = held.left + QUIET * module, held.top + QUIET * module
    steps: list[Move | Straight] = []
    for row, first, end in runs(made.modules):
        a, b = left + first * module, left + end * module
        above, below = top + row * module, top + (row + 1) * module
        steps += [Move((a, above)), Straight((b, above)), Straight((b, below)), Straight((a, below))]
    return Path(tuple(steps), fill=INK)


def runs(modules: tuple[bytes, ...]) -> Iterator[tuple[int, int, int]]:
    """Give the dark modules as bars: the row, the first column, the column behind the last.

    Bars above each other touch along whole edges. As parts of one path they leave no seam: what fills a path adds up
    how much of a pixel it covers before it colours it.
    """
    for y, row in enumerate(modules):
        for bar in _DARK.finditer(row):
            yield y, *bar.span()
