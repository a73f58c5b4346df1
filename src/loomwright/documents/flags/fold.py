"""How a flag is divided: two faces and, between them, what goes around the wire.

The label lies flat with the wire upright across its middle. Folded there, both faces lie back to back and stick to
each other; seen from either side, the words are upright.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from loomwright.documents.scene import Box, Point

#: No ink nearer than this to a label's edge: printers feed paper by up to a millimetre beside its place.
SAFE_MM: Final = 1.0
#: Nor to the edge of the page, where few printers reach.
UNPRINTED_MM: Final = 5.0
#: A cable of unknown thickness gets the loop of this one, where the label is long enough: most data cables are thinner.
UNKNOWN_OUTSIDE_MM: Final = 6.5
_HOLE_MM: Final = 2.0
_HOLE_OFF_MM: Final = 3.6
_TIED_MM: Final = 14.0
_NARROWEST_MM: Final = 16.0


@dataclass(frozen=True, slots=True)
class Fold:
    """The parts of one label: the line to fold on (x), the room on both faces, and the hole of a flag that is tied on.

    `hole` is None where the label goes around the wire; else it is the centre of a hole through both faces.
    """

    fold_x: float
    left: Box
    right: Box
    hole: Point | None

    @property
    def hole_mm(self) -> float:
        """Radius of the hole for a cable tie [mm]."""
        return _HOLE_MM


def around_mm(outside_mm: float) -> float:
    """Return the length of label that goes around a wire of this diameter over its insulation [mm].

    Three quarters of the wire's round, and two tangents from there that meet at a right angle, where the faces begin
    to stick: (3 pi/4 + 1) d, 7 % more than the round itself.
    """
    return (3 * math.pi / 4 + 1) * outside_mm


def fold(label: Box, page: Box, *, outside_mm: float | None, code_mm: float) -> Fold:
    """Divide a label for a wire of this diameter (None: not known) and a code that needs a square of this side.

    Where the label is too short to go around the wire, the flag is folded and tied on.

    Raises
    ------
    ValueError
        For a label on which no code can be read even so.
    """
    room = printable(label, page)
    if room.height < code_mm:
        raise ValueError(f"a label of {label.height:g} mm is too low for a code of {code_mm:.1f} mm")
    middle = (label.left + label.right) / 2
    most = 2 * (min(middle - room.left, room.right - middle) - max(code_mm, _NARROWEST_MM))
    wanted = around_mm(UNKNOWN_OUTSIDE_MM if outside_mm is None else outside_mm)
    wrapped = min(wanted, most) if outside_mm is None else wanted
    tied = wrapped > most + 1e-9 or wrapped < _TIED_MM / 2
    between = _TIED_MM if tied else wrapped
    if between > most + 1e-9:
        raise ValueError(f"a label of {label.width:g} mm is too short for two faces with a code of {code_mm:.1f} mm")
    return Fold(
        middle,
        Box(room.left, room.top, middle - between / 2, room.bottom),
        Box(middle + between / 2, room.top, room.right, room.bottom),
        (middle + _HOLE_OFF_MM, (label.top + label.bottom) / 2) if tied else None,
    )


def printable(label: Box, page: Box) -> Box:
    """Return what of a label may carry ink."""
    inner, sheet = label.grown(-SAFE_MM), page.grown(-UNPRINTED_MM)
    return Box(
        max(inner.left, sheet.left),
        max(inner.top, sheet.top),
        min(inner.right, sheet.right),
        min(inner.bottom, sheet.bottom),
    )
