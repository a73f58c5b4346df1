"""Robots for tests: the shipped examples, and generated ones that use every kind of part."""

from __future__ import annotations

import random
import re
from functools import lru_cache
from importlib.resources import files
from typing import Any

import yaml
from hypothesis import strategies as st

from loomwright.jobs.planning import make_plan
from loomwright.model.robot import Robot
from loomwright.plan.memory import Memory
from loomwright.plan.result import Plan
from loomwright.robotfile.parts.library import Library
from loomwright.robotfile.reading import read_robot
from loomwright.robotfile.rules.rulefile import read_rules
from loomwright.robotfile.stockfile import read_stock
from loomwright.search import Effort

EXAMPLES = ("tidepool", "breakwater", "rockpool")
LIBRARY = Library()
_MOTORS = ("motor/brushless-500w", "motor/brushless-350w", "motor/brushed-340w", "motor/brushed-180w")
_BUILT_IN = "motor/brushless-600w-built-in"


def example_text(name: str) -> str:
    """Return the robot file of a shipped example."""
    return (files("loomwright") / "data" / "examples" / name / "robot.yaml").read_text(encoding="utf-8")


def measured_trainer() -> str:
    """Return the trainer of somebody who measured along the board and gives lengths in place of places."""
    text = example_text("rockpool").partition("\nplate:")[0]
    text = re.sub(r" at: \[[^\]]*\],", "", re.sub(r" facing: left,", "", text))
    for place, length in (("[110 mm, 400 mm]", "40 cm"), ("[330 mm, 400 mm]", "45 cm")):
        measured = f"    length: {length}\n    signal length: 35 cm\n"
        text = text.replace(f"    at: {place}\n    facing: left\n", measured)
    text = text.replace("feed: fused}", "feed: fused, length: 35 cm}")
    return text.replace("jumper: yes}", "jumper: yes, length: 50 cm}")


def robot_of(text: str, build: str = "") -> Robot:
    """Read a robot from the text of its file."""
    return read_robot(text.encode(), library=LIBRARY, stock=read_stock(None), build=build)


def plan_of(
    text: str, build: str = "", memory: Memory | None = None, *, effort: Effort = Effort.FIRST, inputs: str = ""
) -> Plan:
    """Plan a robot from the text of its file: with the first answers, or as a team gets it by `effort`."""
    robot = robot_of(text, build)
    rules = read_rules(None, name=robot.rules)
    return make_plan(robot, rules, find_part=LIBRARY.part, memory=memory, effort=effort, inputs=inputs)


def example_plan(name: str, build: str = "") -> Plan:
    """Plan a shipped example as a team gets it; plans are frozen, so tests may share one."""
    return _example_plan(name, build)  # a cache takes a call with a default and one without it for two


@lru_cache(maxsize=8)
def _example_plan(name: str, build: str) -> Plan:
    return plan_of(example_text(name), build, effort=Effort.USUAL)


def as_text(robot: dict[str, Any]) -> str:
    """Write a robot file from plain data."""
    return yaml.safe_dump(robot, sort_keys=False, allow_unicode=True)


def shuffled(value: Any, seed: int) -> Any:  # noqa: ANN401  any data of a file
    """Put every mapping's keys in another order; lists keep theirs, since their order says something."""
    shaker = random.Random(seed)  # noqa: S311  a test's own order
    if isinstance(value, dict):
        keys = list(value)
        shaker.shuffle(keys)
        return {key: shuffled(value[key], seed + 1) for key in keys}
    return [shuffled(item, seed) for item in value] if isinstance(value, list) else value


@st.composite
def robots(draw: st.DrawFn, *, most_motors: int = 12) -> dict[str, Any]:
    """Draw a robot file as plain data: some motors, electronics, pneumatics, lights, sensors, a chain."""
    names = [f"motor {n}" for n in range(1, draw(st.integers(1, most_motors)) + 1)]
    motors = {name: draw(_motor(name, names)) for name in names}
    robot: dict[str, Any] = {
        "robot": "Generated",
        "battery": {"part": "battery/agm-12v-18ah", "leads": "6 AWG", "lead length": "25 cm"},
        "main breaker": {"part": "breaker/main-120a", "lead length": "20 cm"},
        "blocks": {"block": {"part": "block/12-heavy-12-light-2-fused", "lead length": "20 cm"}},
        "mechanisms": {"all of it": {"motors": motors}},
        "electronics": {"robot controller": {"part": "computer/robot-controller", "feed": "fused"}},
        "lights": {"beacon": {"part": "light/signal", "jumper": "yes"}},
    }
    electronics = robot["electronics"]
    if draw(st.booleans()):
        electronics["regulator"] = {"part": "regulator/12v-3a-5v-3a", "feed": "fused"}
        over = draw(st.sampled_from(["wires", "network cable"]))
        electronics["radio"] = {"part": "radio/generic", "from": "regulator", "over": over}
        if draw(st.booleans()):
            robot["lights"]["strip"] = {"part": "light/strip-5v", "from": "regulator", "draw": "1 A"}
    if draw(st.booleans()):
        robot["blocks"]["sub"] = {"part": "block/sub-6-light", "from": "block", "lead length": "30 cm"}
        electronics["vision"] = {"part": "computer/vision-12v", "from": draw(st.sampled_from(["block", "sub"]))}
    if draw(st.booleans()):
        robot["pneumatics"] = {
            "air module": {"part": "pneumatics/control-module"},
            "compressor": {"part": "compressor/12v"},
            "pressure switch": {"part": "switch/pressure", "on": "air module", "port": "pressure switch"},
            "gate": {"part": "valve/double", "module": "air module", "channels": [3, 2]},
        }
    if draw(st.booleans()):
        robot["sensors"] = {"low": {"part": "sensor/limit-switch", "port": "digital 0"}}
    on_bus = [name for name in names if motors[name].get("controller") != "controller/clamp-brushed-30a"]
    chain = draw(st.permutations(on_bus))
    if draw(st.booleans()):
        robot["data"] = {"chain": ["robot controller", *chain, "block"]}
    return robot


@st.composite
def _motor(draw: st.DrawFn, name: str, names: list[str]) -> dict[str, Any]:
    kind = draw(st.sampled_from([*_MOTORS, _BUILT_IN]))
    motor: dict[str, Any] = {"motor": kind, "id": names.index(name) + 1}
    if kind in ("motor/brushed-340w", "motor/brushed-180w") and draw(st.booleans()):
        motor |= {"controller": "controller/clamp-brushed-30a", "port": f"pulse {names.index(name) % 10}"}
    elif kind != _BUILT_IN:
        motor["controller"] = "controller/inline-40a"
    if draw(st.booleans()):
        motor["length"] = f"{draw(st.integers(15, 250))} cm"
    elif draw(st.booleans()):
        motor["at"] = [f"{draw(st.integers(0, 700))} mm", f"{draw(st.integers(0, 700))} mm"]
    if draw(st.booleans()):
        motor["limit"] = {"supply": f"{draw(st.integers(5, 40))} A", "motor": f"{draw(st.integers(5, 80))} A"}
    return motor
