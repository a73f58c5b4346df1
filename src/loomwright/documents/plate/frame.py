"""From the robot to the page: which scale a panel is drawn at, and where a place on the robot stands on the paper."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from loomwright.documents.plate.sheet import PlateSheet, Spot
from loomwright.documents.scene import Box, Point

#: Scales that a folding rule or a common scale rule can read, large drawings first.
_STEPS = (1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0)
SCALES = tuple(step * ten for ten in (1.0, 10.0, 100.0, 1000.0, 10000.0, 100000.0) for step in _STEPS)
AROUND_M = 0.012  # what is kept free around the outline of a plate, so that a device may stand out
_SMALLEST_M = 0.1


@dataclass(frozen=True, slots=True)
class Extent:
    """What a panel shows of the robot, as a box [m]: right from left to right, forward from rear to front."""

    left: float
    rear: float
    right: float
    front: float

    @property
    def width_m(self) -> float:
        """Width [m]."""
        return self.right - self.left

    @property
    def depth_m(self) -> float:
        """Depth from rear to front [m]."""
        return self.front - self.rear


@dataclass(frozen=True, slots=True)
class Frame:
    """A panel on the page: the box that it fills [mm] and what of the robot it shows, at 1 to `scale`."""

    scale: float
    box: Box
    extent: Extent

    def point(self, spot: Spot) -> Point:
        """Return where a place on the robot stands on the page [mm]."""
        across = (spot[0] - self.extent.left) * 1000 / self.scale
        down = (self.extent.front - spot[1]) * 1000 / self.scale
        return (self.box.left + across, self.box.top + down)

    def points(self, spots: Iterable[Spot]) -> tuple[Point, ...]:
        """Return where a line of places stands on the page [mm], each place once."""
        found: list[Point] = []
        for spot in spots:
            point = self.point(spot)
            if not found or max(abs(point[0] - found[-1][0]), abs(point[1] - found[-1][1])) > 1e-6:  # noqa: PLR2004 a nanometre
                found.append(point)
        return tuple(found)

    def mm(self, length_m: float) -> float:
        """Return how long a length on the robot is on the page [mm]."""
        return length_m * 1000 / self.scale


def extent_of(sheet: PlateSheet, plate: int) -> Extent:
    """Return what one panel has to show: the plate's outline and all that stands on it, with a margin."""
    panel = sheet.panels[plate]
    spots = [*panel.outline, *(spot for area in panel.keep_outs for spot in area.corners)]
    spots += [spot for device in sheet.devices if device.plate == plate for spot in device.corners]
    spots += [spot for trunk in sheet.trunks if trunk.plate == plate for spot in trunk.path]
    spots += [spot for stretch in sheet.stretches if stretch.plate == plate for spot in stretch.path]
    spots += [terminal.at for terminal in sheet.terminals if terminal.plate == plate]
    rights, forwards = [s[0] for s in spots] or [0.0], [s[1] for s in spots] or [0.0]
    left, rear = min(rights), min(forwards)
    right, front = max(*rights, left + _SMALLEST_M), max(*forwards, rear + _SMALLEST_M)
    return Extent(left - AROUND_M, rear - AROUND_M, right + AROUND_M, front + AROUND_M)
