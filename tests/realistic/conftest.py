"""The shipped examples, planned once as a person plans them, for all tests that check them by hand."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

import pytest
import yaml

from tests.journeys.demos import demo_folder


@dataclass(frozen=True)
class Demo:
    """A demo's folder as plain data: what the robot file says, and what the program made of it."""

    robot: dict[str, Any]
    memory: dict[str, Any]
    plan: dict[str, Any]


DemoOf: TypeAlias = Callable[[str], Demo]


@pytest.fixture(scope="session")
def demo_of(tmp_path_factory: pytest.TempPathFactory) -> DemoOf:
    """Return demos by name, each made once."""
    made: dict[str, Demo] = {}

    def demo(name: str) -> Demo:
        if name not in made:
            folder = demo_folder(tmp_path_factory, name)
            plan = json.loads((folder / "out" / "plan.json").read_text(encoding="utf-8"))
            made[name] = Demo(_texts(folder / "robot.yaml"), _texts(folder / "plan.yaml"), plan)
        return made[name]

    return demo


@pytest.fixture(scope="session")
def plan_of(demo_of: DemoOf) -> Callable[[str], dict[str, Any]]:
    """Return the plans of the demos."""
    return lambda name: demo_of(name).plan


def _texts(path: Path) -> dict[str, Any]:
    """Read a file with every value as it is typed."""
    held: dict[str, Any] = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)  # noqa: S506  texts only
    return held
