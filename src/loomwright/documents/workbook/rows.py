"""The rows of each sheet of the workbook: those of its table, with what only a sheet needs."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from typing import Final, TypeAlias

from loomwright.documents.tables.cells import NOT_APPLICABLE, Cell, as_words
from loomwright.documents.tables.cuts import MISSING
from loomwright.documents.tables.every import rows_of
from loomwright.model.reason import Origin
from loomwright.plan.result import Plan

_Row: TypeAlias = dict[str, Cell]
#: Name, origin, source and note of a value, and the value itself where it is a sentence.
_Reason: TypeAlias = tuple[str, str, str, str, str]

#: What to doubt first stands first.
_ORIGINS: Final = (
    Origin.UNKNOWN,
    Origin.GIVEN,
    Origin.ASSUMED,
    Origin.MEASURED,
    Origin.COMPUTED,
    Origin.CATALOGUE,
)


def sheet_rows(sheet: str, plan: Plan) -> tuple[_Row, ...]:
    """Give the rows of one sheet as cells by key.

    Raises
    ------
    KeyError
        For a sheet that there is not.
    """
    if sheet == "sources":
        return tuple(_by_reason(rows_of("sources", plan)))
    if sheet == "sizing":
        sized = (row for row in rows_of("circuits", plan) if row["ampacity_a"] != NOT_APPLICABLE)
        return tuple(row | _in_cm(row) for row in sized)
    more = _MORE.get(sheet, _nothing)
    return tuple(row | more(row) for row in rows_of(sheet, plan))


def _nothing(_row: _Row) -> _Row:
    return {}


def _in_cm(row: _Row) -> _Row:
    """Give a length as people read it off a tape."""
    return {"length_cm": _cm(row["length_m"])}


def _cm(length_m: Cell) -> Cell:
    """Give a length [m] in centimetres; a word that stands for one stays."""
    return round(length_m * 100, 1) if isinstance(length_m, float) else length_m


def _cut_length(row: _Row) -> _Row:
    return {"cut_length_cm": _cm(row["length_m"])}


def _cut(row: _Row) -> _Row:
    """Leave room for initials where somebody can cut a piece."""
    box = NOT_APPLICABLE if row["stock"] == MISSING else ""
    return _in_cm(row) | {"left_cm": _cm(row["left_m"]), "cut_by": box}


def _made(_row: _Row) -> _Row:
    """Leave room for initials where somebody makes an end."""
    return {"made_by": ""}


#: What people write on the sheets of pulls.
_FITTED_BOXES: Final = ("made_by", "tool", "pulled_by", "held", "date", "note")
_SAMPLE_BOXES: Final = ("pulled_by", "pulled_to_kg", "held", "date", "note")
#: What only the sheet tells of a row.
_MORE: Final[dict[str, Callable[[_Row], _Row]]] = {
    "circuits": _in_cm,
    "wires": _cut_length,
    "bundles": _in_cm,
    "cut list": _cut,
    "ends": _made,
    "pull record": lambda _: dict.fromkeys(_FITTED_BOXES, ""),
    "sample pulls": lambda _: dict.fromkeys(_SAMPLE_BOXES, ""),
}


def _by_reason(rows: Iterable[_Row]) -> Iterator[_Row]:
    """Tell each reason once, with all its values, and each value once, with all that it belongs to."""
    reasons: defaultdict[_Reason, defaultdict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for row in rows:
        name, value, origin, note = (as_words(row[key]) for key in ("name", "value", "origin", "note"))
        source, place = _file_and_place(as_words(row["source"]))
        sentence = value if value.endswith(".") else ""
        reasons[name, origin, source, note, sentence][value].append(as_words(row["thing"]) + place)
    for key, values in sorted(reasons.items(), key=lambda item: (_ORIGINS.index(Origin(item[0][1])), item[0][0])):
        name, origin, source, note, sentence = key
        joiner = " For " if sentence else ": "
        told = "; ".join(f"{value}{joiner}{', '.join(things)}" for value, things in values.items())
        yield {"name": name, "values": told, "origin": origin, "source": source, "note": note}


def _file_and_place(source: str) -> tuple[str, str]:
    """Part "robot.yaml:8:66" into the file and, in brackets, line and column; leave any other source whole."""
    found = re.fullmatch(r"(.+\.ya?ml):(\d+:\d+)", source)
    return (found[1], f" ({found[2]})") if found else (source, "")
