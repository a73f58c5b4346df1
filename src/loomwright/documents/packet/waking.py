"""The packet's Wake-up: what to look at, what a meter should read before power, and the first power in stages."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import groupby
from typing import TYPE_CHECKING, Final

from loomwright.documents.packet.blocks import Block, Chapter, Column, Look, Notice, Points, Rows, Section, Table
from loomwright.proof.wake_up import wake_up

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.plan.result import Plan
    from loomwright.proof.wake_up_result import Look as Question
    from loomwright.proof.wake_up_result import Measurement, PowerStage

_ROWS: Final = (
    Column("no.", 0, Look.NUMBER),
    Column("what is proved", 3.2, Look.STRONG),
    Column("red probe", 3.3),
    Column("black probe", 3.3),
    Column("meter", 1.5),
    Column("should read", 1.7, Look.STRONG),
    Column("swapped", 1.5),
    Column("stop", 1.7),
    Column("notes", 1),
    Column("reading", 1.4, Look.WRITE),
    Column("by", 0.7, Look.WRITE),
)
_STAGES: Final = (
    Column("stage", 0, Look.NUMBER),
    Column("what gets power", 1.6, Look.STRONG),
    Column("do, in this order", 4),
    Column("expect", 2.6),
    Column("DC volts, 20 V range: red to black", 2.8),
    Column("should read", 1.1, Look.STRONG),
    Column("switch off at", 2.6),
    Column("reading", 1, Look.WRITE),
    Column("by", 0.7, Look.WRITE),
)
_ORDER: Final = (
    "Measure in this order, with the battery out. Write each reading down: later it is the best one to compare with.",
    "Swapped says what the same two places read with the probes the other way round.",
    "Beyond stop nobody goes on: do first what the notes say. The letters of the notes stand here.",
)
_SAME: Final = "-"


def waking_up(plan: Plan) -> tuple[Chapter, Chapter]:
    """Return what is measured before power, and the staged first power-up."""
    held = wake_up(plan)
    notes = _Notes()
    groups = tuple(
        Rows(tuple(_row(row, notes) for row in rows), topic)
        for topic, rows in groupby(held.measurements, key=lambda row: str(row.topic))
    )
    left_out: list[Block] = [Section("Not measured, and why"), Points(held.left_out)] if held.left_out else []
    before: list[Block] = [
        Points(tuple(_question(look) for look in held.looks if look.before == "measuring"), "ticks"),
        Points(_ORDER),
        *left_out,
        Section("Notes"),
        Points(notes.legend(), "plain"),
        Section("Readings"),
        Table(_ROWS, groups, empty="Nothing of this robot can be measured yet: its wires are not known.", small=True),
    ]
    more = _Notes()
    stages = tuple(line for stage in held.stages for line in _stage(stage, more))
    power: list[Block] = [
        Notice("From here on the battery is in. A mentor is present, and one person stays at the main breaker."),
        Points(tuple(_question(look) for look in held.looks if look.before != "measuring"), "ticks"),
        Section("Switch off at once"),
        Points(held.stop_always),
        Section("Stage by stage"),
        Points(more.legend(), "plain"),
        Table(_STAGES, (Rows(stages),), empty="Nothing gets power yet: the wiring is not known.", small=True),
    ]
    return (
        Chapter("Wake-up: before power", tuple(before), work=True, wide=True),
        Chapter("Wake-up: first power", tuple(power), wide=True),
    )


@dataclass(slots=True)
class _Notes:
    """Sentences that hold for several rows, each with a letter."""

    letters: dict[str, str] = field(default_factory=dict)

    def of(self, *said: str) -> str:
        """Return the letters of some sentences; a new one gets the next letter."""
        return " ".join(self.letters.setdefault(words, _letter(len(self.letters))) for words in said if words)

    def legend(self) -> tuple[str, ...]:
        """Return each sentence with its letter."""
        return tuple(f"{letter}: {words}" for words, letter in self.letters.items())


def _letter(number: int) -> str:
    """Return a, b, ... z, aa, ab and so on."""
    more, last = divmod(number, 26)
    return (_letter(more - 1) if more else "") + "abcdefghijklmnopqrstuvwxyz"[last]


def _question(look: Question) -> str:
    return f"{look.question} {look.why}"


def _row(row: Measurement, notes: _Notes) -> tuple[str, ...]:
    return (
        str(row.number),
        row.what,
        row.red.words,
        row.black.words,
        str(row.setting),
        _short(row.expected.words),
        _short(row.swapped.words) if row.swapped else _SAME,
        row.stop.words if row.stop else _SAME,
        notes.of(*_said(row)) or _SAME,
        "",
        "",
    )


def _said(row: Measurement) -> Iterator[str]:
    yield row.board and f"{row.board[0].upper()}{row.board[1:]}."
    yield from row.first
    yield row.why
    yield from row.notes
    yield from (f"{meaning.reading}: {meaning.means}" for meaning in row.meanings)
    if row.stop:
        yield f"Beyond stop: {row.stop.then}"
    yield from (f"{assumed}." for assumed in row.expected.rests_on)
    for expected in (row.expected, row.swapped):
        more = expected.words.partition("; ")[2] if expected else ""
        yield f"{more}." if more else ""


def _short(words: str) -> str:
    """Leave what is read; what is to be known of it stands in the notes."""
    return words.partition("; ")[0]


def _stage(stage: PowerStage, notes: _Notes) -> Iterator[tuple[str, ...]]:
    do = " ".join(f"{number}. {words}" for number, words in enumerate(stage.do, 1))
    readings: Sequence[Measurement | None] = stage.readings or (None,)
    for place, reading in enumerate(readings):
        first = place == 0
        stop = [*stage.stop] if first else []
        yield (
            str(stage.number) if first else "",
            stage.title if first else "",
            do if first else "",
            " ".join(stage.expect) if first else "",
            f"{reading.number}. {reading.red.words} – {reading.black.words}" if reading else _SAME,
            _expected(reading, notes) if reading else _SAME,
            " ".join([*([f"{reading.stop.words}."] if reading and reading.stop else []), *stop]),
            "" if reading else _SAME,
            "",
        )


def _expected(reading: Measurement, notes: _Notes) -> str:
    said = [f"{assumed}." for assumed in reading.expected.rests_on]
    then = f"Beyond the limit: {reading.stop.then}" if reading.stop else ""
    letters = notes.of(*said, then)
    return f"{reading.expected.words} {letters}".strip()
