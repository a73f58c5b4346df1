"""Matches that slip: on the day that they are on, whatever else stays."""

from __future__ import annotations

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.jobs.rack.schedule import slipped
from loomwright.rack.day.problem import Match

MATCHES = (Match(name="Q1", at_min=545), Match(name="Q2", at_min=600), Match(name="F1", at_min=1440 + 540, may=True))


def test_a_match_slips_on_its_own_day() -> None:
    """F1 of the second day stays on the second day; the list is in the order of time again."""
    found = slipped(MATCHES, {"f1": 570, "Q1": 620})
    assert [(match.name, match.at_min, match.may) for match in found] == [
        ("Q2", 600, False),
        ("Q1", 620, False),
        ("F1", 1440 + 570, True),
    ]
    assert slipped(MATCHES, {}) == MATCHES


def test_a_match_that_there_is_not_offers_the_nearest() -> None:
    """Nothing is moved."""
    with pytest.raises(UnreadableInputError) as caught:
        slipped(MATCHES, {"Q12": 600})
    assert "`Q1`" in caught.value.faults[0].fix
