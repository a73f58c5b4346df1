"""What can hurt somebody or fail an inspection is told: one dangerous change each to a sound small robot."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from tests.robots import as_text, plan_of

SOUND = """
robot: Plover
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm,
          strapped: yes, posts insulated: yes, lock nuts: yes}
main breaker: {part: breaker/main-120a, lead length: 20 cm, reachable: yes, guarded: yes, nuts visible: yes}
blocks:
  block: {part: block/6-heavy-10-light-2-fused, lead length: 20 cm}
mechanisms:
  lift:
    motor: motor/brushless-500w
    controller: controller/inline-40a
    length: 60 cm
    limit: {supply: 40 A, motor: 80 A}
electronics:
  robot controller: {part: computer/robot-controller, feed: fused, length: 40 cm}
  regulator: {part: regulator/12v-3a-5v-3a, feed: fused, length: 40 cm}
lights:
  beacon: {part: light/signal, jumper: yes, length: 50 cm}
"""
AIR = """
  air: {part: pneumatics/control-module, length: 40 cm}
  compressor: {part: compressor/12v, length: 40 cm}
  pressure switch: {part: switch/pressure, on: air, port: pressure switch}
"""


def _with(changes: str) -> str:
    """Write the sound robot with some things added or changed; a word `gone` takes one out."""
    robot: dict[str, Any] = yaml.load(SOUND, Loader=yaml.BaseLoader)  # noqa: S506  texts only, and our own
    for group, held in (yaml.load(changes, Loader=yaml.BaseLoader) or {}).items():  # noqa: S506  the same
        if held == "gone":
            del robot[group]
        else:
            robot[group] = {**robot.get(group, {}), **held}
    return as_text(robot)


def _told(changes: str) -> list[tuple[str, str, str]]:
    """Return what is told of the changed robot beside its free slots, gravest first."""
    findings = plan_of(_with(changes)).findings
    return [(str(f.severity), f.code, f.place.thing) for f in findings if f.code not in ("free-slots", "no-limit")]


def test_the_sound_robot_has_nothing_to_tell() -> None:
    """What is told below comes from the change alone."""
    assert _told("") == []
    assert _told("pneumatics:" + AIR) == []


DANGERS = [
    pytest.param(
        "lights: {strip: {part: light/strip-5v, from: regulator, length: 50 cm},"
        " rim: {part: light/strip-5v, from: regulator, length: 50 cm}}",
        [("must", "no-slot", "lights.strip")],
        id="a second strip finds no output",
    ),
    pytest.param(
        "lights: {strip: {part: light/strip-5v, from: regulator, slot: 5 V, length: 50 cm},"
        " rim: {part: light/strip-5v, from: regulator, slot: 5 V, length: 50 cm}}",
        [("must", "too-many-wires", "electronics.regulator")] * 2,
        id="two strips in one pair of clamps",
    ),
    pytest.param(
        "pneumatics:" + AIR + "  gate: {part: valve/single, module: air, channels: 3, length: 60 cm}\n"
        "  hook: {part: valve/single, module: air, channels: 3, length: 60 cm}\n",
        [("must", "too-many-wires", "pneumatics.air")] * 2,
        id="two valves on one channel",
    ),
]


@pytest.mark.parametrize(("changes", "expected"), DANGERS)
def test_a_danger_is_told(changes: str, expected: list[tuple[str, str, str]]) -> None:
    """Exactly what is wrong is told, and nothing else."""
    assert _told(changes) == expected
