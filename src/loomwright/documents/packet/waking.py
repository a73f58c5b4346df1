"""The packet's Wake-up: what to look at, what a meter should read before power, and the first power in stages."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from itertools import groupby
from typing import TYPE_CHECKING, Final

from loomwright.documents.packet.blocks import Block, Chapter, Column, Look, Notice, Points, Rows, Section, Table
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
_STAGES: Final = (
    Column("stage", 0, Look.NUMBER),
    Column("what gets power", 1.5, Look.STRONG),
    Column("do, in this order", 6),
    Column("expect", 2.6),
    Column("DC volts, 20 V range: red to black", 3),
    Column("should read", 1.2, Look.STRONG),
    Column("switch off at", 2),
    Column("notes", 0.7),
    Column("reading", 0.9, Look.WRITE),
    Column("by", 0.7, Look.WRITE),
)
_ORDER: Final = (
    "Measure in this order, with the battery out. Write each reading down: later it is the best one to compare with.",
    "Swapped says what the same two places read with the probes the other way round. Either way round: try both.",
    "Stop means: beyond it nobody goes on. Do first what the notes say.",
    "The letters in the column notes stand below. Lay this page beside the readings.",
)
_NOT_KNOWN: Final = "not known"
_SAME: Final = "-"


def waking_up(plan: Plan) -> tuple[Chapter, Chapter]:
    """Return what is measured before power, and the staged first power-up."""
    held = wake_up(plan)
    notes = _Notes()
    groups = tuple(
        Rows(tuple(_row(row, notes) for row in rows), _big(str(topic)), f"{_big(board)}." if board else "")
        for (topic, board), rows in groupby(held.measurements, key=lambda row: (row.topic, row.board))
    )
    not_measured = tuple(one.words for one in held.left_out)
    left_out: list[Block] = [Section("Not measured, and why"), Points(not_measured)] if not_measured else []
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
    often = {words for words, many in Counter(w for stage in held.stages for w in stage.stop).items() if many > 1}
    stages = tuple(line for stage in held.stages for line in _stage(stage, more, often))
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


def _stage(stage: PowerStage, notes: _Notes, often: set[str]) -> Iterator[tuple[str, ...]]:
    do = " ".join(f"{number}. {words}" for number, words in enumerate(stage.do, 1))
    readings: Sequence[Measurement | None] = stage.readings or (None,)
    for place, reading in enumerate(readings):
        first = place == 0
        stop = [words for words in stage.stop if words not in often] if first else []
        noted = [words for words in stage.stop if words in often] if first else []
        yield (
            str(stage.number),
            stage.title if first else "",
            do if first else "",
            " ".join(stage.expect) if first else "",
            f"{reading.number}. {reading.red.words} – {reading.black.words}" if reading else _SAME,
            reading.expected.words if reading else _SAME,
            " ".join([*([f"{reading.stop.words}."] if reading and reading.stop else []), *stop]) or _SAME,
            notes.of(*(_of_reading(reading) if reading else ()), *noted) or _SAME,
            "" if reading else _SAME,
            "",
        )


def _of_reading(reading: Measurement) -> Iterator[str]:
    yield from (f"{assumed}." for assumed in reading.expected.rests_on)
    if reading.stop:
        yield f"Beyond the limit: {reading.stop.then}"
