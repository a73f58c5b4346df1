"""The layer rule speaks of the house as it stands."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any, Final

ROOT: Final = Path(__file__).resolve().parents[2]
CONTRACTS: Final[list[dict[str, Any]]] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"][
    "importlinter"
]["contracts"]
# These stand above the core and may know formats, a console or a database.
EDGES: Final = {"cli", "web", "jobs", "robotfile", "documents", "store"}


def layers() -> list[str]:
    """Give every room that the layer rule names, those not built yet in parentheses."""
    return [room.strip() for line in CONTRACTS[0]["layers"] for room in line.replace("|", ":").split(":")]


def built(room: str) -> bool:
    """Tell whether a room stands: a file, or a folder with a front door."""
    inside = ROOT / "src" / "loomwright" / room
    return inside.with_suffix(".py").exists() or (inside / "__init__.py").exists()


def test_a_room_in_parentheses_is_not_built_yet() -> None:
    """The parentheses go when the room comes, so that a room that vanishes is noticed."""
    assert [room for room in layers() if room.startswith("(") and built(room.strip("()"))] == []


def test_the_rule_about_formats_covers_every_room_of_the_core() -> None:
    """A new core room is added there, too."""
    [pure] = [set(rule["source_modules"]) for rule in CONTRACTS if rule["name"].startswith("The core knows no")]
    core = {room for room in layers() if not room.startswith("(")} - EDGES
    assert pure == {f"loomwright.{room}" for room in core}
