"""Every screen of every example robot answers: large ones have builds, and wires with one finished end."""

from __future__ import annotations

from pathlib import Path

import pytest

from loomwright.web.pages import PAGES
from tests.robots import EXAMPLES
from tests.web.people import House


@pytest.mark.parametrize("robot", EXAMPLES)
def test_every_screen_of_every_example_answers(tmp_path: Path, robot: str) -> None:
    """Each page comes, and names what the robot is called."""
    house = House.of(tmp_path, robot=robot)
    name = house.desk.bench.plan.robot.name
    for path in PAGES:
        answer = house.laptop.get(path)
        assert answer.status == 200, path
        assert name in answer.text
    house.desk.bench.store.close()
