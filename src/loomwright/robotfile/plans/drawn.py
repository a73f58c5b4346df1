"""What the sheets in a folder were drawn from, so that they need not be drawn again while that is the same.

A small file beside the sheets holds it. Without that file, or where a sheet is not as it was drawn, all are drawn anew.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Final

from loomwright.robotfile.plans.source import digest_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from pathlib import Path

#: The files that keep it, beside the sheets, of `plan` and of `packet`; nothing is lost where they are deleted.
DRAWN: Final = ".drawn.json"
PACKED: Final = ".packed.json"
_LARGEST: Final = 100_000


def still_drawn(folder: Path, names: Iterable[str], source: str, *, kept: str = DRAWN) -> bool:
    """Tell whether every sheet of these names is in the folder as drawn from this source, by the file `kept`."""
    try:
        path = folder / kept
        held = json.loads(path.read_bytes()) if path.stat().st_size <= _LARGEST else {}
        return held["source"] == source and all(
            held["sheets"][name] == digest_of([(folder / name).read_bytes()]) for name in names
        )
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return False  # what can't be read is not there


def drawn(sheets: Mapping[str, bytes], source: str) -> bytes:
    """Return what to keep of sheets that were drawn from a source, for `DRAWN` or `PACKED`."""
    held = {"source": source, "sheets": {name: digest_of([data]) for name, data in sorted(sheets.items())}}
    return (json.dumps(held, indent=2) + "\n").encode("ascii")
