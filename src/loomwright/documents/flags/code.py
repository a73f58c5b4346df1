"""A flag's code: its text as a QR code (source: iso-iec-18004-memory), drawn as one shape without seams.

**Size of a module.** At least 17 steps of 1/1200 in: 0.36 mm, 2.1 pixels of a picture at 150 dpi, and five or more of a
phone at 10 cm. Exactly two pixels is the size to keep away from: every module may then lie half on one pixel and half
on the next, all over the code, which no error correction mends; a little more or less and only some modules do. Beyond
24 steps (0.51 mm) nothing is won.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
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

Corner = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Code:
    """The modules of a code, dark ones True, row by row, without the quiet zone."""

    modules: tuple[tuple[bool, ...], ...]

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
    return Code(tuple(tuple(bool(module) for module in row) for row in made.matrix))


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
    for outline in outlines(made.modules):
        first, *others = [(left + x * module, top + y * module) for x, y in outline]
        steps += [Move(first), *map(Straight, others)]
    return Path(tuple(steps), fill=INK)


def outlines(modules: tuple[tuple[bool, ...], ...]) -> list[list[Corner]]:
    """Return the outlines of all dark areas as corners in modules; holes are outlines too (fill them even-odd).

    Corners are where an odd number of four modules is dark, or two that touch with a corner only: then there are two.
    Along every row, and along every column, corners are joined two by two.
    """
    corners: list[Corner] = []
    columns: defaultdict[int, list[int]] = defaultdict(list)
    rows = [0, *(sum(1 << x for x, dark in enumerate(row) if dark) for row in modules), 0]
    for y, (above, below) in enumerate(pairwise(rows)):
        sides_above, sides_below = above ^ above << 1, below ^ below << 1
        double = sides_above & sides_below & (above ^ below)
        left = (sides_above ^ sides_below) | double
        while left:
            bit = left & -left
            x = bit.bit_length() - 1
            for _ in range(2 if bit & double else 1):
                columns[x].append(len(corners))
                corners.append((x, y))
            left ^= bit
    beyond = {}
    for held in columns.values():
        for one, other in zip(held[::2], held[1::2], strict=True):
            beyond[one], beyond[other] = other, one
    return _walks(corners, beyond)


def _walks(corners: list[Corner], beyond: dict[int, int]) -> list[list[Corner]]:
    """Walk along rows (neighbours in the list) and columns (`beyond`) in turn until every corner has been met."""
    met: set[int] = set()
    found: list[list[Corner]] = []
    for first in range(0, len(corners), 2):
        here, way = first, []
        while here not in met:
            beside = here ^ 1
            met |= {here, beside}
            way += [corners[here], corners[beside]]
            here = beyond[beside]
        if way:
            found.append(way)
    return found
