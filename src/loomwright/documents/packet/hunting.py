"""The packet's sheet of the hunt: for each symptom the first checks, for when there is no time to type."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.documents.packet.blocks import Block, Column, Look, Notice, Para, Rows, Side, Table
from loomwright.documents.packet.pit import SMOKE
from loomwright.hunting.robot.practice import work_states
from loomwright.proof.hunt_sheet import hunt_sheet

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.proof.hunt_sheet import Answer, Remembered

#: What stands for a state of work in front of a check.
_STATE: Final = {"any": "look", "dead": "OUT", "alive": "ON", "driving": "RUN"}
_COLUMNS: Final = (
    Column("", 0, Look.NUMBER),
    Column("state", 0, Look.STRONG),
    Column("check", 0.95),
    Column("well", 0.8),
    Column("else", 1),
)
_HOW: Final = (
    "Find what you see and make its checks in order; stop where an answer names the fault. Go on: make the next check. "
    "What is said of one motor or device goes for yours. Once mended, make the check again that showed it. "
    "Who watches has lights and list in view. Volts: DC, 20 V range. Ohms: lowest range, never with the battery in."
)


def hunt_side(robot: RobotHunt) -> Side | None:
    """Return the sheet; None where the robot has nothing to look for."""
    found = hunt_sheet(robot)
    return Side("Hunt: no time to type", tuple(_blocks(found))) if found else None


def _blocks(found: tuple[Remembered, ...]) -> Iterator[Block]:
    yield Notice(SMOKE)
    yield Para(_states(found), strong=True)
    yield Para(_HOW)
    groups = tuple(Rows(tuple(_rows(one)), one.symptom, f"Suspect {one.likely}.") for one in found)
    yield Table(_COLUMNS, groups, tight=True)


def _states(found: tuple[Remembered, ...]) -> str:
    """Say what each state asks for that a check on the sheet needs."""
    used = {check.state for one in found for check in one.checks}
    return "  ".join(f"{_STATE[name]}: {asks}" for name, (asks, _) in work_states().items() if name in used)


def _rows(one: Remembered) -> Iterator[tuple[str, ...]]:
    for number, check in enumerate(one.checks, start=1):
        well, *others = check.answers
        yield str(number), _STATE[check.state], check.how, _answer(well), "\u00a0· ".join(map(_answer, others))


def _answer(answer: Answer) -> str:
    return f"{answer.shows} → {'go on' if answer.on else answer.tells}"
