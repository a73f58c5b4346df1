"""Lanes for a proposed net: where a straight line forward is free of devices, and what the drops to it take."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.layout.net.line import GRID_M, HAIR_M
from loomwright.layout.net.trunks import kept_points

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from loomwright.layout.net.bodies import Bodies
    from loomwright.layout.net.ground import Body, Ground
    from loomwright.layout.places import TerminalAt
    from loomwright.layout.result import Point

#: A lane runs at least this far from the edge of the plate [m].
EDGE_M = 0.03
_STEP_M = 0.01
#: A metre that a device takes out of a lane counts as so many metres of the mean drop [m/m], and every gap as so many
#: metres of it: wires bend round the device there.
_GAP = 0.5
_GAP_M = 0.02
#: A bundle likes so much more air than a single wire [m]; a metre of lane without counts as so many of the mean drop.
_ROOM_M = 0.01
_TIGHT = 0.1
#: A metre of lane under devices, where none is free, counts as so many metres of the mean drop [m/m].
_UNDER = 2.0
#: What a drop takes that has to turn round its own device first [m].
_TURN_M = 0.10

Piece = tuple[float, tuple["Point", ...]]
"""How far along a lane a piece of it starts [m], and its points."""


@dataclass(frozen=True, slots=True)
class Lane:
    """What is free of a line that runs forward at one place to the right; `lost_m` is its price beyond drops [m]."""

    at_m: float
    pieces: tuple[Piece, ...]
    lost_m: float

    def drop_m(self, terminal: TerminalAt) -> float:
        """Return about how much wire a drop from a terminal takes [m]."""
        right, forward, _ = terminal.at
        aside_m = min(max(points[0][1] - forward, forward - points[-1][1], 0.0) for _, points in self.pieces)
        away_m = self.at_m - right
        turns = terminal.outward is not None and terminal.outward[0] * away_m < -HAIR_M
        return abs(away_m) + aside_m + (_TURN_M if turns else 0.0)


@dataclass(frozen=True, slots=True)
class Field:
    """The part of a robot in which lanes are looked for: from `left` to `right`, each from `rear` to `front`.

    With `under` lanes run under devices, and as little of them as can be.
    """

    left: float
    rear: float
    right: float
    front: float
    ground: Ground
    bodies: Bodies
    under: bool = False

    def best(
        self, near: Sequence[TerminalAt], towards_m: float, *, beside: Sequence[Lane] = (), apart: Sequence[Lane] = ()
    ) -> Lane | None:
        """Return the lane with the least mean drop from terminals; None where no lane is free or there is no terminal.

        A terminal that has a shorter drop to a lane `beside` takes that one. The lane keeps away from those and from
        the ones `apart`. Of equal lanes the one nearer to the middle is taken, then the one nearer to `towards_m`.
        """
        if not near:
            return None
        middle_m = (self.left + self.right) / 2
        walls, roomy = self.bodies.at(0.0), self.bodies.at(0.0, more_m=_ROOM_M)
        free = [
            lane
            for at_m in self._places(middle_m, (*walls, *roomy))
            if all(abs(at_m - other.at_m) >= GRID_M for other in (*beside, *apart))
            if (lane := self._lane(at_m, walls, roomy)) is not None
        ]
        return min(
            free,
            key=lambda lane: (
                round(mean_drop_m(near, [*beside, lane]) + lane.lost_m, 6),
                round(abs(lane.at_m - middle_m), 6),
                round(abs(lane.at_m - towards_m), 6),
                lane.at_m,
            ),
            default=None,
        )

    def _places(self, middle_m: float, outlines: Iterable[Body]) -> list[float]:
        """Return where lanes are tried [m]: in equal steps from the middle, and beside each device."""
        reach = max(0, int((self.right - self.left) / 2 / _STEP_M + HAIR_M))
        steps = [middle_m + k * _STEP_M for k in range(-reach, reach + 1)]
        sides = {corner[0] for outline in outlines for corner in outline}
        return sorted({*steps, *(at_m for at_m in sides if self.left <= at_m <= self.right)})

    def _lane(self, at_m: float, walls: tuple[Body, ...], roomy: tuple[Body, ...]) -> Lane | None:
        ends = ((at_m, self.rear, 0.0), (at_m, self.front, 0.0))
        free = _long(kept_points(ends, self.ground, walls))
        if self.under:
            pieces = _long(kept_points(ends, self.ground))
            lost_m = _UNDER * (_length_m(pieces) - _length_m(free))
        else:
            pieces = free
            gaps = [after[0][1] - before[-1][1] for (_, before), (_, after) in pairwise(pieces)]
            tight_m = _length_m(free) - _length_m(kept_points(ends, self.ground, roomy))
            lost_m = _GAP * sum(gaps) + _GAP_M * len(gaps) + _TIGHT * max(0.0, tight_m)
        return Lane(at_m, pieces, lost_m) if pieces else None


def mean_drop_m(terminals: Sequence[TerminalAt], lanes: Sequence[Lane]) -> float:
    """Return what a drop to the nearest of some lanes takes on average [m]."""
    return sum(min(lane.drop_m(terminal) for lane in lanes) for terminal in terminals) / len(terminals)


def _long(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    return tuple(piece for piece in pieces if piece[1][-1][1] - piece[1][0][1] >= GRID_M - HAIR_M)


def _length_m(pieces: Iterable[Piece]) -> float:
    return sum(points[-1][1] - points[0][1] for _, points in pieces)
