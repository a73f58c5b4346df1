"""The shares of `chance.share` for many keys at once, by numpy: compiling this took longer than a whole match."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    import numpy.typing as npt

    from loomwright.match.engine.hot import Floats

_GOLDEN: Final = np.uint64(0x9E3779B97F4A7C15)
_FIRST, _SECOND = np.uint64(0xBF58476D1CE4E5B9), np.uint64(0x94D049BB133111EB)
_SHARE: Final = 2.0**-53


def shares(seed: int, first: int, count: int, use: int, numbers: int) -> Floats:
    """Return the shares of matches `first` to `first + count` and of the numbers from 0 on: (matches, numbers)."""
    x = np.array([[seed % 2**64]], dtype=np.uint64)
    for told in (np.arange(first, first + count)[:, np.newaxis], np.array([[use]]), np.arange(numbers)):
        x = _mixed(x * _GOLDEN + told.astype(np.uint64))
    return np.asarray((x >> np.uint64(11)).astype(np.float64) * _SHARE)


def _mixed(x: npt.NDArray[np.uint64]) -> npt.NDArray[np.uint64]:
    """Mix the bits of numbers as splitmix64 does (source: splitmix64-memory)."""
    x = (x ^ (x >> np.uint64(30))) * _FIRST
    x = (x ^ (x >> np.uint64(27))) * _SECOND
    return x ^ (x >> np.uint64(31))
