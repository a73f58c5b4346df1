"""From what something was worked out: the files of a folder and this program, as a digest."""

from __future__ import annotations

import hashlib
import os
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import loomwright

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator


def digest_of(contents: Iterable[bytes]) -> str:
    """Return a digest of several contents in their order."""
    whole = hashlib.sha256()
    for content in contents:
        whole.update(f"{len(content)}:".encode("ascii"))
        whole.update(content)
    return whole.hexdigest()


@cache
def program() -> bytes:
    """Return a text that changes with this program: another one may work out something else from the same files."""
    return "\n".join(sorted(_told(Path(loomwright.__file__).parent, ""))).encode()


def _told(folder: Path, within: str) -> Iterator[str]:
    """Give each file with its size and its time, but for what Python compiled of them and is writing meanwhile."""
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir():
                if entry.name != "__pycache__":
                    yield from _told(Path(entry.path), f"{within}{entry.name}/")
            elif "." in entry.name and not entry.name.endswith(".pyc"):
                held = entry.stat()
                yield f"{within}{entry.name} {held.st_size} {held.st_mtime_ns}"
