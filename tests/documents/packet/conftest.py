"""What all tests of the packet share."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from loomwright.documents.typst.compile import forget
from tests.documents.packet.shared import Packets


@pytest.fixture(scope="session")
def packet(tmp_path_factory: pytest.TempPathFactory) -> Packets:
    """Return packets of the examples: `packet(name, build, paper)`."""
    return Packets(tmp_path_factory)


@pytest.fixture(autouse=True)
def _small_memory() -> Iterator[None]:
    """Let typst forget what a test had set, or the whole run would hold gigabytes."""
    yield
    forget()
