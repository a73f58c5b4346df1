"""What is not known to the point and drawn anew for every match: battery, contacts, breakers, air."""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING

from loomwright.match.machine import Doubt
from loomwright.match.of_practice import practice_range, practice_source

if TYPE_CHECKING:
    from loomwright.match.of_battery import BatteryState
    from loomwright.model.robot import Robot


def doubts_of(state: BatteryState, air_c: tuple[float, float]) -> tuple[Doubt, ...]:
    """Return the doubts of one machine; those on the battery are factors on it as it stands there."""
    ohm, capacity = sqrt(state.ohm[0] * state.ohm[1]), sqrt(state.capacity[0] * state.capacity[1])
    joint, main = practice_range("joint"), practice_range("main joint")
    return (
        Doubt(
            "battery ohm", "the battery's resistance", state.ohm[0] / ohm, state.ohm[1] / ohm, "x", source=state.source
        ),
        Doubt(
            "capacity",
            "what the battery holds",
            state.capacity[0] / capacity,
            state.capacity[1] / capacity,
            "x",
            source=state.source,
        ),
        Doubt("charge", "how full the battery is", *state.charge, source=state.source),
        Doubt(
            "joint ohm", "the joints of the branches", *joint, "ohm", logarithmic=True, source=practice_source("joint")
        ),
        Doubt(
            "main joint ohm",
            "the joints of the main leads",
            *main,
            "ohm",
            logarithmic=True,
            source=practice_source("main joint"),
        ),
        Doubt("trip", "when breakers open", 0.0, 1.0, source="own-choice"),
        Doubt("warmth", "how warm it is", *air_c, "C", source=state.source),
    )


def air_of(robot: Robot, state: BatteryState) -> tuple[float, float]:
    """Return the least and most of the air's temperature [C]; at most what the file says of the air around wires."""
    said = robot.house.ambient.values
    if not said or not state.usual_air:
        return state.air_c
    return min(state.air_c[0], *said), max(said)
