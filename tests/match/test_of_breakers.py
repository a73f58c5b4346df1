"""Breakers and fuses: the fitted strip against the opening times that the parts state."""

from __future__ import annotations

from dataclasses import replace
from math import inf, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.match.machine import Trip
from loomwright.match.of_breakers import fit
from loomwright.match.of_plan import machine_of
from loomwright.model.part import Part, TripPoint
from tests.match.small_robot import played, small_robot
from tests.robots import LIBRARY, as_text, plan_of

GUARDS = [
    "breaker/main-120a",
    "breaker/main-30a",
    *(f"breaker/snap-action-{n}a" for n in (10, 20, 30, 40)),
    "fuse/blade-10a",
]


def _opens_s(trip: Trip, current_a: float, factor: float) -> float:
    """Return when a cold one opens at a steady current [s]: t = -tau ln(1 - (hold/I)^2)."""
    if current_a <= trip.hold_a:
        return inf
    return -trip.tau_s * factor * log(1 - (trip.hold_a / current_a) ** 2)


def _part(name: str) -> Part:
    part = LIBRARY.part(name)
    assert part is not None
    return part


def test_160_a_through_the_main_breaker() -> None:
    """It opens after about 40 s at the earliest (common practice), holds its 120 A, and is closed by hand."""
    machine = played(small_robot()).machine
    assert machine is not None
    main = machine.main_trip
    assert main is not None
    assert _opens_s(main, 160, main.band[0]) == pytest.approx(40, rel=0.02)
    assert 40 < _opens_s(main, 160, main.band[1]) < 200
    assert _opens_s(main, 120, 1) == inf
    assert not main.resets
    assert main.assumed


def test_80_a_through_a_40_a_breaker() -> None:
    """It holds for at least 5 s (common practice), opens within 30 s and closes again by itself."""
    machine = played(small_robot()).machine
    assert machine is not None
    trip = machine.motors[0].trip
    assert trip is not None
    assert trip.rating_a == 40
    assert _opens_s(trip, 80, trip.band[0]) + 1e-9 >= 5
    assert _opens_s(trip, 80, trip.band[1]) <= 30
    assert trip.resets


@pytest.mark.parametrize("name", GUARDS)
def test_a_fit_keeps_every_point_of_the_curve(name: str) -> None:
    """Both ends of the band open within the two times of each point up to four times the rating."""
    fitted = fit(_part(name).trip_curve)
    assert fitted is not None
    assert fitted.agrees
    for point in _part(name).trip_curve:
        if not fitted.hold < point.multiple <= 4:
            continue
        shape = -log(1 - (fitted.hold / point.multiple) ** 2)
        assert fitted.least_s * shape >= (point.min_s or 0) - 1e-9
        assert fitted.most_s * shape <= (point.max_s or inf) + 1e-9


@given(st.floats(1.0, 1.2), st.floats(1, 100), st.floats(1.05, 3))
def test_a_strip_is_found_again(hold: float, tau_s: float, spread: float) -> None:
    """Of points made by one strip with a spread, its time constant lies in the band."""
    times = {m: -tau_s * log(1 - (hold / m) ** 2) for m in (1.35, 2.0, 3.0, 4.0)}
    points = [TripPoint(hold, 3600, None)] + [TripPoint(m, t / spread, t * spread) for m, t in times.items()]
    fitted = fit(points)
    assert fitted is not None
    assert fitted.hold == pytest.approx(hold)
    assert fitted.least_s == pytest.approx(tau_s / spread)
    assert fitted.most_s == pytest.approx(tau_s * spread)


def test_points_that_no_strip_keeps_are_told() -> None:
    """Quick at a little and slow at a lot: there is a band, and it says that the points do not agree."""
    fitted = fit([TripPoint(1.0, 3600, None), TripPoint(1.5, 1, 2), TripPoint(3.0, 50, 60)])
    assert fitted is not None
    assert not fitted.agrees
    assert fitted.least_s < fitted.most_s


def test_without_a_curve_there_is_no_verdict() -> None:
    """A breaker that states no opening times is asked for them and never opens in the study."""
    plan = plan_of(as_text(small_robot()))
    bare = tuple(replace(c, trip_curve=()) if c.id == "base" else c for c in plan.circuits)
    made = machine_of(replace(plan, circuits=bare), find_part=LIBRARY.part)
    assert [finding.code for finding in made.findings] == ["no-trip-curve"]
    assert made.machine is not None
    assert [motor.trip is None for motor in made.machine.motors] == [True, False]


def test_without_the_parts_breakers_in_slots_close_by_themselves() -> None:
    """Nobody gave the parts: that is taken and said, a fuse still stays open."""
    made = machine_of(plan_of(as_text(small_robot())))
    assert made.machine is not None
    assert [motor.trip is not None and motor.trip.resets for motor in made.machine.motors] == [True, True]
    assert not any(load.trip is not None and load.trip.resets for load in made.machine.loads)
    assert any(line.startswith("breakers in slots are taken to close again") for line in made.rests_on)


def test_a_curve_that_only_holds_gives_no_verdict() -> None:
    """Without a time to open or to hold above the rating nothing can be fitted."""
    assert fit([TripPoint(1.0, 3600, None)]) is None
    assert fit([]) is None
