"""The records of a robot's folder for the bench command: open them, write them out, take them in, copy them."""

from __future__ import annotations

import secrets
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import click

from loomwright.cli.console import for_reading
from loomwright.cli.endings import MUST_FIX
from loomwright.findings import Finding
from loomwright.records.event import Role
from loomwright.robotfile.plans.safe_write import make_folder, write_safely
from loomwright.store import (
    NAME,
    StoreError,
    backup,
    dated_backup,
    export_lines,
    import_lines,
    open_store,
    refuse_in_the_way,
)
from loomwright.web.clock import laptop_clock

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.store import Store

#: Where dated copies go; what the folder's ignore file says of bench.db covers it.
BACKUPS: Final = "bench.db-backups"
_KEPT: Final = 30
#: What people fill in, told from what laptops export by its suffix.
_SHEETS: Final = (".csv", ".tsv", ".txt", ".xlsx", ".ods")
_IGNORE: Final = ".gitignore"
_IGNORED: Final = "bench.db*"


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What was done with the records, in words and as numbers by name, and what was noticed on the way."""

    words: str
    file: str
    numbers: dict[str, int]
    noticed: tuple[Finding, ...] = ()

    def as_data(self) -> dict[str, Any]:
        """Return the JSON form; the keys are part of the documented output."""
        return {"file": self.file, **self.numbers, "findings": [finding.as_dict() for finding in self.noticed]}


def open_records(folder: Path, robot: str) -> Store:
    """Open bench.db of a folder, begin it where there is none, and keep it out of git."""
    _keep_out_of_git(folder)
    now = laptop_clock().stamp()
    return open_store(folder / NAME, robot=robot, now=now, new_origin=lambda: f"laptop-{secrets.token_hex(6)}")


def export_records(folder: Path, to: Path) -> Done:
    """Write all records to a file, whole or not at all."""
    with _records_of(folder) as store:
        records = store.records()
        refuse_in_the_way(to)
        write_safely(to, "".join(export_lines(records, robot=store.robot)).encode())
        words = f"Wrote {_counted(len(records))} to {to}. On the other laptop: loomwright bench --import {to.name}"
        return Done(words=words, file=str(to), numbers={"records": len(records)}, noticed=store.noticed)


def import_records(folder: Path, source: Path, build: str = "") -> Done:
    """Take in what another laptop exported, or a pull sheet that was typed in, all of it or nothing."""
    if source.suffix.lower() in _SHEETS:
        return _import_sheet(folder, source, build)
    with _records_of(folder) as store, source.open(encoding="utf-8", newline="\n") as lines:
        taken = import_lines(store, lines, file=source.name)
        words = f"Took in {_counted(taken.added)} of {source}; {taken.known} were here already."
        noticed = (*store.noticed, *taken.noticed)
        return Done(
            words=words, file=str(source), numbers={"added": taken.added, "known": taken.known}, noticed=noticed
        )


def _import_sheet(folder: Path, source: Path, build: str) -> Done:
    from loomwright.jobs.bench import Bench  # noqa: PLC0415  it brings the planner along
    from loomwright.jobs.current import planned  # noqa: PLC0415
    from loomwright.jobs.paper import import_paper  # noqa: PLC0415

    plan = planned(folder, build)
    with open_records(folder, plan.robot.name) as store:
        bench = Bench(folder, build, store, plan)
        answers = import_paper(bench, source, now=laptop_clock().stamp(), role=Role.STUDENT)
        added = sum(answer.outcome == "added" for answer in answers)
        words = f"Took in {_counted(added)} of {source}; {len(answers) - added} were here already."
        numbers = {"added": added, "known": len(answers) - added}
        return Done(words=words, file=str(source), numbers=numbers, noticed=store.noticed)


def back_up(folder: Path, to: Path | None) -> Done:
    """Copy bench.db to a file, or to one of the folder's own that is named by the time."""
    with _records_of(folder) as store:
        if to is None:
            make_folder(folder / BACKUPS)
            made = dated_backup(store, folder / BACKUPS, now=laptop_clock().stamp(), keep=_KEPT)
        else:
            backup(store, made := to)
        count = len(store.records())
        words = f"Copied {_counted(count)} to {made}. Keep copies on another disk, too."
        return Done(words=words, file=str(made), numbers={"records": count}, noticed=store.noticed)


@contextmanager
def told_plainly() -> Iterator[None]:
    """Tell what the store can't do as a finding, and end with the exit code for what must be fixed."""
    try:
        yield
    except StoreError as error:
        click.echo(for_reading(error.finding.as_text(), sys.stderr), err=True)
        raise click.exceptions.Exit(MUST_FIX) from error


def _records_of(folder: Path) -> Store:
    # The bench gets its robot from the helper, and must not wait for this.
    from loomwright.robotfile.folder import open_folder  # noqa: PLC0415

    robot, _ = open_folder(folder).read()
    return open_records(folder, robot.name)


def _keep_out_of_git(folder: Path) -> None:
    ignore = folder / _IGNORE
    held = ignore.read_text(encoding="utf-8", errors="replace") if ignore.is_file() else ""
    if folder.is_dir() and _IGNORED not in held.split():
        end = "" if not held or held.endswith("\n") else "\n"
        write_safely(ignore, f"{held}{end}{_IGNORED}\n".encode())


def _counted(count: int) -> str:
    return f"{count} record" if count == 1 else f"{count} records"
