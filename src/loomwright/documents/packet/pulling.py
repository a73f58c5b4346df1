"""The packet's pull record: samples that are pulled until they give, and fitted ends that get a hand's pull."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Final

from loomwright.documents.packet.blocks import Block, Chapter, Column, Look, Notice, Para, Points, Rows, Section, Table
from loomwright.documents.packet.pairs import runs_of
from loomwright.documents.tables.cells import NOT_APPLICABLE, UNKNOWN
from loomwright.proof.pulls import HAND_CARE, SAMPLE_CARE, ByHand, fitted_ends, pull_samples, why_so_many

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from loomwright.plan.result import Plan
    from loomwright.proof.pulls import FittedEnd, FittedGroup, PullSample

_SAMPLES: Final = (
    Column("cards", 0),
    Column("terminal", 2.6, Look.STRONG),
    Column("gauge", 0),
    Column("N", 0, Look.NUMBER),
    Column("lbf", 0, Look.NUMBER),
    Column("scale, kg", 0, Look.NUMBER),
    Column("hold, s", 0, Look.NUMBER),
    Column("how many", 0, Look.NUMBER),
    Column("held, in kg", 1.6, Look.WRITE),
    Column("by", 0.8, Look.WRITE),
)
_FITTED: Final = (
    Column("wire", 0, Look.STRONG),
    Column("end A", 3, Look.END_A),
    Column("hand", 0),
    Column("held", 0.7, Look.WRITE),
    Column("by", 0.7, Look.WRITE),
    Column("end B", 3, Look.END_B),
    Column("hand", 0),
    Column("held", 0.7, Look.WRITE),
    Column("by", 0.7, Look.WRITE),
)
#: What the sheet pull record asks for each time that an end is made.
_AGAIN: Final = (
    Column("wire", 1, Look.WRITE),
    Column("end", 0.6, Look.WRITE),
    Column("what was wrong", 4, Look.WRITE),
    Column("made by", 1, Look.WRITE),
    Column("held", 0.7, Look.WRITE),
    Column("pulled by", 1, Look.WRITE),
    Column("date", 1.2, Look.WRITE),
)
_AGAIN_LINES: Final = 6
#: What stands in the column of the hand, and whether initials are asked for.
_HAND: Final = {ByHand.PULL: "pull", ByHand.LOOK: "look", ByHand.WAITS: "waits"}
_SIGNED: Final = (
    "Held: yes or no. Initials say that the end was pulled, or looked at where the hand says look. "
    "Another person pulls."
)
_FAILED: Final = (
    "A no in the list below stays as it is: the end is cut off, made again, and gets a line here. Typed into the sheet "
    "pull record of plan.xlsx it is a row more for the same wire and end."
)
_NEVER: Final = "The forces here break the joint. They are for samples on the bench, never for an end on the robot."


def pull_record(plan: Plan) -> Chapter:
    """Return both kinds of pulls, each with room for results and initials."""
    held = pull_samples(plan)
    often = {note for note in _notes(held) if sum(note in sample.notes for sample in held) > 1}
    told = [f"{_cards([one for one in held if note in one.notes])}: {note}" for note in _notes(held) if note in often]
    samples = tuple(_of_tool(tool, list(of), often) for tool, of in groupby(held, key=lambda sample: sample.tool))
    groups = tuple(_group(plan, group) for group in fitted_ends(plan))
    return Chapter(
        "Pull record",
        (
            Section("Samples, on the bench"),
            Notice(_NEVER),
            Points((why_so_many(), *SAMPLE_CARE, *told)),
            Table(_SAMPLES, samples, empty="No end of this plan asks for a sample.", small=True),
            *_made_again(groups),
            Section("Fitted ends, by hand"),
            Points(HAND_CARE),
            Para(_SIGNED),
            Table(_FITTED, groups, empty="Nobody makes an end.", small=True),
        ),
        work=True,
    )


def _made_again(groups: tuple[Rows, ...]) -> tuple[Block, ...]:
    """Give room for ends that failed and were made again."""
    if not any(group.rows for group in groups):
        return ()
    lines = (("",) * len(_AGAIN),) * _AGAIN_LINES
    return (
        Section("Fitted ends that were made again"),
        Para(_FAILED),
        Table(_AGAIN, (Rows(lines, runs=(_AGAIN_LINES,)),)),
    )


def _notes(samples: Iterable[PullSample]) -> dict[str, None]:
    return dict.fromkeys(note for sample in samples for note in sample.notes)


def _of_tool(tool: str, samples: list[PullSample], often: set[str]) -> Rows:
    """Put the samples of one tool together; a note that only some of them have names their cards."""
    notes: dict[str, list[PullSample]] = {}
    for sample in samples:
        for note in (note for note in sample.notes if note not in often):
            notes.setdefault(note, []).append(sample)
    told = [note if len(held) == len(samples) else f"{_cards(held)}: {note}" for note, held in notes.items()]
    return Rows(tuple(map(_sample, samples)), tool, " ".join(told))


def _cards(samples: list[PullSample]) -> str:
    numbers = sorted({card for sample in samples for card in sample.cards})
    return f"{'Card' if len(numbers) == 1 else 'Cards'} {', '.join(map(str, numbers))}"


def _sample(sample: PullSample) -> tuple[str, ...]:
    return (
        ", ".join(map(str, sample.cards)),
        sample.terminal,
        str(sample.gauge) if sample.gauge else NOT_APPLICABLE,
        _figure(sample.force_n, 0),
        _figure(sample.force_lbf, 1),
        _figure(sample.scale_kg, 1),
        _figure(sample.hold_s, 0),
        str(sample.count),
        "",
        "",
    )


def _figure(value: float | None, places: int) -> str:
    return UNKNOWN if value is None else f"{value:.{places}f}"


def _group(plan: Plan, group: FittedGroup) -> Rows:
    by_wire: dict[str, dict[str, FittedEnd]] = {}
    for end in group.ends:
        by_wire.setdefault(end.wire, {})[end.end] = end
    rows = tuple((wire, *_end(ends.get("A")), *_end(ends.get("B"))) for wire, ends in by_wire.items())
    return Rows(rows, group.title, runs=runs_of(plan, by_wire))


def _end(end: FittedEnd | None) -> Iterator[str]:
    if end is None:
        yield from ("", NOT_APPLICABLE, NOT_APPLICABLE, NOT_APPLICABLE)
    else:
        yield from (end.where, _HAND[end.by_hand], "", "")
