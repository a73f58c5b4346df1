"""Faults are put into whole robots by the twin, and the tracer finds them; see test_found.py."""

from __future__ import annotations

import pytest

from tests.hunting.robot.injected import missed


@pytest.mark.parametrize(("name", "count"), [("tidepool", 55), ("breakwater", 45)])
def test_at_least_95_of_100_single_faults_are_found(name: str, count: int) -> None:
    """Of all kinds; and the truth is never ruled out."""
    assert len(missed(name, count)) <= 0.05 * count
