"""One browser and one planned trainer for all tests of the bench in a real browser."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from loomwright.jobs.plan import plan_robot
from loomwright.jobs.start import new_folder
from tests.bench.mixed import mix
from tests.bench.serving import FLAGS, Served, bench_of
from tests.conftest import demand
from tests.robots import example_text
from tools.needs import declared


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Start the system's browser, and end it with the file: while it is there, no other test can have an event loop."""
    program = demand(declared()["chromium"])
    with sync_playwright() as held:
        started = held.chromium.launch(executable_path=str(program), args=FLAGS)
        yield started
        started.close()


@pytest.fixture(scope="session")
def planned_trainer(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Plan the bench trainer once."""
    folder = tmp_path_factory.mktemp("trainer") / "rockpool"
    new_folder(folder)
    (folder / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    plan_robot(folder)
    return folder


@pytest.fixture(scope="session")
def served_mixed(planned_trainer: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """Serve a trainer with something of every kind on it, for tests that only look."""
    folder = tmp_path_factory.mktemp("mixed") / "rockpool"
    shutil.copytree(planned_trainer, folder)
    (folder / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    plan_robot(folder)
    mix(folder)
    with bench_of(folder) as held:
        yield held


@pytest.fixture
def served(planned_trainer: Path, tmp_path: Path) -> Iterator[Served]:
    """Serve a trainer of which nothing is made yet."""
    folder = tmp_path / "rockpool"
    shutil.copytree(planned_trainer, folder)
    with bench_of(folder) as held:
        yield held
