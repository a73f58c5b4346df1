"""Take in a list of readings that a tester or a person wrote: the same row is the same reading, however often."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.jobs.rack.signing import sign_rack, state_of
from loomwright.records.event import Role
from loomwright.robotfile.lists.reading_list import read_readings
from loomwright.robotfile.lists.typed_table import content_of
from loomwright.robotfile.testers.tester import NAME
from loomwright.robotfile.testers.tester_file import read_testers

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from loomwright.jobs.rack.signing import Signed
    from loomwright.robotfile.folder import RobotFolder
    from loomwright.store import Store


def import_readings(
    store: Store,
    files: RobotFolder,
    source: Path,
    *,
    tester: str,
    who: str,
    now: str,
    zone: dt.tzinfo | None = None,
) -> Signed:
    """Write down every reading of a list, all of them or nothing; `tester` is one of testers.yaml ("": by headings).

    Raises
    ------
    UnreadableInputError
        For a file that is no such list, for a battery that there is not, and with every row that can't be understood.
    """
    path = files.path / NAME
    testers = read_testers(path.read_bytes() if path.is_file() else None)
    labels = [one.label for one in state_of(store).batteries.values()]
    rows = read_readings(
        content_of(source), file=source.name, testers=testers, tester=tester, labels=labels, who=who, now=now, zone=zone
    )
    return sign_rack(store, [dict(event) for row in rows for event in row.events], Role.STUDENT, now=now)
