"""The class of a battery: what its part says, and what is taken where it says nothing."""

from __future__ import annotations

import pytest

from loomwright.rack.battery import RackBattery, class_of
from loomwright.rack.readings import readings_of
from loomwright.records.event import Kind
from loomwright.robotfile.parts.library import Library
from tests.records.events import event


def test_a_part_tells_the_class() -> None:
    """Capacity, resistance and the currents it was measured between."""
    found = class_of(Library().part("battery/agm-12v-18ah"))
    assert (found.capacity_ah, found.ohm, found.low_a, found.high_a) == (18, 0.011, 1, 18)
    assert not found.assumed


def test_without_a_part_it_is_the_usual_one_and_says_so() -> None:
    """What was assumed is told."""
    found = class_of(None)
    assert (found.capacity_ah, found.ohm, found.assumed) == (18, 0.011, True)


def test_a_smaller_battery_has_more_resistance() -> None:
    """Half the plates, twice the resistance."""
    assert class_of(None, 9).ohm == pytest.approx(0.022)
    assert class_of(None, 9).capacity_ah == 9


def test_cycles_are_matches_and_capacity_tests_that_count() -> None:
    """A capacity test that can't be is no cycle."""
    tests = readings_of(
        event(n, Kind.CAPACITY, about="B3", value=hours, conditions={"load_a": 7.5, "cutoff_v": 10.5})
        for n, hours in ((1, 1.6), (2, 900.0))
    )
    matches = readings_of(event(n, Kind.PLAYED, about="B3", words=f"Q{n}") for n in (3, 4))
    assert RackBattery(label="B3", of=class_of(None), cycles_before=40, readings=tests, matches=matches).cycles == 43
