"""Stored air: when the compressor runs, and what a stroke takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.match.machine import Air
from loomwright.match.of_practice import practice

if TYPE_CHECKING:
    from loomwright.match.of_notes import Notes
    from loomwright.model.device import Device
    from loomwright.model.robot import Robot


def air_store(robot: Robot, compressors: tuple[Device, ...], notes: Notes) -> Air | None:
    """Return the stored air of a robot with a compressor; its tanks and cylinders are assumed, and said.

    With four strokes in a cycle of 11 s the compressor runs two thirds of a match, as is seen.
    """
    if not compressors:
        return None
    notes.assume("tanks, cylinders and the pressures of the switch are assumed: two thirds of a match pumping")
    if not robot.of_kind("switch"):
        device = compressors[0]
        notes.ask(
            "no-pressure-switch",
            device.mark,
            device.path,
            f"Nothing here switches {device.called} off when its tanks are full; the study takes a usual switch.",
            "Name it under `pneumatics`: "
            "`pressure switch: {part: switch/pressure, on: air module, port: pressure switch}`.",
        )
    return Air(practice("air on"), practice("air fill"), practice("air stroke"))
