"""The packet's first page: which robot and plan, the cautions, what stands where, how many questions are open."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.documents.every_sheet import STOP
from loomwright.documents.packet.blocks import (
    Chapter,
    Column,
    Contents,
    Look,
    Notice,
    Para,
    Points,
    Rows,
    Section,
    Table,
)
from loomwright.documents.tables.every import questions
from loomwright.documents.tables.how_good import how_good
from loomwright.findings import Severity
from loomwright.proof.on_paper import on_paper
from loomwright.rulebook import cautions

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.documents.packet.blocks import Block
    from loomwright.plan.result import Plan

DRAFT: Final = "This is a draft that no plan.yaml holds. Run `loomwright plan`, look at what it says, and print again."


def cover(plan: Plan, *, date: str, draft: bool) -> Chapter:
    """Return the cover: what these pages are of, and what to read before anybody touches the robot."""
    below = "Wiring packet: what to cut, crimp, pull and prove"
    return Chapter(_title(plan), tuple(_cover(plan, date, draft=draft)), cover=True, below=below)


def _title(plan: Plan) -> str:
    return f"{plan.robot.name}, build {plan.robot.build}" if plan.robot.build else plan.robot.name


def _cover(plan: Plan, date: str, *, draft: bool) -> Iterator[Block]:
    yield Table(
        (Column("", 0), Column("", 1, Look.WRITE)),
        (
            Rows(
                (
                    ("plan revision", plan.revision),
                    ("date", date),
                    ("rule book", _book(plan)),
                    ("wires", str(len(plan.wires))),
                    ("printed by", ""),
                    ("looked over by a mentor", ""),
                    *((f"{name}", told) for name, told in how_good(plan)),
                )
            ),
        ),
    )
    if draft:
        yield Notice(DRAFT)
    broken = on_paper(finding for finding in plan.findings if finding.severity is Severity.MUST)
    if broken:
        yield Notice(f"Do not build this yet: {_count(len(broken), 'thing')} must be fixed first.")
        yield Points(tuple(f"{finding.what} {finding.fix}" for finding in broken), "ticks")
    yield Section("Before anybody touches the robot")
    yield Points(cautions(plan.rules), "ticks")
    yield Section("What stands where")
    yield Contents()
    open_ = len(on_paper(questions(plan)))
    told = "What is open and what is assumed stands under: What this plan rests on."
    yield Para(f"{_count(open_, 'question')} {'is' if open_ == 1 else 'are'} open. {told}" if open_ else told)
    yield Para(f"{STOP} A sheet of another revision is waste paper.", strong=True)


def _book(plan: Plan) -> str:
    rules = plan.rules
    return ", ".join(word for word in (rules.name, rules.dated and f"edition {rules.dated}") if word)


def _count(number: int, one: str) -> str:
    return f"{number} {one}{'' if number == 1 else 's'}"
