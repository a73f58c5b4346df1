"""A small robot for tests: two lengths, one drive side, one lift; each test changes what it is about."""

from __future__ import annotations

from typing import Any

from loomwright.match.of_plan import MachineOf, machine_of
from tests.robots import LIBRARY, as_text, plan_of


def small_robot() -> dict[str, Any]:
    """Return the file as plain data: a drive of one motor, a lift, a robot controller."""
    motor = {"motor": "motor/brushless-500w", "controller": "controller/inline-40a", "length": "50 cm"}
    return {
        "robot": "Small",
        "battery": {"part": "battery/agm-12v-18ah", "leads": "6 AWG", "lead length": "25 cm", "plug": "none"},
        "main breaker": {"part": "breaker/main-120a", "lead length": "20 cm"},
        "blocks": {"block": {"part": "block/6-heavy-10-light-2-fused", "lead length": "20 cm"}},
        "mechanisms": {
            "base": {"does": {"kind": "drive", "mass": "50 kg", "wheel": "10 cm", "gearing": 8}, **motor},
            "lift": {
                "does": {"kind": "lift", "carries": "6 kg", "travel": "90 cm", "drum": "4 cm", "gearing": 12},
                **motor,
            },
        },
        "electronics": {"robot controller": {"part": "computer/robot-controller", "feed": "fused", "length": "40 cm"}},
    }


def played(robot: dict[str, Any], **options: Any) -> MachineOf:  # noqa: ANN401  the options of machine_of
    """Return what is made of a file that is written as plain data."""
    return machine_of(plan_of(as_text(robot)), find_part=LIBRARY.part, **options)


def codes(made: MachineOf) -> set[str]:
    """Return the codes of what is asked."""
    return {finding.code for finding in made.findings}
