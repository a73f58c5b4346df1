"""bench.db: what was done to the robot, kept for good, handed from laptop to laptop, and backed up.

Nobody else speaks to the database. What leaves this room are the events and records of `records`; a record that does
not verify is never handed out. There is no clock in here, and nothing random: times and names come as arguments.
"""

from __future__ import annotations

from loomwright.store.append import Outcome
from loomwright.store.backups import backup, dated_backup, restore
from loomwright.store.exchange import Imported, export_lines, import_lines, refuse_in_the_way
from loomwright.store.opening import NAME, open_store
from loomwright.store.peek import records_at
from loomwright.store.store import Store
from loomwright.store.troubles import StoreBusyError, StoreError, StoreFullError

__all__ = [
    "NAME",
    "Imported",
    "Outcome",
    "Store",
    "StoreBusyError",
    "StoreError",
    "StoreFullError",
    "backup",
    "dated_backup",
    "export_lines",
    "import_lines",
    "open_store",
    "records_at",
    "refuse_in_the_way",
    "restore",
]
