"""What the plan rests on: what is to be told or looked at, what is not known, what is assumed, in people's words."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from loomwright.catalogue.tables import table
from loomwright.documents.packet.blocks import Chapter, Column, Look, Para, Points, Rows, Section, Table
from loomwright.documents.tables.cells import UNKNOWN, as_words
from loomwright.documents.tables.every import questions
from loomwright.documents.workbook.rows import sheet_rows
from loomwright.model.reason import Origin
from loomwright.proof.on_paper import on_paper

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from loomwright.documents.packet.blocks import Block
    from loomwright.plan.result import Plan

_ASKED: Final = (Column("", 0, Look.TICK), Column("what is asked", 5), Column("what to do", 5))
#: More circuits than these are counted, not named.
_FEW: Final = 6
_NUMBER: Final = re.compile(r"[0-9]+(?:[.][0-9]+)?")
#: Where in a file something was said, behind the name of a circuit.
_LINE_AND_COLUMN: Final = re.compile(r" \(\d+:\d+\)(?=[,;]|$)")
#: The name of a part's file, where no name of a robot's thing can be meant.
_PART: Final = re.compile(r"(?<=[r,] )[a-z-]+/[a-z0-9-]+(?=[,;]|$)")
#: What parts a value from what it belongs to.
_OF: Final = re.compile(r"((?:^|(?<=; ))[^:;]+): ")


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
    titles = {device.part.id: device.part.title.partition(", ")[0] for device in plan.robot}
    for row in sheet_rows("sources", plan):
        if row["origin"] == Origin.ASSUMED:
            sentence, _, things = as_words(row["values"]).partition(" For ")
            named = [thing for thing in things.split(", ") if thing]
            told = sentence
            if not sentence.endswith("."):
                told = _valued(as_words(row["name"]), as_words(row["values"]), titles)
            about = ", ".join(named) if len(named) <= _FEW else f"{len(named)} circuits"
            kinds.setdefault(_NUMBER.sub("#", told), []).append(f"{told} ({about})" if named else told)
    for held in kinds.values():
        more = len(held) - 1
        yield held[0] if not more else f"{held[0]} And {more} more like it: see the sheet sources of plan.xlsx."


def _valued(name: str, values: str, titles: Mapping[str, str]) -> str:
    """Tell values by what they mean, each with what it is of, a part by its title: "2 kΩ for Robot controller"."""
    of = _PART.sub(lambda found: titles.get(found[0], found[0]), _OF.sub(r"\1 for ", values))
    words = _meanings().get(name, name)
    return f"{words[0].upper()}{words[1:]}: {of}."


@lru_cache(maxsize=1)
def _meanings() -> Mapping[str, str]:
    """Return what the names of values mean: those that parts have, then those that a plan makes."""
    return {row["name"]: row["meaning"] for name in ("part_value", "plan_value") for row in table(name)}
