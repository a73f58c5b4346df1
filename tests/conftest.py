"""What every test may ask for."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import settings

from tests.chromium import Chromium
from tools.needs import Need, declared

# As the program does for itself (cli/endings.py): several threads wait for each other longer than they reckon.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# A shared, noisy machine must not fail a law for being slow. Where CI is set, the same commit gets the same examples
# every time, and fewer of them; LOOM_LONG=1 asks for many more, see CONTRIBUTING.md.
_CI, _LONG = bool(os.environ.get("CI")), bool(os.environ.get("LOOM_LONG"))
settings.register_profile(
    "loomwright", deadline=None, derandomize=_CI, max_examples=1000 if _LONG else 40 if _CI else 100
)
settings.load_profile("loomwright")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print what tests have to tell people, by `record_property("told", ...)`, whatever process they ran in."""
    for report in terminalreporter.getreports("passed"):
        for name, told in report.user_properties:
            if name == "told":
                terminalreporter.write_line(str(told))


def demand(need: Need) -> Path:
    """Return the program of a need; if it is missing, skip the test visibly, or fail it where CI is set."""
    program = need.program()
    if program is None:
        end = pytest.fail if os.environ.get("CI") else pytest.skip
        end(need.missing_line())
    return program


@pytest.fixture
def needs_chromium() -> Chromium:
    """Ask for a browser: `needs_chromium.picture(page, png, width_px=..., height_px=...)`."""
    return Chromium(demand(declared()["chromium"]))


@pytest.fixture
def needs_ngspice() -> Path:
    """Ask for the circuit simulator: the program, to be called as `ngspice -b deck`."""
    return demand(declared()["ngspice"])
