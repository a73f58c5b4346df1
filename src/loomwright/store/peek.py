"""What bench.db holds, for whoever only wants to know: nothing is begun, named or migrated."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from loomwright.store.database import Database
from loomwright.store.opening import look_inside
from loomwright.store.rows import SELECT, read_rows

if TYPE_CHECKING:
    from loomwright.records.event import Record


def records_at(path: Path, robot: str) -> tuple[Record, ...]:
    """Return the records of a file in the order in which it got them, none where there is no file.

    A log beside it belongs to a bench that is served now, or that was cut off; it is read along.

    Raises
    ------
    UnreadableInputError
        Where the file is damaged, another program's, another robot's or a newer loomwright's.
    StoreError
        Where another program keeps it locked, or its disk fails.
    """
    path = path.resolve()
    if not path.is_file():
        return ()
    with closing(Database(path, to_write=path.with_name(f"{path.name}-wal").exists())) as database:
        look_inside(database, robot, may_be_empty=False)
        with database.reading() as connection:
            rows = connection.execute(f"{SELECT} ORDER BY arrival").fetchall()
    return tuple(record for _, record in read_rows(rows, database.file))
