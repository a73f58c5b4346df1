"""How wires of any thickness lie in the smallest round bundle.

Circles are pressed together by a round wall that shrinks under a small, steady push. Where two of them touch they
give way a little; each time the heap has settled, every touching pair is told to keep that much more apart (an
augmented Lagrangian), until the overlaps are gone. Several starts are pressed at once. What is left of an overlap is
removed by spreading all centres, so that the answer always holds; it is an upper bound, not a proved best.

Only sums, products, quotients and square roots are used, and sums run in one order: the same bytes on every machine.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

#: Cosine and sine of the golden angle: spots that turn by it fill a disc evenly.
_TURN = (-0.7373688780783197, 0.6754902942615238)
_PUSH, _STEP, _SWING = 0.3, 0.2, 0.8
_SETTLE, _ROUNDS, _AGAIN = 60, 10, 15
_MOST_STARTS, _LEAST_STARTS, _MANY, _WORK = 32, 4, 100, 7000
_LOOSE = 0.75
_TINY, _SAFE = 1e-12, 1 + 1e-9
_PAIR = 2


@dataclass(frozen=True, slots=True)
class Packing:
    """A round bundle: its diameter [mm] and the centre of each wire from the bundle's own [mm], in the order given."""

    diameter_mm: float
    centres: tuple[tuple[float, float], ...]


def pack(diameters_mm: Sequence[float]) -> Packing:
    """Lay wires with these outside diameters [mm] into the smallest circle that is found.

    Nothing overlaps and nothing stands out. Equal wires come within 0.5 % of the best packing known, up to 20
    (source: circle-packing); the order of the wires decides nothing.

    Raises
    ------
    ValueError
        For no wire, or a diameter that is not above zero.
    """
    if not diameters_mm or not all(0 < d < math.inf for d in diameters_mm):
        raise ValueError(f"a bundle has at least one wire, each with a diameter above 0 mm, not {list(diameters_mm)}")
    thickest_first = sorted(range(len(diameters_mm)), key=lambda i: -diameters_mm[i])
    found = _packed(tuple(diameters_mm[i] for i in thickest_first))
    centre_of = dict(zip(thickest_first, found.centres, strict=True))
    return Packing(found.diameter_mm, tuple(centre_of[i] for i in range(len(diameters_mm))))


@lru_cache(maxsize=4096)
def _packed(diameters_mm: tuple[float, ...]) -> Packing:
    """Pack wires that come thickest first."""
    if len(diameters_mm) <= _PAIR:
        total = sum(diameters_mm)
        lefts = (0.0, *diameters_mm)
        return Packing(
            total, tuple((left + d / 2 - total / 2, 0.0) for left, d in zip(lefts, diameters_mm, strict=False))
        )
    scale = diameters_mm[0] / 2
    radii = [d / diameters_mm[0] for d in diameters_mm]
    reach, centres = _pressed(radii)
    return Packing(2 * scale * reach, tuple((scale * x, scale * y) for x, y in centres))


def _pressed(radii: list[float]) -> tuple[float, list[tuple[float, float]]]:
    """Press several starts at once and return the tightest, as radius and centres."""
    press = _Press(radii)
    press.settle(_SETTLE)
    best = press.tightest()
    for _ in range(_ROUNDS):
        press.push_apart()
        press.settle(_AGAIN)
        best = min(best, press.tightest(), key=lambda found: found[0])
    return best


