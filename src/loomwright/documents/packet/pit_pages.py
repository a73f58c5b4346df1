"""The last pages of the packet: what may fail, what goes along to an event, what to buy and which spares to carry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.documents.packet.failing import weak_points_of_robot
from loomwright.documents.packet.hunting import hunt_side
from loomwright.documents.packet.pit import pit_leaf
from loomwright.documents.packet.shopping import shopping
from loomwright.hunting.robot.robot_hunt import NoBatteryError, robot_hunt
from loomwright.hunting.robot.weak_points import weak_points_of

if TYPE_CHECKING:
    from loomwright.documents.packet.blocks import Part
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.plan.result import Plan


def pit_pages(plan: Plan) -> tuple[Part, ...]:
    """Return what stands on them, in the order in which it is used."""
    hunt = _hunt(plan)
    points = weak_points_of(hunt) if hunt is not None else ()
    weak, dark = weak_points_of_robot(plan, points), hunt_side(hunt) if hunt is not None else None
    card = (weak, pit_leaf(plan, dark)) if dark is not None else (pit_leaf(plan, weak),)
    return (*card, shopping(plan, points))


def _hunt(plan: Plan) -> RobotHunt | None:
    """Return the hunt on a plan's robot; None where its battery's part says too little."""
    try:
        return robot_hunt(plan)
    except NoBatteryError:
        return None
