"""System programs that tests need: declared in tests/needs.toml, found on PATH, installed where that is allowed."""

from __future__ import annotations

import os
import shutil
import subprocess
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Final

DECLARED: Final = Path(__file__).resolve().parent.parent / "tests" / "needs.toml"


@dataclass(frozen=True, slots=True)
class Need:
    """One program that some tests can't do without."""

    name: str
    programs: tuple[str, ...]
    debian: tuple[str, ...]
    why: str

    def program(self) -> Path | None:
        """Find the program on PATH; None if it is not there."""
        found = next(filter(None, map(shutil.which, self.programs)), None)
        return Path(found) if found else None

    def missing_line(self) -> str:
        """Say in one line what is missing, what for, and how Debian gets it."""
        return f"{self.name} is missing ({self.why}); on Debian: apt-get install {' '.join(self.debian)}"


def declared(file: Path = DECLARED) -> dict[str, Need]:
    """Read all needs by name."""
    tables = tomllib.loads(file.read_text(encoding="utf-8"))
    return {
        name: Need(name, tuple(table["programs"]), tuple(table["debian"]), table["why"])
        for name, table in tables.items()
    }


def provide(needs: dict[str, Need]) -> list[str]:
    """Install what is missing where that is allowed; return a line for each need that is missing still."""
    missing = [need for need in needs.values() if need.program() is None]
    if missing and _may_install():
        _apt_get("update", "-qq")
        for need in missing:
            _apt_get("install", "-qq", "--no-install-recommends", "--yes", *need.debian)
    return [need.missing_line() for need in missing if need.program() is None]


def _may_install() -> bool:
    """Tell whether this is Debian (or a child of it) with root at the keyboard."""
    return os.name == "posix" and os.geteuid() == 0 and shutil.which("apt-get") is not None


def _apt_get(*words: str) -> None:
    """Run apt-get without questions; whether it helped is seen by looking for the program afterwards."""
    print(f"== apt-get {' '.join(words)}", flush=True)
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    subprocess.run(["apt-get", *words], env=quiet, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, check=False)
