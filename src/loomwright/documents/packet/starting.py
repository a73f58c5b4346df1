"""The packet's way in: in which order its pages are used, what lies on the bench, what its words mean."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.catalogue.tables import table
from loomwright.documents.end_cards.texts import kind_of, steps_of
from loomwright.documents.packet.blocks import Chapter, Column, Look, Points, Rows, Section, Table
from loomwright.documents.tables.cells import as_words
from loomwright.documents.tables.ends import card_rows

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.plan.result import Plan

_WAY: Final = (
    "Read the cautions on the cover aloud, with a mentor. Answer what is still to be told.",
    "Shopping and spares: put parts and wire on the bench. Print flags.pdf.",
    "Cards and Pull record: make samples of each kind of end, and pull them. Go on when a whole set holds.",
    "Cut list: cut, and slide both flags on each wire.",
    "Wires in build order: make each wire, from top to bottom. Spine, Data and Plate show where it goes.",
    "Pull record, fitted ends: another person looks at every end, or pulls it by hand.",
    "Wake-up: measure with the battery out. Only then comes power, with a mentor, stage by stage.",
    "Inspection list: go over the robot once more. Weak points: what would make it stop, and what you can do now.",
    "The pit card and the hunt's page go with it to the event.",
)
_TOOLS: Final = (Column("", 0, Look.TICK), Column("tool", 5), Column("for", 4))
_WORDS: Final = (Column("word", 0, Look.STRONG), Column("what it means here", 1))
_NO_TOOL: Final = "none"


def before_you_start(plan: Plan) -> Chapter:
    """Return the way through the packet, the tools that its cards ask for, and its words."""
    words = tuple((row["word"], row["meaning"]) for row in table("packet_word"))
    return Chapter(
        "Before you start",
        (
            Section("In this order"),
            Points(_WAY, "steps"),
            Section("On the bench"),
            Table(_TOOLS, (Rows(tuple(_tools(plan))),), small=True, tight=True),
            Section("Words"),
            Table(_WORDS, (Rows(words),), small=True, tight=True),
        ),
    )


def _tools(plan: Plan) -> Iterator[tuple[str, ...]]:
    yield from (("", row["tool"], row["why"]) for row in table("bench_tool"))
    asked: dict[str, list[str]] = {}
    for row in card_rows(plan):
        tool, card = as_words(row["tool"]), as_words(row["card"])
        if not tool.startswith(_NO_TOOL):
            asked.setdefault(tool, []).append(card)
        kind, _, _ = kind_of(as_words(row["terminal"]), tool)
        steps = " ".join(steps_of(kind))
        for more in table("step_tool"):
            if more["words"] in steps:
                asked.setdefault(more["tool"], []).append(card)
    together: dict[str, list[str]] = {}
    for tool, numbers in asked.items():
        together.setdefault(f"{'card' if len(numbers) == 1 else 'cards'} {', '.join(numbers)}", []).append(tool)
    yield from (("", "; ".join(tools), cards) for cards, tools in together.items())
