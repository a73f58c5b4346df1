"""The packets of the examples: each is set once in a run of the tests, and read once in a process."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from loomwright.documents.packet.packet import packet_pdf
from tests.documents.packet.reading import Packet
from tests.made_once import made_once
from tests.robots import example_plan


class Packets:
    """Packets by the example's name, its build and the paper; nobody changes them."""

    def __init__(self, factory: pytest.TempPathFactory) -> None:
        self._factory = factory
        self._read: dict[tuple[str, str, str], Packet] = {}

    def __call__(self, name: str, build: str = "", paper: str = "a4") -> Packet:
        """Return a packet as it is read back."""
        key = (name, build, paper)
        if key not in self._read:
            self._read[key] = Packet(self.pdf(*key))
        return self._read[key]

    def pdf(self, name: str, build: str = "", paper: str = "a4") -> bytes:
        """Return a packet's bytes."""
        words = f"packet {name} {build} {paper}"
        folder = made_once(self._factory, words, partial(_set, name=name, build=build, paper=paper))
        return (folder / "packet.pdf").read_bytes()


def _set(folder: Path, *, name: str, build: str, paper: str) -> None:
    folder.mkdir()
    (folder / "packet.pdf").write_bytes(packet_pdf(example_plan(name, build), paper=paper))
