"""Pull sheets that were filled in and typed in: who made each end, who pulled it, whether it held; and sample pulls."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.robotfile.lists.headings import Said, headings_of, names_of, said_in, twice
from loomwright.robotfile.lists.typed_table import TypedRow, TypedTable, read_tables
from loomwright.robotfile.lists.written_when import UnclearTimeError, When, read_when
from loomwright.wording import quoted

#: What a title means: the columns of the two sheets, and what else people write for them.
MEANINGS: Final[Mapping[str, str]] = {
    **dict.fromkeys(("wire", "wire id"), "wire"),
    **dict.fromkeys(("made by", "maker"), "made by"),
    **dict.fromkeys(("pulled by", "witness"), "pulled by"),
    **dict.fromkeys(("pulled to", "force"), "force"),
    **dict.fromkeys(("date", "day", "when", "date/time", "date and time"), "date"),
    **dict.fromkeys(("note", "notes"), "note"),
    **{name: name for name in ("end", "tool", "held", "time", "gauge", "terminal", "revision", "sample")},
    "crimping tool": "crimping tool",
}
WANTED: Final = "`wire` and `end` with `made by`, `pulled by` and `held`, or the columns of the sheet sample pulls"
_FITTED: Final = frozenset({"wire", "end"})
_SAMPLE: Final = frozenset({"crimping tool", "sample", "pulled by"})
#: A column of the sheet ends, which has boxes for the ink of whoever makes an end and is not typed in.
_ENDS_ONLY: Final = "strip"
#: A row with one of these was filled in; a tool or a day alone was only copied down the column.
_FILLED: Final = ("made by", "pulled by", "held", "force", "note")
_WIRE: Final = re.compile(r"W[1-9]\d{0,8}")
_YES: Final = frozenset({"yes", "y", "held", "ok", "true"})
_NO: Final = frozenset({"no", "n", "failed", "slipped", "broke", "false"})
#: Some programs save an end as the workbook shows it, with its dot.
_DOTS: Final = "●○ "
BLUNDER: Final = "blunder"
_OF: Final = re.compile(r"(?P<number>\d{1,3})(?: ?(?:of|/) ?(?P<count>\d{1,3}))?")


@dataclass(frozen=True, slots=True, kw_only=True)
class PullRow:
    """One row of a sheet that somebody filled in, with what stands in each cell by its meaning.

    `wire` and `end` name a fitted end; of a sample both are "" and `number` is which of its set it is. `held` is "yes",
    "no", "blunder" (samples only) or "" where nobody says. `place` is where the row stands.
    """

    place: Place
    cells: Mapping[str, Said]
    table: TypedTable
    wire: str = ""
    end: str = ""
    number: int = 0
    held: str = ""
    when: When | None = None

    def text(self, meaning: str) -> str:
        """Return the text of a cell, "" where it is empty."""
        return self.cells[meaning].text if meaning in self.cells else ""

    def fault(self, code: str, what: str, fix: str, *, at: str = "") -> Finding:
        """Make a fault of the row, or of one of its cells."""
        return _fault(self.table, self.place.line, self.cells.get(at), code, what, fix, about=self.about)

    @property
    def about(self) -> str:
        """What the row is about, in words."""
        return f"{self.wire} {self.end}".strip() or self.text("sample")


def read_pull_sheet(data: bytes, *, file: str) -> tuple[PullRow, ...]:
    """Return the rows that somebody filled in, of all sheets that are pull sheets, in their order.

    Raises
    ------
    UnreadableInputError
        For a file that holds no such sheet, and with every row that can't be understood.
    """
    tables = read_tables(data, file=file, is_head=_is_head, wanted=WANTED)
    faults = [fault for table in tables for fault in twice(table, MEANINGS, units=False)]
    rows: list[PullRow] = []
    for table in tables:
        headings = headings_of(table)
        for typed in table.rows:
            said = said_in(typed, headings, comma_decimals=table.comma_decimals)
            cells = {MEANINGS[one.heading.name]: one for one in said if one.heading.name in MEANINGS}
            if any(meaning in cells for meaning in _FILLED):
                row, told = _row(table, typed, cells)
                rows.append(row)
                faults += told
    if faults:
        raise UnreadableInputError(faults)
    return tuple(rows)


def _is_head(cells: Sequence[str]) -> bool:
    names = names_of(cells)
    fitted = names >= _FITTED and ("pulled by" in names or ("made by" in names and _ENDS_ONLY not in names))
    return fitted or names >= _SAMPLE


def _row(table: TypedTable, typed: TypedRow, cells: Mapping[str, Said]) -> tuple[PullRow, list[Finding]]:
    faults: list[Finding] = []
    is_sample = names_of(table.titles) >= _SAMPLE
    row = PullRow(
        place=table.place(typed.line),
        cells=cells,
        table=table,
        wire="" if is_sample else cells["wire"].text.upper() if "wire" in cells else "",
        end="" if is_sample else cells["end"].text.strip(_DOTS).upper() if "end" in cells else "",
        number=_number(cells) if is_sample else 0,
        held=_held(cells),
        when=_when(table, typed, cells, faults),
    )
    return row, [*faults, *(_sample_faults(row) if is_sample else _fitted_faults(row)), *_held_faults(row)]


def _fitted_faults(row: PullRow) -> Iterator[Finding]:
    if not _WIRE.fullmatch(row.wire):
        what = f"{quoted(row.wire)} is no wire's id." if row.wire else "This row names no wire."
        yield row.fault("no-wire", what, "Write the id that stands on its flag, as `W12`.", at="wire")
    if row.end not in ("A", "B"):
        what = f"{quoted(row.end)} is no end of a wire." if row.end else "This row does not say which end it is."
        yield row.fault("no-end", what, "Write `A` or `B`, as it stands on the flag.", at="end")
    if "force" in row.cells:
        what = "A fitted end gets a firm pull by hand, and a force stands here: an end that bore it may be damaged."
        fix = "If it was a sample, write it on the sheet sample pulls. If not, cut the end off and make it again."
        yield row.fault("force-on-fitted-end", what, fix, at="force")
    if not row.text("made by") and not row.text("pulled by"):
        what = "Something stands in this row, and nobody's initials do."
        yield row.fault("nobody", what, "Fill `made by`, `pulled by`, or both.", at="note")
    if row.held == BLUNDER:
        what = "A fitted end holds or it does not."
        yield row.fault("not-yes-or-no", what, "Write `yes` or `no`.", at="held")


def _sample_faults(row: PullRow) -> Iterator[Finding]:
    if not row.number:
        what = "This row does not say which sample of its set it is."
        yield row.fault("no-sample", what, "Write `1 of 3`, as on the sheet.", at="sample")
    if not row.text("pulled by"):
        yield row.fault(
            "nobody", "A sample was pulled, and nobody's initials stand here.", "Fill `pulled by`.", at="held"
        )
    if row.when is None and "date" not in row.cells:
        what = "This sample has no day, and the day tells one set of samples from the next."
        yield row.fault("no-day", what, "Write the day on which the set was pulled, as `2026-02-07`.", at="pulled by")


def _held_faults(row: PullRow) -> Iterator[Finding]:
    if "held" in row.cells and not row.held:
        what = f"{quoted(row.text('held'))} does not say whether it held."
        yield row.fault("not-yes-or-no", what, "Write `yes` or `no`.", at="held")
    elif row.text("pulled by") and not row.held:
        what = "Somebody pulled, and whether it held does not stand here."
        yield row.fault("not-yes-or-no", what, "Write `yes` or `no` under `held`.", at="pulled by")
    elif row.held and not row.text("pulled by") and row.wire:
        what = "Whether it held stands here, and nobody's initials do."
        yield row.fault("nobody", what, "Fill `pulled by`.", at="held")
    for meaning in ("made by", "pulled by"):
        if meaning in row.cells and row.cells[meaning].is_unknown:
            what = "Nobody knows who it was, so nothing was signed."
            yield row.fault(
                "nobody", what, "Find out who it was, or empty the row: then the end counts as to do.", at=meaning
            )


def _held(cells: Mapping[str, Said]) -> str:
    word = cells["held"].text.casefold() if "held" in cells else ""
    return "yes" if word in _YES else "no" if word in _NO else BLUNDER if word == BLUNDER else ""


def _number(cells: Mapping[str, Said]) -> int:
    found = _OF.fullmatch(cells["sample"].text) if "sample" in cells else None
    return int(found["number"]) if found else 0


def _when(table: TypedTable, typed: TypedRow, cells: Mapping[str, Said], faults: list[Finding]) -> When | None:
    """Read the day with the time; a time without a day says nothing."""
    date, clock = cells.get("date"), cells.get("time")
    if date is None and clock is None:
        return None
    text = " ".join(said.text for said in (date, clock) if said is not None)
    try:
        return read_when(text)
    except UnclearTimeError as error:
        what = f"{quoted(text)} {error.what}."
        fix = "Write `2026-02-07`, or with the time `2026-02-07 14:30`."
        faults.append(_fault(table, typed.line, date or clock, "no-day", what, fix))
    return None


def _fault(
    table: TypedTable, line: int, said: Said | None, code: str, what: str, fix: str, *, about: str = ""
) -> Finding:
    column, title = (said.heading.column, said.heading.title) if said is not None else (0, "")
    thing = ", ".join(word for word in (about, title) if word)
    return Finding(code, Severity.MUST, table.place(line, column, thing), what, fix)
