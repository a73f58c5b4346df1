"""The packet's first pages: which robot and plan, the cautions, what is not known yet, what the plan rests on."""

from __future__ import annotations

import re
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
from loomwright.documents.tables.cells import UNKNOWN, as_words
from loomwright.documents.tables.every import questions
from loomwright.documents.tables.how_good import how_good
from loomwright.documents.workbook.rows import sheet_rows
from loomwright.findings import Severity
from loomwright.model.reason import Origin
from loomwright.proof.on_paper import on_paper
from loomwright.rulebook import cautions

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.documents.packet.blocks import Block
    from loomwright.plan.result import Plan

_ASKED: Final = (Column("", 0, Look.TICK), Column("what is asked", 5), Column("what to do", 5))
#: More circuits than these are counted, not named.
_FEW: Final = 6
_NUMBER: Final = re.compile(r"[0-9]+(?:[.][0-9]+)?")
#: Where in a file something was said, behind the name of a circuit.
_LINE_AND_COLUMN: Final = re.compile(r" \(\d+:\d+\)(?=[,;]|$)")
DRAFT: Final = "This is a draft that no plan.yaml holds. Run `loomwright plan`, look at what it says, and print again."


def cover(plan: Plan, *, date: str, draft: bool) -> Chapter:
    """Return the cover: what these pages are of, and what to read before anybody touches the robot."""
    below = "Wiring packet: what to cut, crimp, pull and prove"
    return Chapter(_title(plan), tuple(_cover(plan, date, draft=draft)), cover=True, below=below)


def rests_on(plan: Plan) -> Chapter:
    """Return what the plan assumes, and what has to be told or looked at."""
    asked = tuple(("", finding.what, finding.fix) for finding in on_paper(questions(plan)))
    blocks: list[Block] = [
        Section("Still to be told"),
        Table(_ASKED, (Rows(asked),), empty="Nothing is open: the robot file says all that the tool asks for."),
        *_not_known(plan),
        Section("Assumed"),
        Para("Nobody said these. If one of them is wrong for this robot, write the right one in the robot file."),
        Points(tuple(_assumed(plan)) or ("Nothing is assumed.",)),
    ]
    return Chapter("What this plan rests on", tuple(blocks))


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
    open_ = len(questions(plan))
    told = "All that it assumes stands under: What this plan rests on."
    yield Para(f"{_count(open_, 'question')} {'is' if open_ == 1 else 'are'} open. {told}" if open_ else told)
    yield Para(f"{STOP} A sheet of another revision is waste paper.", strong=True)


def _book(plan: Plan) -> str:
    rules = plan.rules
    return ", ".join(word for word in (rules.name, rules.dated and f"edition {rules.dated}") if word)


def _count(number: int, one: str) -> str:
    return f"{number} {one}{'' if number == 1 else 's'}"


def _not_known(plan: Plan) -> Iterator[Block]:
    """Name the circuits of which something is not known, so that nothing was decided of it."""
    missing: dict[str, list[str]] = {}
    for row in sheet_rows("sources", plan):
        if row["origin"] == Origin.UNKNOWN:
            things = as_words(row["values"]).removeprefix(f"{UNKNOWN}: ")
            missing.setdefault(as_words(row["name"]), []).append(_LINE_AND_COLUMN.sub("", things))
    if missing:
        yield Para("Not known yet, so not decided:")
        yield Points(tuple(f"{name} of {', '.join(things)}." for name, things in missing.items()))


def _assumed(plan: Plan) -> Iterator[str]:
    """Tell each assumption once; of those that differ in their numbers alone, the first and how many more there are."""
    kinds: dict[str, list[str]] = {}
    for row in sheet_rows("sources", plan):
        if row["origin"] == Origin.ASSUMED:
            sentence, _, things = as_words(row["values"]).partition(" For ")
            named = [thing for thing in things.split(", ") if thing]
            told = sentence if sentence.endswith(".") else f"{as_words(row['name'])}: {as_words(row['values'])}."
            about = ", ".join(named) if len(named) <= _FEW else f"{len(named)} circuits"
            kinds.setdefault(_NUMBER.sub("#", told), []).append(f"{told} ({about})" if named else told)
    for held in kinds.values():
        more = len(held) - 1
        yield held[0] if not more else f"{held[0]} And {more} more like it: see the sheet sources of plan.xlsx."
