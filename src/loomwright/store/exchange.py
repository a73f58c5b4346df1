"""Hand records from laptop to laptop: write them out, and take in what another one wrote."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.records.event import Record
from loomwright.store.export_form import is_head, read_export, write_head, write_record
from loomwright.store.joining import Joining
from loomwright.store.store import Store
from loomwright.store.troubles import StoreError

#: The first line of an export is shorter than this [characters].
_HEAD: Final = 10_000


@dataclass(frozen=True, slots=True)
class Imported:
    """How many records an import added, how many were there already, and what else it noticed."""

    added: int
    known: int
    noticed: tuple[Finding, ...] = ()


def refuse_in_the_way(to: Path) -> None:
    """Refuse a place where something else stands than an export: an export is written over an older one alone.

    Raises
    ------
    StoreError
        Where a folder, records, a robot file or anything else stands there.
    """
    if not to.exists():
        return
    try:
        with to.open(encoding="utf-8", errors="replace") as file:
            ours = is_head(file.readline(_HEAD))
    except OSError:
        ours = False
    if not ours:
        what = f"{to.name} is there already and is no export of records, so nothing was written over it."
        raise StoreError(
            Finding("export-in-the-way", Severity.MUST, Place(to.name), what, "Give the export another name.")
        )


def export_lines(records: Iterable[Record], *, robot: str) -> Iterator[str]:
    """Give the lines of an export, each with its line end; `records` in the order of a store's `records`."""
    yield write_head(robot)
    for record in records:
        yield write_record(record)


def import_lines(store: Store, lines: Iterable[str], *, file: str = "export") -> Imported:
    """Take in what another laptop exported, all of it or nothing; to do it twice changes nothing.

    Each origin's records have to continue those that are here. `file` is what findings call the export.

    Raises
    ------
    UnreadableInputError
        With the faults of all lines; or, where every line is good, with what does not fit each origin's chain.
    StoreError
        Where nothing can be written now.
    """
    records = read_export(lines, robot=store.robot, file=file)
    with store.database.writing() as connection:
        joining = Joining(connection, here=store.origin, bench=store.database.file, file=file)
        for number, record in records:
            joining.take(number, record)
        if joining.faults:
            raise UnreadableInputError(joining.faults)
    return Imported(joining.added, joining.known, tuple(joining.noticed))
