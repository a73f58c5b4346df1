"""Derive the whole wiring of a robot: battery path, feeds, motor sides, data and signal lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.wiring.battery_path import battery_path
from loomwright.wiring.data_lines import bus_circuits, network_circuits
from loomwright.wiring.feeds import feed_circuits
from loomwright.wiring.motor_side import motor_circuits
from loomwright.wiring.result import Wiring
from loomwright.wiring.signals import signal_circuits

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.findings import Finding
    from loomwright.model.robot import Robot
    from loomwright.wiring.result import Circuit


def derive(robot: Robot) -> Wiring:
    """Return every circuit and wire that the robot's parts imply, from the battery outwards.

    Nothing is decided here: a branch knows which blocks could feed it and what it wants of a slot.
    What can't be derived from what was said comes back as questions.
    """
    questions: list[Finding] = []

    def circuits() -> Iterator[Circuit]:
        yield from battery_path(robot, questions)
        yield from feed_circuits(robot, questions)
        yield from motor_circuits(robot, questions)
        yield from bus_circuits(robot, questions)
        yield from network_circuits(robot, questions)
        yield from signal_circuits(robot, questions)

    return Wiring(tuple(circuits()), tuple(questions))
