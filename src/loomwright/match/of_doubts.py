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
        Doubt("battery ohm", "its resistance", state.ohm[0] / ohm, state.ohm[1] / ohm, "x", source=state.source),
        Doubt(
            "capacity",
            "what it holds",
            state.capacity[0] / capacity,
            state.capacity[1] / capacity,
            "x",
            source=state.source,
        ),
        Doubt("charge", "how full it is at the start", *state.charge, source=state.source),
        Doubt(
            "joint ohm", "each contact of a branch", *joint, "ohm", logarithmic=True, source=practice_source("joint")
        ),
        Doubt(
            "main joint ohm",
            "each contact of the main leads",
            *main,
            "ohm",
            logarithmic=True,
            source=practice_source("main joint"),
        ),
        Doubt("trip", "where in its band each breaker opens", 0.0, 1.0, source="own-choice"),
        Doubt("warmth", "the air", *air_c, "C", source=state.source),
    )


def air_of(robot: Robot, state: BatteryState) -> tuple[float, float]:
    """Return the least and most of the air's temperature [C]; at most what the file says of the air around wires."""
    said = robot.house.ambient.values
    if not said or not state.usual_air:
        return state.air_c
    return min(state.air_c[0], *said), max(said)
