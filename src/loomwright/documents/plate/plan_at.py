"""On which plate of a robot a place lies."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.layout.result import Point
    from loomwright.model.robot import Plate, Robot

_NEAR_M = 1e-6


def plate_at(robot: Robot, at: Point) -> int:
    """Return the number of the highest plate that a place is on or above, within its outline."""
    fits = [
        (plate.height_m, i)
        for i, plate in enumerate(robot.plates)
        if i == 0 or (plate.height_m <= at[2] + _NEAR_M and _over(plate, at))
    ]
    return max(fits)[1]


def _over(plate: Plate, at: Point) -> bool:
    """Tell whether a place is above the box around a plate; a plate without outline is everywhere."""
    if not plate.outline:
        return True
    rights, forwards = [x for x, _ in plate.outline], [y for _, y in plate.outline]
    return (
        min(rights) - _NEAR_M <= at[0] <= max(rights) + _NEAR_M
        and min(forwards) - _NEAR_M <= at[1] <= max(forwards) + _NEAR_M
    )
