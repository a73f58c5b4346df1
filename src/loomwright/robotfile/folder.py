"""A robot's folder: which files it holds, what they say, and where results go."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.plan.memory import PLAN_FORMAT, Memory
from loomwright.robotfile.drivers.driver_file import NAME as DRIVERS
from loomwright.robotfile.drivers.driver_file import read_drivers
from loomwright.robotfile.marked.source_text import refuse_size
from loomwright.robotfile.marked.tree import without_marks
from loomwright.robotfile.marked.yaml_tree import read_tree
from loomwright.robotfile.parts.library import Library
from loomwright.robotfile.plans.dutyfile import duty_name, read_duty, write_duty
from loomwright.robotfile.plans.matchfile import NAME as MATCH
from loomwright.robotfile.plans.matchfile import match_findings
from loomwright.robotfile.plans.netfile import NAME as NET
from loomwright.robotfile.plans.netfile import read_net
from loomwright.robotfile.plans.planfile import read_memory
from loomwright.robotfile.plans.source import digest_of, program
from loomwright.robotfile.reading import read_robot
from loomwright.robotfile.rules.rulefile import read_rules
from loomwright.robotfile.stockfile import read_stock
from loomwright.wording import quoted

if TYPE_CHECKING:
    from loomwright.layout.result import KnownNet
    from loomwright.model.robot import Robot
    from loomwright.model.rules import RuleBook
    from loomwright.robotfile.drivers.book import DriverBook
    from loomwright.robotfile.plans.dutyfile import DutyFile

ROBOT, RULES, STOCK, PARTS, OUT = "robot.yaml", "rules.yaml", "stock.yaml", "parts", "out"


@dataclass(frozen=True, slots=True)
class RobotFolder:
    """The content of one robot's folder, read once; `library` reads part files when they are asked for."""

    path: Path
    robot: bytes
    rules: bytes | None
    stock: bytes | None
    library: Library

    def read(self, build: str = "") -> tuple[Robot, RuleBook]:
        """Read the robot (for one build) and the rule book it is judged by; every file's faults at once.

        Raises
        ------
        UnreadableInputError
            With the faults of robot.yaml, rules.yaml, stock.yaml and the parts it names.
        """
        faults: list[Finding] = []
        stock, robot, rules = read_stock(None), None, None
        try:
            stock = read_stock(self.stock)
        except UnreadableInputError as error:
            faults += error.faults
        try:
            robot = read_robot(self.robot, library=self.library, stock=stock, build=build)
        except UnreadableInputError as error:
            faults += error.faults
        try:
            rules = self._rules(robot)
        except UnreadableInputError as error:
            faults += error.faults
        if faults or robot is None or rules is None:
            raise UnreadableInputError(faults)
        return replace(robot, noticed=(*robot.noticed, *self._about_books(robot, rules))), rules

    def _rules(self, robot: Robot | None) -> RuleBook:
        """Read the team's rule book, else the shipped one that the robot file names."""
        if self.rules is not None or robot is None:
            return read_rules(self.rules)
        try:
            return read_rules(None, name=robot.rules)
        except UnreadableInputError as error:
            place = self._where_rules_are_named()
            raise UnreadableInputError(replace(fault, place=place) for fault in error.faults) from error

    def _about_books(self, robot: Robot, rules: RuleBook) -> list[Finding]:
        """Tell where rules.yaml stands alone, or where the robot file names another book."""
        if self.rules is None:
            return []
        if not rules.based_on:
            own = sum(rule.check != "caution" for rule in rules.rules)
            what = f"{RULES} names no book below it, so its own rules are all there are: {own}."
            fix = "Write `based on: common-practice`, or leave it so if every rule of your season stands there."
            return [Finding("no-book-below", Severity.SHOULD, Place(RULES, 1, 1, "based on"), what, fix, asks=True)]
        place = self._where_rules_are_named()
        if not place.line or robot.rules in (rules.name, rules.based_on):
            return []
        what = f"The robot file names the rule book {quoted(robot.rules)}, and {RULES} is {quoted(rules.name)}."
        fix = f"{RULES} is used. Write `rules: {rules.name}` if that is right, or move {RULES} away."
        return [Finding("two-rule-books", Severity.SHOULD, place, what, fix)]

    def _where_rules_are_named(self) -> Place:
        said = read_tree(self.robot, file=ROBOT).get("rules")
        mark = said.mark if said is not None else None
        return Place(ROBOT, mark.line, mark.column, "rules") if mark else Place(ROBOT, thing="rules")

    def memory(self, build: str = "") -> Memory | None:
        """Return what the last plan decided; raise UnreadableInputError.

        A build that was never planned starts from the design's plan, so that a wire has one id in both. None where
        neither was planned.
        """
        for path in (self.plan_path(build), self.plan_path()):
            if path.is_file():
                return _memory(path.read_bytes(), path.name)
        return None

    def net(self, build: str = "") -> KnownNet | None:
        """Return the net that was worked out from the very same inputs, None where none is kept."""
        return read_net(self.out_path(build) / NET, self.source())

    def drivers(self) -> DriverBook:
        """Return how the robot is driven in a match study, the shipped way where the team says nothing.

        It is read when it is asked for and stands in no digest of inputs: it changes no plan.

        Raises
        ------
        UnreadableInputError
            With the faults of drivers.yaml.
        """
        return read_drivers(_read(self.path / DRIVERS))

    def source(self) -> str:
        """Return a digest of all inputs to the byte, and of this program."""
        own = [part for name, data in self._own_parts() for part in (name.encode(), data)]
        return digest_of([program(), self.robot, self.rules or b"", self.stock or b"", *own])

    def plan_path(self, build: str = "") -> Path:
        """Return where the plan of a build is kept."""
        return self.path / (f"plan.{build}.yaml" if build else "plan.yaml")

    def out_path(self, build: str = "") -> Path:
        """Return the folder for the sheets of a build."""
        return self.path / OUT / build if build else self.path / OUT

    def digest(self, build: str = "") -> str:
        """Return a digest of all inputs: what the files say, whatever their order of keys and their comments.

        Where there is a match study of these very files, the duties that it found for a build are one of them; how many
        matches that took is not.
        """
        said, duty = self.said(), self.duty(build)
        if duty is None:
            return said
        return digest_of([said.encode(), write_duty(replace(duty, of=""))])[:16]

    def said(self) -> str:
        """Return a digest of what people wrote: `digest` without what a match study found."""
        said = {
            "format": PLAN_FORMAT,
            ROBOT: _content(self.robot, ROBOT),
            RULES: _content(self.rules, RULES),
            STOCK: _content(self.stock, STOCK),
            PARTS: {name: data.decode("utf-8", "replace") for name, data in self._own_parts()},
        }
        canonical = json.dumps(said, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
        return hashlib.sha256(canonical.encode("ascii")).hexdigest()[:16]

    def duty_path(self, build: str = "") -> Path:
        """Return where what a match study found for a build is kept."""
        return self.path / duty_name(build)

    def duty(self, build: str = "") -> DutyFile | None:
        """Return what a match study of these very files found, None where there is none."""
        kept = read_duty(self.duty_path(build))
        return kept if kept is not None and kept.inputs == self.said() else None

    def match_findings(self, build: str = "") -> tuple[Finding, ...]:
        """Return what the last match study of these very files had to tell."""
        return match_findings(self.out_path(build) / MATCH, self.said())

    def about_duty(self, build: str = "") -> list[Finding]:
        """Tell of a match study that is used, is of other files than these, or can't be read."""
        path, used = self.duty_path(build), self.duty(build)
        if not path.is_file():
            return []
        if used is not None:
            what = f"Currents for drop and heat are those of a match study, where it has them: {used.of}."
            fix = f"Nothing to do. To plan for the limits alone, delete {path.name}."
            return [Finding("duty-used", Severity.CONSIDER, Place(path.name), what, fix)]
        kept = read_duty(path)
        why = "is not what `loomwright match` writes" if kept is None else "is of a robot file before the last change"
        what = f"{path.name} {why}, so bare limits and usual shares are used."
        fix = "Run `loomwright match` again, then `loomwright plan`; or delete it."
        return [Finding("duty-older", Severity.CONSIDER, Place(path.name), what, fix)]

    def _own_parts(self) -> list[tuple[str, bytes]]:
        folder = self.path / PARTS
        files = sorted(p for p in folder.rglob("*.yaml") if p.is_file()) if folder.is_dir() else []
        return [(p.relative_to(folder).as_posix(), p.read_bytes()) for p in files]


def open_folder(path: Path) -> RobotFolder:
    """Read the files of a robot's folder.

    Raises
    ------
    UnreadableInputError
        Where there is no folder or no robot.yaml in it, or where a file is too large to be meant.
    """
    if not path.is_dir():
        raise UnreadableInputError([_missing(str(path), "no-folder", f"There is no folder {path}.")])
    robot = path / ROBOT
    if not robot.is_file():
        raise UnreadableInputError([_missing(str(robot), "no-robot-file", f"There is no {ROBOT} in {path}.")])
    own = path / PARTS
    return RobotFolder(
        path, _head(robot), _read(path / RULES), _read(path / STOCK), Library(own if own.is_dir() else None)
    )


def _read(path: Path) -> bytes | None:
    return _head(path) if path.is_file() else None


def _head(path: Path) -> bytes:
    """Read a file, but not one that is far too large; raise UnreadableInputError."""
    refuse_size(path.stat().st_size, file=path.name)
    return path.read_bytes()


@lru_cache(maxsize=8)
def _content(data: bytes | None, file: str) -> object:
    """Return what a file says, without its marks; asked for several times by one command, and never changed."""
    return None if data is None else without_marks(read_tree(data, file=file))


@lru_cache(maxsize=4)
def _memory(data: bytes, file: str) -> Memory:
    """Return what a plan.yaml remembers; asked for twice by most commands, and never changed."""
    return read_memory(data, file)


def _missing(file: str, code: str, what: str) -> Finding:
    fix = "Stand in the robot's folder, name it, or make one with `loomwright new DIR`."
    return Finding(code, Severity.MUST, Place(file), what, fix)
