"""What a cut list comes to, measured anew in exact fractions of a millimetre."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.cutting.result import Piece, SpoolCut
    from loomwright.model.stock import CutHabits, Offer, Spool

_ROUNDING = Fraction(1, 10**6)


@dataclass(frozen=True, slots=True)
class Measured:
    """One spool, measured [mm]: what is left of it, whether that is worth keeping, what of it is scrap."""

    left_mm: int
    kept: bool
    scrap_mm: int
    fresh_mm: int


def up_mm(length_m: float) -> int:
    """Round a length up to whole millimetres."""
    return ceil(Fraction(length_m) * 1000 - _ROUNDING)


def down_mm(length_m: float) -> int:
    """Round a length down to whole millimetres."""
    return floor(Fraction(length_m) * 1000 + _ROUNDING)


def measured(cut: SpoolCut, habits: CutHabits) -> Measured:
    """Cut a spool on paper: trim it unless it is an off-cut, then take every piece with its kerf."""
    whole = down_mm(cut.spool.length_m)
    left = whole - (0 if cut.spool.offcut else up_mm(habits.trim_m))
    pieces = 0
    for piece in cut.pieces:
        left -= up_mm(piece.length_m) + up_mm(habits.kerf_m)
        pieces += up_mm(piece.length_m)
    kept = left >= up_mm(habits.keep_m)
    return Measured(left, kept, whole - pieces - (left if kept else 0), 0 if cut.spool.offcut else pieces)


def holds(wire: Spool | Offer, piece: Piece, habits: CutHabits) -> bool:
    """Tell whether a whole spool or off-cut is of a piece's kind and long enough for it."""
    trim = 0 if getattr(wire, "offcut", False) else up_mm(habits.trim_m)
    return of_a_kind(wire, piece) and down_mm(wire.length_m) - trim >= up_mm(piece.length_m) + up_mm(habits.kerf_m)


def of_a_kind(wire: Spool | Offer, piece: Piece) -> bool:
    """Tell whether gauge and colours agree; no colour stands for any single one, and a pair has no first."""
    if wire.gauge != piece.gauge:
        return False
    if wire.colours and "".join(piece.colours):
        return set(wire.colours) == set(piece.colours) and len(wire.colours) == len(piece.colours)
    return len(wire.colours) <= 1 and len(piece.colours) <= 1
