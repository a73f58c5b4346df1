"""What stands in one cell of a table: a number, a text, or a word that says why there is neither.

A cell is never empty. "unknown" waits for an answer; "-" has nothing to say here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Final, TypeAlias

from loomwright.units import Dimension, show

UNKNOWN: Final = "unknown"
NOT_APPLICABLE: Final = "-"

#: A number, or one of the two words above.
Amount: TypeAlias = float | str
#: Everything a cell can hold; several texts are told one after the other.
Cell: TypeAlias = float | str | tuple[str, ...]

_ALL_FIGURES = 6


def amount(value: float | None, *, places: int, applies: bool = True) -> Amount:
    """Round a number to so many places; say `unknown` for None, or `-` where it doesn't apply."""
    if value is None or not math.isfinite(value):
        return blank(applies=applies)
    return round(float(value), places) + 0.0  # + 0.0 turns -0.0 into 0.0


def ratio(value: float | None, *, applies: bool = True) -> Amount:
    """Round a margin down to two places, so that a limit that is broken never reads as held."""
    if value is None or not math.isfinite(value):
        return blank(applies=applies)
    return math.floor(value * 100 + 1e-9) / 100


def text(words: str, *, applies: bool = True) -> str:
    """Give the words; say `unknown` for none, or `-` where they don't apply."""
    return words or blank(applies=applies)


def blank(*, applies: bool) -> str:
    """Say why a cell has no value."""
    return UNKNOWN if applies else NOT_APPLICABLE


def yes(fact: bool) -> str:  # noqa: FBT001  a fact turned into its word
    """Write a fact as yes or no."""
    return "yes" if fact else "no"


def together(words: Iterable[str]) -> str:
    """Write each word once, in order, with commas."""
    return ", ".join(dict.fromkeys(words))


def length_words(length_m: float | None) -> str:
    """Write a length [m] to the millimetre with the unit that suits it: "85.3 cm", "1.234 m"."""
    return UNKNOWN if length_m is None else show(round(length_m, 3), Dimension.LENGTH, digits=_ALL_FIGURES)


def as_words(cell: Cell, joiner: str = "; ") -> str:
    """Write a cell as text; whole numbers without a point."""
    if isinstance(cell, tuple):
        return joiner.join(cell) or NOT_APPLICABLE
    if isinstance(cell, str):
        return cell
    return str(int(cell)) if cell == int(cell) else repr(float(cell))
