"""What each sheet in a folder was drawn from, so that it need not be drawn again while that is the same.

A small file beside the sheets holds it. Without that file, or where a sheet is not as it was drawn, it is drawn anew.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.robotfile.plans.source import digest_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

#: The file that keeps it, beside the sheets; nothing is lost where it is deleted.
NAME: Final = ".drawn.json"
_LARGEST: Final = 100_000


@dataclass(frozen=True, slots=True)
class Drawn:
    """A sheet as it was drawn: the digest of what it was drawn from, and of the sheet itself."""

    source: str
    digest: str

    @classmethod
    def of(cls, sheet: bytes, source: str) -> Drawn:
        """Return what to keep of a sheet that was drawn from a source."""
        return cls(source, digest_of([sheet]))


def read_drawn(folder: Path) -> dict[str, Drawn]:
    """Return what is kept of the sheets of a folder by their names; nothing where that can't be read."""
    try:
        path = folder / NAME
        held = json.loads(path.read_bytes()) if path.stat().st_size <= _LARGEST else {}
        return {str(name): Drawn(str(source), str(digest)) for name, (source, digest) in held["sheets"].items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}


def stands(path: Path, held: Drawn | None, source: str) -> bool:
    """Tell whether a sheet stands there as it was drawn from this source."""
    try:
        return held is not None and held == Drawn.of(path.read_bytes(), source)
    except OSError:
        return False


def write_drawn(sheets: Mapping[str, Drawn]) -> bytes:
    """Return what to keep, for `NAME`."""
    held = {name: [drawn.source, drawn.digest] for name, drawn in sorted(sheets.items())}
    return (json.dumps({"sheets": held}, indent=2) + "\n").encode("ascii")
