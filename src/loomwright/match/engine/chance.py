"""Numbers that look random and are the same on every machine, by counting: none depends on what was drawn before.

A key (study, match, use, number) gives its number whatever runs beside it, so that two studies with one seed meet the
same drivers, batteries and joints. The mixing is that of splitmix64 (source: splitmix64-memory).
"""

from __future__ import annotations

import numpy as np

from loomwright.match.engine.hot import compiled

_GOLDEN = np.uint64(0x9E3779B97F4A7C15)
_FIRST, _SECOND = np.uint64(0xBF58476D1CE4E5B9), np.uint64(0x94D049BB133111EB)
_30, _27, _31, _11 = np.uint64(30), np.uint64(27), np.uint64(31), np.uint64(11)
_SHARE = 2.0**-53


@compiled
def _mixed(x: np.uint64) -> np.uint64:
    """Mix the bits of a number."""
    x = (x ^ (x >> _30)) * _FIRST
    x = (x ^ (x >> _27)) * _SECOND
    return x ^ (x >> _31)


@compiled
def share(seed: int, match: int, use: int, number: int) -> float:
    """Return a number from 0 to below 1 for a key of four whole numbers."""
    x = _mixed(np.uint64(seed) * _GOLDEN + np.uint64(match))
    x = _mixed(x * _GOLDEN + np.uint64(use))
    x = _mixed(x * _GOLDEN + np.uint64(number))
    return np.float64(x >> _11) * _SHARE
