"""What tests of the web room may ask for."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.web.people import House


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    """Give a shared bench with empty records."""
    made = House.of(tmp_path)
    yield made
    made.desk.bench.store.close()
