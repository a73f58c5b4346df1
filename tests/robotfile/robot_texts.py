"""Small robot files for tests of what is read, and what people are told where it can't be."""

from __future__ import annotations

import pytest

from loomwright.findings import Finding, UnreadableInputError
from loomwright.model.device import Device
from loomwright.model.robot import Robot
from tests.robots import plan_of, robot_of

#: A robot that needs nothing more: every test adds the lines that it is about.
WIRED = """\
robot: T
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 30 cm,
          strapped: yes, posts insulated: yes, lock nuts: yes}
main breaker: {part: breaker/main-120a, lead length: 15 cm, reachable: yes, guarded: yes, nuts visible: yes}
blocks:
  block: {part: block/6-heavy-10-light-2-fused, lead length: 20 cm, wires tied: yes}
electronics:
  robot controller: {part: computer/robot-controller, feed: fused, length: 40 cm, shock mounted: yes}
lights:
  beacon: {part: light/signal, jumper: yes, length: 40 cm}
"""
#: One motor that nobody has to ask about.
MOTOR = (
    "motor: motor/brushless-500w, controller: controller/inline-40a, length: 80 cm, limit: {supply: 40 A, motor: 60 A}"
)


def told(text: str) -> str:
    """Return everything that is said of a file that can't be read."""
    with pytest.raises(UnreadableInputError) as caught:
        robot_of(text)
    return str(caught.value)


def device(text: str, name: str = "a", build: str = "") -> Device:
    """Read a robot and return one thing on it."""
    found = robot_of(text, build).device(name)
    assert found is not None
    return found


def raised(text: str) -> list[Finding]:
    """Return what a plan says of a file beyond what it would say of the sound file alone."""
    usual = {finding.code for finding in plan_of(f"{WIRED}mechanisms: {{lift: {{{MOTOR}}}}}\n").findings}
    return [finding for finding in plan_of(text).findings if finding.code not in usual]


def noticed(robot: Robot) -> dict[str, Finding]:
    """Return what reading alone raises, by code."""
    return {finding.code: finding for finding in robot.noticed}
