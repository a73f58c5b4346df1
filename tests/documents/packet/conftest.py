"""What all tests of the packet share."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from loomwright.documents.typst.compile import forget


@pytest.fixture(autouse=True)
def _small_memory() -> Iterator[None]:
    """Let typst forget what a test had set, or the whole run would hold gigabytes."""
    yield
    forget()
