"""The part of the ground that the robot takes up, and where its power comes from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.layout.places import place_of
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.layout.result import Point
    from loomwright.model.robot import Robot

#: Where no outline is drawn, the plate is taken to reach this far beyond the outermost devices [m].
MARGIN_M = 0.08


def box_of(robot: Robot) -> tuple[float, float, float, float] | None:
    """Return the left, rear, right and front edge of the robot [m]; None where nothing has a place.

    The plates' outlines decide; where none is drawn, the places of the devices with a margin.
    """
    corners = [corner for plate in robot.plates for corner in plate.outline]
    margin_m = 0.0
    if not corners:
        corners = [place[:2] for device in robot if (place := place_of(robot, device)) is not None]
        margin_m = MARGIN_M
    if not corners:
        return None
    rights, forwards = [c[0] for c in corners], [c[1] for c in corners]
    return (min(rights) - margin_m, min(forwards) - margin_m, max(rights) + margin_m, max(forwards) + margin_m)


def hub_of(robot: Robot, box: tuple[float, float, float, float]) -> Point:
    """Return where most wires come from: the first block that has a place, else the middle of the robot."""
    blocks = sorted((d for d in robot if d.kind == "block" and place_of(robot, d)), key=lambda d: (natural(d.id), d.id))
    at = place_of(robot, blocks[0]) if blocks else None
    return at if at is not None else ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2, 0.0)
