"""The fold of the rack: one record for each battery and charger, whoever spelled its label how."""

from __future__ import annotations

from loomwright.records.event import Kind, Role
from loomwright.records.fold import State, fold
from tests.records.events import event, key, recorded

EIGHT, NINE = "2026-02-07T08:00:00Z", "2026-02-07T09:00:00Z"


def folded(*events: object, role: Role = Role.STUDENT) -> State:
    """Return the state after some events of one laptop."""
    return fold(recorded(*events, role=role))  # type: ignore[arg-type]


def test_a_battery_is_the_same_in_any_spelling_and_named_as_it_was_described() -> None:
    """B 3, B3 and b3 are one battery; the description says how it is written."""
    state = folded(
        event(1, Kind.RESTED, about="b3", value=12.8, unit="V"),
        event(2, Kind.BATTERY, about="B3"),
        event(3, Kind.WARMTH, about="b 3", value=20.0, unit="C", measured_at=EIGHT),
    )
    assert list(state.batteries) == ["b3"]
    battery = state.batteries["b3"]
    assert battery.label == "B3"
    assert [one.kind for one in battery.readings] == [Kind.WARMTH, Kind.RESTED]


def test_what_nobody_described_is_there_all_the_same() -> None:
    """A reading of a battery that another laptop added is not lost."""
    state = folded(event(1, Kind.RESTED, about="B9", value=12.8, unit="V"))
    assert state.batteries["b9"].label == "B9"
    assert state.batteries["b9"].described == ()


def test_the_last_move_that_nobody_replaced_says_where_it_is() -> None:
    """A move that knew of another replaces it whatever the clocks; of two at once the later counts, and both stand."""
    here = event(1, Kind.MOVED, about="B3", words="rack", measured_at=NINE)
    there = event(2, Kind.MOVED, about="B3", words="robot", of=(1,), measured_at=EIGHT)
    assert folded(here, there).batteries["b3"].moves == (there,)
    apart = event(3, Kind.MOVED, about="B3", words="cooling", measured_at=EIGHT)
    battery = folded(here, apart).batteries["b3"]
    assert battery.moves == (apart, here)
    assert battery.place == here
    assert folded().batteries == {}


def test_an_alarm_stands_until_a_mentor_releases_that_very_one() -> None:
    """A sound look later does not lift it, nor does a student, nor the release of another alarm."""
    dropped = event(1, Kind.LOOKED_OVER, about="B3", words="dropped")
    hot = event(2, Kind.LOOKED_OVER, about="B3", words="hot")
    sound = event(3, Kind.LOOKED_OVER, about="B3", words="sound", of=(1,))
    release = event(4, Kind.RELEASED, about="B3", of=(1,))
    assert folded(dropped, sound).batteries["b3"].alarms == (dropped,)
    assert folded(dropped, release).batteries["b3"].alarms == (dropped,)
    assert folded(dropped, hot, release, role=Role.MENTOR).batteries["b3"].alarms == (hot,)


def test_charges_belong_to_the_battery_and_to_the_charger() -> None:
    """One event, seen from both sides; a charger that nobody described is there too."""
    charge = event(1, Kind.CHARGED, about="B3", tool="C 2", value=13.3, unit="V")
    state = folded(charge, event(2, Kind.CHARGER, about="C1", conditions={"fast_a": 6.0}))
    assert state.batteries["b3"].charges == (charge,)
    assert state.chargers["c2"].charges == (charge,)
    assert state.chargers["c2"].label == "C 2"
    assert state.chargers["c1"].described[0].key == key(2)


def test_what_was_taken_back_counts_no_more() -> None:
    """A reading typed under the wrong label goes, and the battery with it where nothing else is known of it."""
    wrong = event(1, Kind.RESTED, about="B8", value=12.8, unit="V")
    back = event(2, Kind.TAKEN_BACK, of=(1,))
    assert folded(wrong, back, role=Role.MENTOR).batteries == {}
