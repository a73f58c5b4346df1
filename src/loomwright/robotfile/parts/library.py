"""The parts there are: those that ship with the program, and the team's own beside the robot file."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from enum import StrEnum
from functools import cache, lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.model.part import Part
from loomwright.robotfile.parts.partfile import read_part
from loomwright.wording import nearest, quoted

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*/[a-z0-9]+(?:-[a-z0-9]+)*")
_ENDING = ".yaml"


class PartOrigin(StrEnum):
    """Where a part class comes from."""

    SHIPPED = "shipped"
    OWN = "own"
    OWN_OVER_SHIPPED = "own, in place of the shipped part"


class Library:
    """Part classes by id; a file is read the first time that its part is asked for.

    `own` is the folder with the team's parts, None where there is none. An own part with the id of a
    shipped one takes its place, and `noticed` says so.
    """

    def __init__(self, own: Path | None = None) -> None:
        self._own = own
        self._read: dict[str, Part | None] = {}

    def part(self, part_id: str) -> Part | None:
        """Return the part of this id, None where there is none.

        Raises
        ------
        UnreadableInputError
            For a part file that can't be understood, with all of its faults.
        """
        if part_id not in self._read:
            own = self._own_file(part_id)
            if own is not None:
                self._read[part_id] = read_part(_content(own), part_id=part_id, file=_own_name(part_id))
            else:
                self._read[part_id] = _shipped_part(part_id)
        return self._read[part_id]

    def ids(self) -> tuple[str, ...]:
        """Return the ids of all parts in alphabetical order, shipped and own, without reading them."""
        return tuple(sorted({*_shipped_ids(), *self._own_ids()}))

    def nearest(self, part_id: str) -> tuple[str, ...]:
        """Return the ids that look most like this one, best first."""
        return tuple(nearest(part_id, self.ids())) or tuple(nearest(part_id, self.ids(), closeness=0.4))

    def origin(self, part_id: str) -> PartOrigin | None:
        """Tell where a part comes from, None where there is none."""
        shipped = part_id in _shipped_ids()
        if self._own_file(part_id) is not None:
            return PartOrigin.OWN_OVER_SHIPPED if shipped else PartOrigin.OWN
        return PartOrigin.SHIPPED if shipped else None

    def noticed(self) -> tuple[Finding, ...]:
        """Return what people should know of the own folder: parts that take a shipped one's place, files not read."""
        return tuple(self._notices())

    def _notices(self) -> Iterator[Finding]:
        for part_id in self._own_ids():
            if self.origin(part_id) is PartOrigin.OWN_OVER_SHIPPED:
                yield Finding(
                    "own-part-wins",
                    Severity.CONSIDER,
                    Place(_own_name(part_id), 1, 1, part_id),
                    f"This robot's own {part_id} is used in place of the shipped part of that name.",
                    "Give it another name if you want both.",
                )
        for path in self._own_files():
            if self._id_of(path) is None:
                name = path.relative_to(self._own or path).as_posix()
                yield Finding(
                    "part-file-not-used",
                    Severity.SHOULD,
                    Place(f"parts/{name}", thing=name),
                    f"The file {quoted(name)} is not read, because its path can't be the name of a part.",
                    "Use one folder and small letters, digits and hyphens, as in `parts/motor/our-gearbox.yaml`.",
                )

    def _own_file(self, part_id: str) -> Path | None:
        """Return the own file of a part; it has to lie inside the own folder, whatever links say."""
        if self._own is None or not _ID.fullmatch(part_id):
            return None
        path = self._own / f"{part_id}{_ENDING}"
        inside = path.is_file() and path.resolve().is_relative_to(self._own.resolve())
        return path if inside else None

    def _own_files(self) -> list[Path]:
        return [] if self._own is None else sorted(p for p in self._own.rglob("*") if p.suffix in (_ENDING, ".yml"))

    def _id_of(self, path: Path) -> str | None:
        assert self._own is not None  # noqa: S101  the path was found below it
        part_id = path.relative_to(self._own).as_posix().removesuffix(_ENDING)
        return part_id if self._own_file(part_id) is not None else None

    def _own_ids(self) -> list[str]:
        return [part_id for path in self._own_files() if (part_id := self._id_of(path)) is not None]


def _own_name(part_id: str) -> str:
    return f"parts/{part_id}{_ENDING}"


def _content(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        what = f"This file can't be read: {error.strerror}."
        fix = "Check who may read it, or put it in again from a good copy."
        raise UnreadableInputError([Finding("file-not-readable", Severity.MUST, Place(str(path)), what, fix)]) from None


def _shipped_folder() -> Traversable:
    return files("loomwright").joinpath("data", "parts")


@lru_cache(maxsize=1)
def _shipped_ids() -> frozenset[str]:
    kinds = [kind for kind in _shipped_folder().iterdir() if kind.is_dir()]
    return frozenset(
        f"{kind.name}/{part.name.removesuffix(_ENDING)}"
        for kind in kinds
        for part in kind.iterdir()
        if part.name.endswith(_ENDING)
    )


@cache
def _shipped_part(part_id: str) -> Part | None:
    if part_id not in _shipped_ids():
        return None
    data = _shipped_folder().joinpath(f"{part_id}{_ENDING}").read_bytes()
    return replace(read_part(data, part_id=part_id, file=f"shipped/{part_id}{_ENDING}"), mark=None)
