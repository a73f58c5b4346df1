"""Numbers and proofs as JSON keeps them: six figures, and null for what is no number."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.search import Certificate

_FIGURES: Final = 6
_MM_PER_M: Final = 1000


def number(value: float | None) -> float | None:
    """Keep six figures, so that two computers write the same bytes; null for a number that there is not."""
    return None if value is None or not math.isfinite(value) else float(f"{value:.{_FIGURES}g}")


def mm(length_m: float) -> float | None:
    """Give a length [m] in millimetres."""
    return number(length_m * _MM_PER_M)


def place_mm(at: Iterable[float]) -> list[float | None]:
    """Give a point (right, forward, up) [m] in millimetres."""
    return [mm(part) for part in at]


def standing(certificate: Certificate | None) -> dict[str, object]:
    """Tell how good an answer is: "proved", "gap", or "none" where nothing was there to decide."""
    if certificate is None:
        return {"status": "none", "gap": None}
    return {"status": certificate.status, "gap": number(certificate.gap)}


def costs(certificate: Certificate | None, unit: str) -> dict[str, object]:
    """Tell what an answer costs, what any answer costs at least, and what the plain answer costs."""
    keys = ("cost", "bound", "baseline")
    return {f"{key}_{unit}": number(getattr(certificate, key)) if certificate else None for key in keys}
