"""From records to batteries and chargers."""

from __future__ import annotations

from loomwright.rack.battery import BatteryClass, class_of
from loomwright.rack.fleet import batteries_of, chargers_of
from loomwright.rack.readings import day_of
from loomwright.records.event import Event, Kind
from loomwright.records.fold import State, fold
from tests.records.events import NOON, event, recorded


def class_for(part: str, capacity_ah: float | None) -> BatteryClass:
    """Return a class whose title tells what was asked."""
    held = class_of(None, capacity_ah)
    return BatteryClass(
        title=part or "the robot's", capacity_ah=held.capacity_ah, ohm=held.ohm, low_a=held.low_a, high_a=held.high_a
    )


def state_of(*events: Event) -> State:
    """Return the state after some events."""
    return fold(recorded(*events))


def test_a_battery_is_put_together_from_all_that_was_told_of_it() -> None:
    """Class, age, cycles, place, and what happened to it."""
    state = state_of(
        event(1, Kind.BATTERY, about="B3", words="p/x", conditions={"year": 2025, "month": 9, "cycles": 40.0}),
        event(2, Kind.RESTED, about="B3", value=12.8, unit="V"),
        event(3, Kind.CHARGED, about="B3", tool="C1", value=13.2, unit="V"),
        event(4, Kind.MOVED, about="B3", words="charger", tool="C1", conditions={"amps": 6.0}),
        event(5, Kind.PLAYED, about="B3", words="Q1"),
        event(6, Kind.LOOKED_OVER, about="B3", words="dropped"),
    )
    (battery,) = batteries_of(state, class_for)
    assert (battery.label, battery.of.title, battery.cycles) == ("B3", "p/x", 41)
    assert battery.bought == day_of("2025-09-15T00:00:00Z")
    assert (battery.place, battery.charger, battery.there_since) == ("charger", "C1", day_of(NOON))
    assert battery.charging_a == 6
    assert [one.kind for one in battery.readings] == [Kind.RESTED, Kind.LOOKED_OVER]
    assert [len(held) for held in (battery.charges, battery.matches, battery.alarms)] == [1, 1, 1]


def test_what_nobody_described_has_the_class_of_the_robot_and_no_age() -> None:
    """Nothing is made up about it."""
    (battery,) = batteries_of(state_of(event(1, Kind.MOVED, about="B9", words="robot")), class_for)
    assert (battery.of.title, battery.bought, battery.place, battery.charger) == ("the robot's", None, "robot", "")


def test_impossible_years_and_months_make_no_age_and_no_crash() -> None:
    """A description that can't be true counts for nothing; the one before it goes on counting."""
    good = event(9, Kind.BATTERY, about="B3", conditions={"year": 2025, "cycles": 7.0})
    for year, month in ((0, 9), (99999, 9), (2025, 77)):
        odd = event(1, Kind.BATTERY, about="B3", conditions={"year": year, "month": month}, of=(9,))
        (battery,) = batteries_of(state_of(odd), class_for)
        assert battery.bought is None
        (battery,) = batteries_of(state_of(good, odd), class_for)
        assert (battery.cycles, battery.bought is not None) == (7, True)


def test_a_charger_that_can_not_be_keeps_what_was_said_of_it_before() -> None:
    """A current below zero, or a fast one below the gentle one, counts for nothing."""
    good = event(1, Kind.CHARGER, about="C1", conditions={"gentle_a": 2.0, "fast_a": 6.0})
    for told in ({"gentle_a": -2.0}, {"gentle_a": 0.001}, {"gentle_a": 6.0, "fast_a": 2.0}):
        odd = event(2, Kind.CHARGER, about="C1", conditions=told, of=(1,))
        (charger,) = chargers_of(state_of(good, odd))
        assert (charger.gentle_a, charger.fast_a) == (2, 6)


def test_batteries_and_chargers_stand_as_people_count() -> None:
    """B2 before B10, and C1 with what it can do."""
    told = [event(n, Kind.BATTERY, about=label) for n, label in enumerate(("B10", "B2", "a1"), 1)]
    assert [one.label for one in batteries_of(state_of(*told), class_for)] == ["a1", "B2", "B10"]
    state = state_of(
        event(1, Kind.CHARGER, about="C10", conditions={"gentle_a": 2.0, "fast_a": 6.0}),
        event(2, Kind.CHARGED, about="B1", tool="C2", value=13.1, unit="V"),
    )
    two, ten = chargers_of(state)
    assert (two.label, two.gentle_a, len(two.charges)) == ("C2", None, 1)
    assert (ten.label, ten.gentle_a, ten.fast_a) == ("C10", 2, 6)
