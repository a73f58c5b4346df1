"""The files that pages are made with, all read at the start: no path of a request ever reaches the disk."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import TYPE_CHECKING, Final

from loomwright.web.packed import Packed, pack

if TYPE_CHECKING:
    from collections.abc import Mapping

_KINDS: Final = {
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "svg": "image/svg+xml",
    "png": "image/png",
    "woff2": "font/woff2",
}
_BEST: Final = 9


@dataclass(frozen=True, slots=True)
class StaticTable:
    """Every file by its name, and one hash of all: files that name each other keep to one address."""

    hash: str
    files: Mapping[str, Packed]

    def url(self, name: str) -> str:
        """Return where a file is found; raise KeyError where there is none of that name."""
        if name not in self.files:
            raise KeyError(name)
        return f"/static/{self.hash}/{name}"


def read_static() -> StaticTable:
    """Read what ships with the package: style, scripts and pictures of `static`, and the fonts."""
    found = dict(_below(files("loomwright") / "web" / "static"))
    found |= dict(_below(files("loomwright") / "data" / "fonts"))
    whole = hashlib.sha256()
    for name, data in sorted(found.items()):
        whole.update(f"{name}\0{len(data)}\0".encode() + data)
    packed = {name: pack(data, _kind(name), level=_BEST) for name, data in sorted(found.items())}
    return StaticTable(whole.hexdigest()[:16], packed)


def _below(folder: Traversable, before: str = "") -> Iterator[tuple[str, bytes]]:
    for entry in folder.iterdir():
        if entry.is_dir():
            yield from _below(entry, f"{before}{entry.name}/")
        elif _kind(entry.name):
            yield f"{before}{entry.name}", entry.read_bytes()


def _kind(name: str) -> str:
    return _KINDS.get(name.rpartition(".")[2], "")
