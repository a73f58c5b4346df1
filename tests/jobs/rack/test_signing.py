"""What is told of a battery is written down or refused, and what counts for nothing is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.jobs.rack.signing import known_label, state_of
from tests.jobs.rack.team import folder_of, sign, store_of, told
from tests.records.events import key


def test_what_no_battery_shows_is_written_down_and_told(tmp_path: Path) -> None:
    """3 V at rest: kept in the records, with the reason; the same event again is known."""
    folder = folder_of(tmp_path)
    odd = told(2, "rested", "B1", value=3, unit="V")
    signed = sign(folder, told(1, "battery", "B1"), odd)
    assert (signed.added, signed.known) == (2, 0)
    ((event, why),) = signed.rejected
    assert (event.key, "3 V for a rest voltage is outside" in why) == (key(2), True)
    assert sign(folder, odd).known == 1
    with store_of(folder) as store:
        assert state_of(store).events[key(2)].value == 3


def test_all_or_nothing(tmp_path: Path) -> None:
    """One event that can't be understood, or that is none of the rack, keeps all of them out, with every reason."""
    folder = folder_of(tmp_path)
    bad = [told(2, "rested", "B1", unit="V"), told(3, "made", "", wire="W1", end="A")]
    with pytest.raises(UnreadableInputError) as caught:
        sign(folder, told(1, "battery", "B1"), *bad)
    assert [fault.code for fault in caught.value.faults] == ["not-an-event", "not-of-the-rack"]
    with store_of(folder) as store:
        assert state_of(store).batteries == {}


def test_an_unknown_label_offers_the_nearest(tmp_path: Path) -> None:
    """Any spelling of a known one is taken; another is refused with the nearest and how to add it."""
    folder = folder_of(tmp_path)
    sign(folder, told(1, "battery", "Blue 3"), told(2, "charger", "C1", conditions={"gentle_a": 2.0}))
    with store_of(folder) as store:
        state = state_of(store)
    assert known_label(state, " blue3") == "Blue 3"
    assert known_label(state, "c 1", charger=True) == "C1"
    for label, charger, close in (("Blue 4", False, "`Blue 3`"), ("C2", True, "`C1`")):
        with pytest.raises(UnreadableInputError) as caught:
            known_label(state, label, charger=charger)
        (fault,) = caught.value.faults
        assert f"Did you mean {close}?" in fault.fix
        assert f"rack add {label}{' --charger' if charger else ''}" in fault.fix
