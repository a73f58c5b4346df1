"""What is supposed of resistances and capacities before any reading, from the table of practice."""

from __future__ import annotations

from functools import cache

import numpy as np

from loomwright.rack.health.levels import Supposed
from loomwright.rack.health.practice import practice

_SLOPES = 17


@cache
def supposed_ohm() -> Supposed:
    """Return what is supposed of the logarithm of a resistance over its class's."""
    return Supposed(
        least=-1.0,
        most=2.2,
        class_doubt=practice("class level doubt"),
        spreads=(0.05, 0.1, 0.17, 0.25),
        slopes=_slopes(practice("slope"), practice("slope doubt")),
        slope=practice("slope"),
        slope_doubt=practice("slope doubt"),
        tail=practice("tail"),
        blunder=practice("blunder"),
        change=practice("change"),
        changed_to=0.4,
        changed_doubt=0.5,
    )


@cache
def supposed_loss() -> Supposed:
    """Return what is supposed of the logarithm of what a battery is rated over what it holds."""
    return Supposed(
        least=-0.9,
        most=1.8,
        class_doubt=practice("capacity level doubt"),
        spreads=(0.04, 0.08, 0.15, 0.25),
        slopes=_slopes(practice("fade"), practice("fade doubt")),
        slope=practice("fade"),
        slope_doubt=practice("fade doubt"),
        tail=practice("tail"),
        blunder=practice("blunder"),
        change=practice("change"),
        changed_to=0.3,
        changed_doubt=0.4,
    )


def _slopes(middle: float, doubt: float) -> tuple[float, ...]:
    """Return slopes from none to three times the doubt above the middle: wear heals nothing."""
    return tuple(float(slope) for slope in np.linspace(0.0, middle + 3 * doubt, _SLOPES))
