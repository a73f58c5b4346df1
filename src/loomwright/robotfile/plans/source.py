"""From what something was worked out: the files of a folder and this program, as a digest."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import loomwright

if TYPE_CHECKING:
    from collections.abc import Iterable


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
    folder = Path(loomwright.__file__).parent
    held = [
        f"{path.relative_to(folder).as_posix()} {told.st_size} {told.st_mtime_ns}"
        for path in folder.rglob("*.*")
        if path.suffix != ".pyc" and (told := path.stat())
    ]
    return "\n".join(sorted(held)).encode()
