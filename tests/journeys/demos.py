"""The demos' folders, as the program makes them for a person."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.journeys.program import loomwright
from tests.made_once import made_once

#: What `demo` makes when nobody names an example.
UNASKED = "tidepool"


def demo_folder(factory: pytest.TempPathFactory, name: str) -> Path:
    """Return the folder that `demo` makes of an example, made once in a run; who wants to change it copies it."""
    return made_once(factory, f"demo {name}", lambda folder: _made(folder, name))


def _made(folder: Path, name: str) -> None:
    asked = () if name == UNASKED else ("--robot", name)
    ended = loomwright("demo", str(folder), *asked)
    assert ended.code == 0, ended.err
