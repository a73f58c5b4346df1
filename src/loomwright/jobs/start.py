"""Start a robot's folder: an empty one to write in, or a complete example to look at."""

from __future__ import annotations

import json
from dataclasses import dataclass
from importlib.resources import files
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.jobs.packet import Packed, pack_robot
from loomwright.jobs.papers import Printing
from loomwright.jobs.plan import Planned, plan_robot
from loomwright.robotfile.folder import PARTS, ROBOT, STOCK, open_folder
from loomwright.robotfile.forms.schema import SCHEMA_NAME, robot_schema
from loomwright.robotfile.from_list import robot_from_list
from loomwright.robotfile.lists.typed_table import content_of
from loomwright.robotfile.parts.library import Library
from loomwright.robotfile.plans.safe_write import make_folder, write_all

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

EXAMPLES = ("tidepool", "breakwater", "rockpool")
_STARTER = "starter"
_UNNAMED = "My robot"
_LONGEST_NAME = 60
_OURS = ".loomwright-demo"
_IGNORED = "# What loomwright can make again, and records that are not for git.\nout/\nbench.db*\n.*.part\n"


@dataclass(frozen=True, slots=True)
class Demo:
    """A demo that was made: each build's plan and packet; `kept` names files that stay as somebody edited them."""

    planned: tuple[Planned, ...]
    packed: tuple[Packed, ...]
    kept: tuple[str, ...]


def new_folder(folder: Path) -> tuple[Path, ...]:
    """Make a folder to start from and return the files written; an existing robot.yaml is never touched.

    Raises
    ------
    UnreadableInputError
        Where the folder holds a robot.yaml already, or is a file.
    """
    _refuse_used(folder)
    return _write_new(folder, _files(_STARTER))


def new_from_list(folder: Path, source: Path) -> tuple[Path, ...]:
    """Make a folder whose robot.yaml holds what a list of circuits says, and return the files written.

    The list is a CSV file or a workbook, such as the circuits.csv that a plan has. Nothing is written where any row of
    it can't be understood.

    Raises
    ------
    UnreadableInputError
        As `new_folder` does, and with every fault of the list.
    """
    _refuse_used(folder)
    own = folder / PARTS
    library = Library(own if own.is_dir() else None)
    robot = robot_from_list(content_of(source), file=source.name, robot=_name_of(folder), library=library)
    return _write_new(folder, _files(_STARTER) | {ROBOT: robot})


def make_demo(folder: Path, example: str = EXAMPLES[0]) -> Demo:
    """Make a complete example, plan every build of it, and make its packet.

    Raises
    ------
    UnreadableInputError
        Where the folder is neither empty nor a demo that was made before.
    """
    ours = folder / _OURS
    if folder.exists() and not folder.is_dir():
        raise UnreadableInputError([_refused(folder, "not-a-folder", f"{folder} is a file.", "Name a folder.")])
    if folder.is_dir() and any(folder.iterdir()) and not _is_demo(ours, example):
        what = f"{folder} is not empty, and it is not a demo of {example} that was made here."
        raise UnreadableInputError([_refused(folder, "folder-not-ours", what, "Name an empty or a new folder.")])
    make_folder(folder)
    shipped = _files(example)
    kept = tuple(name for name in (ROBOT, STOCK) if name in shipped and _is_edited(folder / name, shipped[name]))
    contents = {folder / name: data for name, data in shipped.items() if name not in kept}
    write_all({ours: f"{example}\n".encode(), **contents})
    builds = open_folder(folder).read()[0].builds
    planned = tuple(plan_robot(folder, build) for build in ("", *builds))
    packed = tuple(pack_robot(folder, build, printing=Printing()) for build in ("", *builds))
    return Demo(planned, packed, kept)


def _refuse_used(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise UnreadableInputError([_refused(folder, "not-a-folder", f"{folder} is a file.", "Name a folder.")])
    if (folder / ROBOT).exists():
        what = f"{folder / ROBOT} is there already, and it is yours."
        fix = "Edit that file, or name another folder."
        raise UnreadableInputError([_refused(folder, "robot-file-there", what, fix)])


def _write_new(folder: Path, files_of: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write what is not there yet."""
    make_folder(folder)
    contents = {folder / name: data for name, data in files_of.items() if not (folder / name).exists()}
    write_all(contents)
    return tuple(contents)


def _name_of(folder: Path) -> str:
    """Call a robot after its folder, where that is a name that can stand on every page."""
    name = " ".join(folder.resolve().name.split())
    return name if name.isprintable() and 0 < len(name) <= _LONGEST_NAME else _UNNAMED


def _is_edited(file: Path, shipped: bytes) -> bool:
    return file.is_file() and file.read_bytes() != shipped


def _is_demo(marker: Path, example: str) -> bool:
    return marker.is_file() and marker.read_text(encoding="utf-8", errors="replace").strip() == example


def _files(example: str) -> dict[str, bytes]:
    """Return the files of an example, with the schema that editors read and what git should leave out."""
    source = files("loomwright").joinpath("data", "examples", example)
    found = {
        entry.name: entry.read_bytes() for entry in sorted(source.iterdir(), key=lambda e: e.name) if entry.is_file()
    }
    schema = json.dumps(robot_schema(), ensure_ascii=False, indent=1) + "\n"
    return {**found, SCHEMA_NAME: schema.encode(), ".gitignore": _IGNORED.encode()}


def _refused(folder: Path, code: str, what: str, fix: str) -> Finding:
    return Finding(code, Severity.MUST, Place(str(folder)), what, fix)
