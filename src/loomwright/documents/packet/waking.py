"""The packet's Wake-up: what to look at, what a meter should read before power, and the first power in stages."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import groupby
from typing import TYPE_CHECKING, Final

from loomwright.documents.packet.blocks import (
    Block,
    Chapter,
    Column,
    Look,
    Notice,
    Points,
    Rows,
    Section,
    Stage,
    Table,
)
from loomwright.proof.as_built.verdicts import AGAIN
from loomwright.proof.wake_up import wake_up
from loomwright.proof.wake_up_result import Kind

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.plan.result import Plan
    from loomwright.proof.wake_up_result import Expected, Measurement, PowerStage
    from loomwright.proof.wake_up_result import Look as Question

_ROWS: Final = (
    Column("no.", 0, Look.NUMBER),
    Column("what is proved; what to do first", 3.2, Look.STRONG),
    Column("red probe", 3.5),
    Column("black probe", 3.9),
    Column("meter", 1.7),
    Column("should read", 3, Look.STRONG),
    Column("stop", 1.8),
    Column("notes", 0.9),
    Column("reading", 1.3, Look.WRITE),
    Column("by", 0.7, Look.WRITE),
)
_VOLTS: Final = (
    Column("no.", 0, Look.NUMBER),
    Column("DC volts, 20 V range: red probe", 4),
    Column("black probe", 4),
    Column("should read", 2, Look.STRONG),
    Column("switch off at", 2.4),
    Column("reading", 1.3, Look.WRITE),
    Column("by", 0.7, Look.WRITE),
)
_BY: Final = (Column("as expected: yes or no", 9), Column("note", 6, Look.WRITE), Column("by", 0.7, Look.WRITE))
#: So many rows have their notes above them; more would not stand on a page with their notes.
_MOST_ROWS: Final = 14
_ORDER: Final = (
    "Measure in this order, with the battery out. Write each reading down: later it is the best one to compare with.",
    "Swapped says what the same two places read with the probes the other way round. Either way round: try both.",
    "What a wire should read has the meter's own leads in it, row 1. A meter that takes them off shows 0.0: as good.",
    f"Stop means: beyond it nobody goes on. Between the two: {AGAIN} A mentor signs what is explained.",
    "The letters in the column notes stand above the rows of each group. Read them before its first row.",
)
_NOT_KNOWN: Final = "not known"
_SAME: Final = "-"


def waking_up(plan: Plan) -> tuple[Chapter, Chapter]:
    """Return what is measured before power, and the staged first power-up."""
    held = wake_up(plan)
    not_measured = tuple(one.words for one in held.left_out)
    left_out: list[Block] = [Section("Not measured, and why"), Points(not_measured)] if not_measured else []
    before: list[Block] = [
        Points(tuple(_question(look) for look in held.looks if look.before == "measuring"), "ticks"),
        Points(_ORDER),
        *left_out,
        Section("Readings"),
        Table(
            _ROWS,
            tuple(_groups(held.measurements)),
            empty="Nothing of this robot can be measured yet: its wires are not known.",
            small=True,
        ),
    ]
    power: list[Block] = [
        Notice("From here on the battery is in. A mentor is present, and one person stays at the main breaker."),
        Points(tuple(_question(look) for look in held.looks if look.before != "measuring"), "ticks"),
        Section("Switch off at once"),
        Points(held.stop_always),
        Section("A reading beyond its limit"),
        Points(tuple(dict.fromkeys(row.stop.then for stage in held.stages for row in stage.readings if row.stop))),
        Section("Stage by stage"),
        *map(_stage, held.stages),
    ]
    return (
        Chapter("Wake-up: before power", tuple(before), work=True, wide=True),
        Chapter("Wake-up: first power", tuple(power), wide=True),
    )


def _groups(measurements: Sequence[Measurement]) -> Iterator[Rows]:
    """Give the rows by what they are about, in portions that stand on a page with the notes that they need."""
    for (topic, board), of_topic in groupby(measurements, key=lambda row: (row.topic, row.board)):
        portions: list[list[Measurement]] = [[]]
        for _, about in groupby(of_topic, key=lambda row: row.about):
            rows = list(about)
            if portions[-1] and len(portions[-1]) + len(rows) > _MOST_ROWS:
                portions.append([])
            portions[-1] += rows
        for place, portion in enumerate(portions):
            notes = _Notes()
            rows_told = tuple(_row(row, notes) for row in portion)
            title = _big(str(topic)) + (", continued" if place else "")
            yield Rows(rows_told, title, f"{_big(board)}." if board else "", legend=notes.legend())


@dataclass(slots=True)
class _Notes:
    """Sentences that hold for several rows, each with a letter."""

    letters: dict[str, str] = field(default_factory=dict)

    def of(self, *said: str) -> str:
        """Return the letters of some sentences; a new one gets the next letter."""
        once = dict.fromkeys(words for words in said if words)
        return " ".join(self.letters.setdefault(words, _letter(len(self.letters))) for words in once)

    def legend(self) -> tuple[str, ...]:
        """Return each sentence with its letter."""
        return tuple(f"{letter}: {words}" for words, letter in self.letters.items())


def _letter(number: int) -> str:
    """Return a, b, ... z, aa, ab and so on."""
    more, last = divmod(number, 26)
    return (_letter(more - 1) if more else "") + "abcdefghijklmnopqrstuvwxyz"[last]


def _big(words: str) -> str:
    return f"{words[0].upper()}{words[1:]}"


def _question(look: Question) -> str:
    return f"{look.question} {look.why}"


def _row(row: Measurement, notes: _Notes) -> tuple[str, ...]:
    return (
        str(row.number),
        ". ".join((row.what, *(do.partition(": ")[0] for do in row.first))),
        row.red.words,
        row.black.words,
        str(row.setting),
        _should_read(row),
        row.stop.words if row.stop else _SAME,
        notes.of(*_said(row)) or _SAME,
        "",
        "",
    )


def _should_read(row: Measurement) -> str:
    told = _short(row.expected)
    if row.swapped is None:
        return told
    swapped = _short(row.swapped)
    if row.expected.kind is Kind.UNKNOWN:
        return told
    return f"{told}, either way round" if swapped == told else f"{told}; swapped {swapped}"


def _said(row: Measurement) -> Iterator[str]:
    yield row.why
    yield from (_big(reason) for do in row.first if (reason := do.partition(": ")[2]))
    yield from row.notes
    yield from (f"{meaning.reading}: {meaning.means}" for meaning in row.meanings)
    if row.stop:
        yield f"Beyond stop: {row.stop.then}"
    yield from (f"{assumed}." for assumed in row.expected.rests_on)
    for expected in (row.expected, row.swapped):
        if expected is not None and expected.kind is Kind.UNKNOWN:
            yield f"{expected.words}."
        elif expected is not None and "; " in expected.words:
            yield f"{expected.words.partition('; ')[2]}."


def _short(expected: Expected) -> str:
    """Leave what is read; what is to be known of it stands in the notes."""
    return _NOT_KNOWN if expected.kind is Kind.UNKNOWN else expected.words.partition("; ")[0]


def _stage(stage: PowerStage) -> Stage:
    rests = dict.fromkeys(f"{assumed}." for row in stage.readings for assumed in row.expected.rests_on)
    readings = tuple(
        (
            str(row.number),
            row.red.words,
            row.black.words,
            row.expected.words,
            f"{row.stop.words}" if row.stop else _SAME,
            "",
            "",
        )
        for row in stage.readings
    )
    return Stage(
        f"{stage.number}. {_big(stage.title)}",
        stage.do,
        (
            ("expect", stage.expect),
            ("switch off at once", stage.stop),
            ("the volts rest on", tuple(map(_big, rests))),
        ),
        Table(_VOLTS, (Rows(readings),), small=True) if readings else Table(_BY, (Rows((("", "", ""),)),), small=True),
    )