class _Press:
    """Heaps of the same circles, pressed side by side.

    Shapes: `heap` (2, circles, starts), distances (circles, circles, starts), `wall` (starts); all in radii of the
    thickest circle. Every sum runs over a middle axis, so that numpy adds row by row, in the same order everywhere.
    """

    def __init__(self, radii: list[float]) -> None:
        import numpy as np  # noqa: PLC0415  heavy: only a real bundle needs it

        self._np = np
        count = len(radii)
        starts = max(_LEAST_STARTS if count <= _MANY else 1, min(_MOST_STARTS, _WORK // count**2))
        self._radius = np.array(radii)[:, None]
        self._apart = (np.array(radii)[:, None] + np.array(radii)[None, :])[:, :, None]
        self._apart[np.arange(count), np.arange(count)] = -1.0  # nothing keeps its distance from itself
        self._heap = np.array(list(_starts(radii, starts))).transpose(2, 1, 0).copy()
        self._wall = np.full(starts, math.sqrt(sum(r * r for r in radii) / _LOOSE))
        self._speed, self._wall_speed = np.zeros_like(self._heap), np.zeros(starts)
        self._keep, self._keep_in = np.repeat(self._apart, starts, axis=2), np.repeat(self._radius, starts, axis=1)

    def settle(self, times: int) -> None:
        """Let the heaps move under what pushes them."""
        np = self._np
        wall_step = _STEP / math.sqrt(len(self._radius))
        for _ in range(times):
            away, distance = self._distances()
            middle = self._from_middle()
            out = np.maximum(middle + self._keep_in - self._wall, 0.0)
            push = (np.maximum(self._keep - distance, 0.0) / distance * away).sum(2) - out / middle * self._heap
            self._speed = _SWING * self._speed + _STEP * push
            self._wall_speed = _SWING * self._wall_speed + wall_step * (out.sum(0) - _PUSH)
            self._heap = self._heap + self._speed
            self._wall = self._wall + self._wall_speed

    def push_apart(self) -> None:
        """Make every pair that overlaps keep that much more apart, and the same at the wall."""
        _, distance = self._distances()
        more = self._np.maximum(self._keep - distance, 0.0)
        more_in = self._np.maximum(self._from_middle() + self._keep_in - self._wall, 0.0)
        self._keep, self._keep_in = self._apart + more, self._radius + more_in

    def tightest(self) -> tuple[float, list[tuple[float, float]]]:
        """Spread each heap until nothing overlaps, and return the radius and the centres of the smallest."""
        _, distance = self._distances()
        spread = (self._apart / distance).max(axis=(0, 1)) * _SAFE
        reach = (self._from_middle() * spread + self._radius).max(0) * _SAFE
        best = int(reach.argmin())
        across, along = (self._heap[:, :, best] * spread[best]).tolist()
        return float(reach[best]), list(zip(across, along, strict=True))

    def _distances(self) -> tuple[Floats, Floats]:
        """Return each centre from each other one, and how far they lie apart."""
        away = self._heap[:, :, None, :] - self._heap[:, None, :, :]
        return away, self._np.sqrt(away[0] * away[0] + away[1] * away[1]) + _TINY

    def _from_middle(self) -> Floats:
        middle: Floats = self._np.sqrt(self._heap[0] * self._heap[0] + self._heap[1] * self._heap[1]) + _TINY
        return middle


def _starts(radii: list[float], starts: int) -> Iterator[list[tuple[float, float]]]:
    """Give heaps to start from: circles on the spots of a sunflower, in several orders, later ones shaken."""
    count = len(radii)
    spacing = 1.05 * math.sqrt(sum(r * r for r in radii) / count)
    chance = _chance()
    for start in range(starts):
        spot_of = list(range(count))  # the thickest circle in the middle
        if start % 4 == 1:
            spot_of.reverse()
        elif start % 4 > 1:
            _shuffle(spot_of, chance)
        shake = 0.0 if start < 4 else 0.6  # noqa: PLR2004  the first four are tried as they are
        spots = _sunflower(count, next(chance))
        yield [
            (spacing * (x + shake * (next(chance) - 0.5)), spacing * (y + shake * (next(chance) - 0.5)))
            for x, y in (spots[spot] for spot in spot_of)
        ]


def _sunflower(count: int, offset: float) -> list[tuple[float, float]]:
    spots: list[tuple[float, float]] = []
    x, y = 1.0, 0.0
    for i in range(count):
        far = math.sqrt(i + offset)
        spots.append((far * x, far * y))
        x, y = x * _TURN[0] - y * _TURN[1], x * _TURN[1] + y * _TURN[0]
    return spots


def _shuffle(items: list[int], chance: Iterator[float]) -> None:
    for i in range(len(items) - 1, 0, -1):
        j = int(next(chance) * (i + 1))
        items[i], items[j] = items[j], items[i]


def _chance() -> Iterator[float]:
    """Give numbers from 0 to 1 that look random and are the same every time: whole-number arithmetic only."""
    state = 12345
    while True:
        state = (1103515245 * state + 12345) % 2**31
        yield state / 2**31
