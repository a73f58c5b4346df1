"""Run the program as a person or a script does: a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Ended:
    """How a run ended."""

    code: int
    out: str
    err: str


def loomwright(*words: str, cwd: Path | None = None, **environment: str) -> Ended:
    """Run `loomwright WORDS` and return its exit code and what it wrote."""
    done = subprocess.run(
        [sys.executable, "-m", "loomwright", *words],
        cwd=cwd,
        env={**os.environ, "NO_COLOR": "1", **environment},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )
    assert "Traceback" not in done.stderr, done.stderr
    return Ended(done.returncode, done.stdout, done.stderr)


def content(folder: Path) -> dict[str, bytes]:
    """Return every file below a folder with its bytes."""
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}
