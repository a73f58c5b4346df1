"""The form of an export: a first line that says what it is, then one line of JSON for each record."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Final

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.records.event import Record, as_data
from loomwright.records.reading import EventRefusedError, read_record
from loomwright.store.rows import UNREADABLE
from loomwright.wording import quoted

FORMAT: Final = "loomwright records"
#: From 2 on an event may name 1000 others instead of 40.
VERSION: Final = 2
#: No record is longer than a fraction of this [characters].
_LONGEST: Final = 100_000


def write_head(robot: str) -> str:
    """Return the first line of an export."""
    return _line({"format": FORMAT, "version": VERSION, "robot": robot})


def write_record(record: Record) -> str:
    """Return a record with its hash as one line, in plain ASCII: no editor and no encoding can hurt it."""
    return _line(as_data(record) | {"hash": record.hash})


def is_head(line: str) -> bool:
    """Tell whether a line is the first one of an export, of whatever robot and version."""
    try:
        head = json.loads(line[:_LONGEST].strip("\ufeff \t\r\n"))
    except UNREADABLE:
        return False
    return isinstance(head, dict) and head.get("format") == FORMAT


def read_export(lines: Iterable[str], *, robot: str, file: str) -> list[tuple[int, Record]]:
    """Return the records of an export, each with the number of its line.

    Raises
    ------
    UnreadableInputError
        With the fault of every line that can't be read or is not what was exported; of the first alone where it is
        no export of ours or a newer one.
    """
    told = [(number, line.strip("\ufeff \t\r\n")) for number, line in enumerate(lines, 1)]
    told = [(number, line) for number, line in told if line]
    faults = list(_head_faults(told[0][1] if told else "", robot, file))
    records: list[tuple[int, Record]] = []
    for number, line in told[1:]:
        record, why = _read(line)
        if record is not None:
            records.append((number, record))
        else:
            faults.append(_bad_line(Place(file, number), why, cut=number == told[-1][0] and not line.endswith("}")))
    if faults:
        raise UnreadableInputError(faults)
    return records


def _head_faults(line: str, robot: str, file: str) -> Iterator[Finding]:
    try:
        head = json.loads(line[:_LONGEST])
    except UNREADABLE:
        head = None
    place = Place(file, 1)
    if not isinstance(head, dict) or head.get("format") != FORMAT or not isinstance(head.get("version"), int):
        what = f"This is no export of records: its first line does not say `{FORMAT}`."
        raise UnreadableInputError([_must("not-an-export", place, what, "Choose the file that an export wrote.")])
    if head["version"] > VERSION:
        what = f"This export is of a newer loomwright (form {head['version']}; this one reads up to {VERSION})."
        raise UnreadableInputError([_must("export-newer", place, what, "Update loomwright on this laptop.")])
    if head.get("robot") != robot:
        what = f"This export is of {quoted(str(head.get('robot')))}, and these are the records of {quoted(robot)}."
        yield _must("export-of-another-robot", place, what, "Choose an export of this robot.")


def _read(line: str) -> tuple[Record | None, str]:
    """Return the record of a line, or why there is none."""
    if len(line) > _LONGEST:
        return None, "It is far too long."
    try:
        told = json.loads(line)
        digest = told.pop("hash", None) if isinstance(told, dict) else None
        record = read_record(told)
        same = record.hash == digest
    except EventRefusedError as error:
        return None, str(error)
    except UNREADABLE:
        return None, "It is no JSON, or no record."
    return (record, "") if same else (None, "It was changed after it was written: its hash says so.")


def _bad_line(place: Place, why: str, *, cut: bool) -> Finding:
    if cut:
        what = "The last line is cut off, so the file is not whole. Nothing was taken from it."
        return _must("export-cut-off", place, what, "Copy the file again, or export again.")
    what = f"This line is not what was exported. {why} Nothing was taken from the file."
    return _must("export-line", place, what, "Copy the file again, or export again on the laptop that it came from.")


def _must(code: str, place: Place, what: str, fix: str) -> Finding:
    return Finding(code, Severity.MUST, place, what, fix)


def _line(told: object) -> str:
    return json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False) + "\n"
