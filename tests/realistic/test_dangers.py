"""What can hurt somebody or fail an inspection is told: one dangerous change each to a sound small robot."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from loomwright.findings import Severity
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
    """Return what must be fixed or looked at on the changed robot, sorted."""
    findings = [f for f in plan_of(_with(changes)).findings if f.severity is not Severity.CONSIDER]
    return sorted((str(f.severity), f.code, f.place.thing) for f in findings)


def test_the_sound_robot_has_nothing_to_tell() -> None:
    """What is told below comes from the change alone."""
    assert _told("") == []
    assert _told("pneumatics:" + AIR) == []


DANGERS = [
    pytest.param(
        "lights: {strip: {part: light/strip-5v, from: regulator, length: 50 cm},"
        " rim: {part: light/strip-5v, from: regulator, length: 50 cm}}",
        [("must", "no-slot", "lights.rim"), ("must", "wishes-clash", "electronics.regulator")],
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
    pytest.param(
        "lights: {strip: {part: light/strip-5v, from: block, slot: L3, protection: 20 A, length: 50 cm}}",
        [("must", "wrong-voltage", "lights.strip"), ("should", "own-leads-thin", "lights.strip")],
        id="a 5 V strip on 12 V, its 20 AWG leads behind 20 A",
    ),
    pytest.param(
        "electronics: {radio: {part: radio/generic, from: regulator, slot: 5 V, length: 50 cm}}",
        [("must", "wrong-voltage", "electronics.radio")],
        id="a 12 V radio on 5 V",
    ),
    pytest.param(
        "electronics: {radio: {part: radio/generic, from: block, slot: L3, length: 50 cm}}",
        [("should", "unsteady-supply", "electronics.radio")],
        id="a radio that every push may brown out",
    ),
    pytest.param(
        "pneumatics: {air: {part: pneumatics/control-module, length: 40 cm}, compressor: {part: compressor/12v}}",
        [("must", "required-device", "robot"), ("should", "length-unknown", "pneumatics.compressor")],
        id="no pressure switch",
    ),
    pytest.param(
        "pneumatics: {compressor: {part: compressor/12v, from: block, slot: L4, protection: 20 A, length: 50 cm},"
        " switch: {part: switch/pressure, port: unknown}}",
        [("should", "never-switched", "pneumatics.compressor"), ("should", "unknown", "pneumatics.switch.port")],
        id="a compressor that no pressure switch stops",
    ),
    pytest.param(
        "electronics: {vision: {part: computer/vision-12v, from: block, protection: 10 A, draw: 12 A, length: 50 cm}}",
        [("must", "load-above-protection", "electronics.vision")],
        id="a load above its breaker",
    ),
    pytest.param(
        "electronics: {regulator: {part: regulator/12v-3a-5v-3a, feed: fused, length: 40 cm},"
        " annex: {part: regulator/12v-3a-5v-3a, from: block, slot: L1, protection: 10 A, wire: 16 AWG, length: 50 cm},"
        " mast camera: {part: device/any, from: annex, slot: 12 V, draw: 9 A, length: 20 cm},"
        " dash: {part: device/any, from: annex, slot: 5 V, draw: 3 A, length: 20 cm}}",
        [
            ("must", "load-above-protection", "electronics.annex"),
            ("must", "output-overloaded", "electronics.mast camera.draw"),
            ("must", "wrong-fuse", "electronics.annex.protection"),
            ("should", "half-known", "electronics.mast camera.part"),
        ],
        id="9 A at 12 V and 3 A at 5 V are 10.25 A at least",
    ),
    pytest.param(
        "mechanisms: {lift: {motor: motor/brushless-500w, controller: controller/clamp-brushed-30a, length: 60 cm}}",
        [("must", "motor-does-not-fit", "mechanisms.lift")],
        id="three phases on a brushed controller",
    ),
    pytest.param(
        "sensors: {low: {part: sensor/limit-switch, port: digital 0},"
        " high: {part: sensor/limit-switch, port: digital 0}}",
        [("should", "input-used-twice", "sensors.high.port")],
        id="two switches on one input",
    ),
    pytest.param(
        "main breaker: {leads: 8 AWG}",
        [
            ("must", "battery-path-too-thin", "main breaker.leads"),
            ("must", "given-gauge", "battery"),
        ],
        id="a thin lead to the main breaker",
    ),
    pytest.param(
        "blocks: {annex: {part: block/sub-8-fused, from: block, slot: L1, leads: 18 AWG, lead length: 20 cm}}",
        # Nothing is on it yet, so its breaker's 30 A count: more than the 20 A that 18 AWG carries for long.
        [("must", "wire-too-thin", "blocks.annex.wire"), ("must", "given-gauge", "blocks.annex")],
        id="a sub-block's feed thinner than its breaker asks for",
    ),
    pytest.param(
        "main breaker: {part: breaker/main-30a}",
        [("should", "small-main-breaker", "main breaker")],
        id="a main breaker that one branch opens",
    ),
    pytest.param(
        "main breaker: gone",
        [("must", "required-device", "robot")],
        id="no main breaker",
    ),
]


@pytest.mark.parametrize(("changes", "expected"), DANGERS)
def test_a_danger_is_told(changes: str, expected: list[tuple[str, str, str]]) -> None:
    """Exactly what is wrong is told, and nothing else."""
    assert _told(changes) == sorted(expected)


SILENT = [
    pytest.param(
        "blocks: {annex: {part: block/sub-8-fused, from: block, lead length: 20 cm}}\n"
        "sensors: {angle: {part: sensor/angle-bus, from: annex, protection: 10 A, id: 1, length: 50 cm}}\n"
        "data: {loop: {order: [robot controller, lift, angle, block], terminators: [robot controller, block]}}",
        id="22 AWG leads of a sensor behind a 10 A fuse are by the book",
    ),
    pytest.param(
        "electronics: {annex: {part: regulator/radio-injector, from: block, slot: L1, length: 40 cm},"
        " radio: {part: radio/generic, from: annex, over: network cable, length: 1 m}}",
        id="a radio over its cable has a steady 12 V",
    ),
    pytest.param(
        "mechanisms: {lift: {motor: motor/brushless-500w, controller: controller/inline-40a, length: 60 cm,"
        " limit: {supply: {hold: 40 A, peak: 60 A, for: 0.5 s}, motor: 80 A}}}",
        id="a short peak above the breaker's rating",
    ),
]


@pytest.mark.parametrize("changes", SILENT)
def test_what_the_trade_does_is_silent(changes: str) -> None:
    """No false alarm."""
    assert _told(changes) == []
