"""Where numbers come from: the entries of docs/sources.toml by their key."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from pathlib import Path

import loomwright


@dataclass(frozen=True, slots=True)
class Source:
    """One source: its title, the place in it, its edition, and how it was come by.

    `standing` is "published", "quoted", "common practice", "from memory", "computed" or "chosen".
    """

    key: str
    title: str
    where: str = ""
    edition: str = ""
    standing: str = "published"
    note: str = ""

    def __str__(self) -> str:
        """Write title, place and edition in one line, and the standing where it is not a document's own."""
        words = "; ".join(part for part in (self.title, self.where, self.edition) if part)
        return words if self.standing == "published" else f"{words} ({self.standing})"


@lru_cache(maxsize=1)
def sources() -> dict[str, Source]:
    """Return every source by its key."""
    return {key: Source(key=key, **entry) for key, entry in tomllib.loads(_text()).items()}


def source(key: str) -> Source:
    """Return one source; raise KeyError for a key that docs/sources.toml does not have."""
    return sources()[key]


def _text() -> str:
    """Read the file: inside the package where it is installed, in docs/ where it is run from the checkout."""
    shipped = files("loomwright").joinpath("data", "sources.toml")
    if shipped.is_file():
        return shipped.read_text(encoding="utf-8")
    checkout = Path(loomwright.__file__).parents[2]
    return (checkout / "docs" / "sources.toml").read_text(encoding="utf-8")
