"""Walk every origin's chain, and tell where a record is missing, was changed, or does not continue the one before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from loomwright.findings import Finding, Place, Severity
from loomwright.records.event import NOTHING_BEFORE
from loomwright.store.database import Database
from loomwright.store.rows import SELECT, Row, not_understood, understood


def verify(database: Database) -> list[Finding]:
    """Tell every record that is missing, was changed, or does not continue its chain, in one walk.

    A chain shows an edit to everybody who holds a later record of it. It can't show that somebody wrote the whole
    chain anew; an export that another laptop has taken before does.
    """
    with database.reading() as connection:
        rows = connection.execute(f"{SELECT} ORDER BY origin, sequence").fetchall()
        counted = connection.execute("SELECT seq FROM sqlite_sequence WHERE name = 'records'").fetchone()
    told: list[Finding] = []
    missing = 0
    for origin, chain in groupby(rows, key=lambda row: str(row[1])):
        for gap, finding in _walk(origin, chain, database.file):
            missing += gap
            told.append(finding)
    lost = (int(counted[0]) if counted else 0) - len(rows) - missing
    return [*told, _lost(lost, database.file)] if lost > 0 else told


def _walk(origin: str, chain: Iterable[Row], file: str) -> Iterator[tuple[int, Finding]]:
    """Tell what is wrong with one chain, each with the number of records that are missing there."""
    expected, before = 1, NOTHING_BEFORE
    for row in chain:
        sequence, digest = row[2], row[5]
        record = understood(row)
        if sequence != expected:
            yield sequence - expected, _gap(origin, expected, sequence - 1, file)
        if record is None:
            yield 0, not_understood(row, file)
        elif sequence == expected and record.before != before:
            yield 0, _broken(origin, sequence, file)
        expected, before = sequence + 1, digest


def _gap(origin: str, first: int, last: int, file: str) -> Finding:
    which = f"Record {first} of {origin} is" if first == last else f"Records {first} to {last} of {origin} are"
    return _must("records-missing", file, f"{origin} {first}", f"{which} missing, and there are later ones.")


def _lost(count: int, file: str) -> Finding:
    which = "The last record of an origin is" if count == 1 else f"The last {count} records of one or more origins are"
    return _must("records-missing", file, "", f"{which} gone: {file} has counted them and no longer holds them.")


def _broken(origin: str, sequence: int, file: str) -> Finding:
    which = f"Record {sequence} of {origin} does not continue"
    what = f"{which} record {sequence - 1}" if sequence > 1 else f"{which} an empty chain"
    return _must("chain-broken", file, f"{origin} {sequence}", f"{what}: one of them was replaced.")


def _must(code: str, file: str, thing: str, what: str) -> Finding:
    fix = f"Keep {file} as it is. Restore the newest backup that is whole, then import what the other laptops exported."
    return Finding(code, Severity.MUST, Place(file, thing=thing), what, fix)
