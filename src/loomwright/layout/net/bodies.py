"""The bodies of devices, as ground that proposed trunks and links stay out of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.layout.net.line import HAIR_M
from loomwright.layout.places import outline_of, place_of

if TYPE_CHECKING:
    from loomwright.layout.net.ground import Body
    from loomwright.layout.result import Point
    from loomwright.model.robot import Robot

#: What a bundle keeps clear of a device, so that a tie gets round it [m]; common practice. A hair less, so that two
#: devices 10 mm apart leave a way between them, whatever the last digit of a float says.
AIR_M = 0.005 - HAIR_M
#: A line this much above or below the place of a device still meets its body [m]; from above nothing tells how high
#: a device is.
BODY_M = 0.05 + HAIR_M
_INSIDE_M = 1e-3


@dataclass(frozen=True, slots=True)
class Bodies:
    """The outlines of all devices with `AIR_M` around them, each with the height that it stands at [m]."""

    outlines: tuple[tuple[float, Body], ...] = ()

    def at(self, height_m: float, *, more_m: float = 0.0) -> tuple[Body, ...]:
        """Return the outlines that a level line at this height meets, with so much more air around them [m]."""
        return tuple(_grown(outline, more_m) for at_m, outline in self.outlines if abs(at_m - height_m) <= BODY_M)

    def between(self, start: Point, end: Point) -> tuple[Body, ...]:
        """Return the outlines that a link between two places goes round: level at the height of the first.

        A body that one of the two lies in is none of them: people may draw a trunk right through a device.
        """
        return tuple(outline for outline in self.at(start[2]) if not (_within(start, outline) or _within(end, outline)))

    def cover(self, foot: Point, top: Point) -> bool:
        """Tell whether something that stands upright would run through a body."""
        low, high = sorted((foot[2], top[2]))
        return any(low - BODY_M <= at_m <= high and _within(foot, outline) for at_m, outline in self.outlines)


NONE = Bodies()


def bodies_of(robot: Robot) -> Bodies:
    """Return the bodies of all devices with a place and a size, in an order that the file does not decide."""
    found: set[tuple[float, Body]] = set()
    for device in robot:
        corners, place = outline_of(robot, device), place_of(robot, device)
        if corners is None or place is None:
            continue
        rights, forwards = [c[0] for c in corners], [c[1] for c in corners]
        left, right, rear, front = min(rights), max(rights), min(forwards), max(forwards)
        outline = ((left, front), (right, front), (right, rear), (left, rear))
        found.add((place[2], _grown(outline, AIR_M)))
    return Bodies(tuple(sorted(found)))


def _grown(outline: Body, by_m: float) -> Body:
    (left, front), _, (right, rear), _ = outline
    left, right, rear, front = left - by_m, right + by_m, rear - by_m, front + by_m
    return ((left, front), (right, front), (right, rear), (left, rear))


def _within(at: Point, outline: Body) -> bool:
    """Tell whether a place is inside an outline, and not only at its edge."""
    (left, front), _, (right, rear), _ = outline
    return left + _INSIDE_M < at[0] < right - _INSIDE_M and rear + _INSIDE_M < at[1] < front - _INSIDE_M
