"""From what somebody read to an observation: units, limits, what is refused and with which help."""

from __future__ import annotations

import math

import pytest

from loomwright.hunting.problem import Observation
from loomwright.hunting.robot.reading import NotAnObservationError, observation
from loomwright.hunting.robot.shown import Scale
from tests.hunting.robot.traced import ROBOTS, traced

ROCKPOOL = "rockpool"
BATTERY = Scale(unit="V", healthy=12.7, bands=(("flat", 11.9), ("low", 12.5), ("charged", math.inf)))


def refused(check: str, outcome: str = "", value: float | None = None, unit: str = "") -> NotAnObservationError:
    """Return why something is no observation on Rockpool."""
    with pytest.raises(NotAnObservationError) as held:
        observation(traced(ROCKPOOL), check, outcome, value, unit)
    return held.value


def test_an_outcome_is_taken_as_it_is() -> None:
    """With the faults that were mended by then, as far as this robot has them."""
    seen = observation(traced(ROCKPOOL), "look beacon", "dark", after=("open W12 A", "open W99 A"))
    assert seen == Observation(check="look beacon", outcome="dark", after=("open W12 A",))


def test_a_number_falls_into_its_outcome() -> None:
    """Well away from the limits for sure: 12.6 V as expected, 11 V low, 0 V none, -12 V reversed; a wire by ohms."""
    robot = traced(ROCKPOOL)
    told = {12.6: "as expected", 11.0: "low", 0.0: "none", -12.6: "reversed"}
    for volts, outcome in told.items():
        seen = observation(robot, "volts beacon B", value=volts, unit="V")
        assert (seen.outcome or max(seen.odds, key=lambda one: one[1])[0]) == outcome
    for ohm, outcome in ((0.2, "as expected"), (20.0, "high"), (1e6, "open"), (math.inf, "open")):
        assert observation(robot, "ohms W6", value=ohm, unit="ohm") == Observation(check="ohms W6", outcome=outcome)
    assert observation(robot, "amps left wheel", value=5.0, unit="A").outcome == "as expected"


@pytest.mark.parametrize(
    ("volts", "odds"),
    [
        (11.9, {"flat": 1.0, "low": 0.6}),
        (11.76, {"flat": 1.0, "low": 0.6}),
        (11.74, {"flat": 1.0}),
        (11.91, {"low": 1.0, "flat": 0.6}),
        (12.2, {"low": 1.0}),
        (12.5, {"low": 1.0, "charged": 0.6}),
        (12.64, {"charged": 1.0, "low": 0.6}),
        (12.66, {"charged": 1.0}),
        (-5.0, {"flat": 1.0}),
    ],
)
def test_near_a_limit_it_may_be_either(volts: float, odds: dict[str, float]) -> None:
    """0.15 V to both sides of it: the outcome where it lies, and the next with six tenths of its odds."""
    assert dict(BATTERY.outcomes(volts)) == odds


@pytest.mark.parametrize(
    ("ohm", "odds"),
    [
        (1.34, {"as expected": 1.0}),
        (1.36, {"as expected": 1.0, "high": 0.6}),
        (1.5, {"as expected": 1.0, "high": 0.6}),
        (1.64, {"high": 1.0, "as expected": 0.6}),
        (1.66, {"high": 1.0}),
        (109e3, {"open": 1.0, "high": 0.6}),
        (111e3, {"open": 1.0}),
    ],
)
def test_near_a_limit_of_ohms_is_a_tenth(ohm: float, odds: dict[str, float]) -> None:
    """Of the limit, to both sides; and a volt is near to 1 V within a tenth of it alone."""
    wire = Scale(unit="ohm", healthy=0.3, bands=(("as expected", 1.5), ("high", 100e3), ("open", math.inf)))
    assert dict(wire.outcomes(ohm)) == odds
    volts = Scale(unit="V", healthy=12.0, bands=(("none", 1.0), ("low", 11.5), ("as expected", math.inf)))
    assert [len(volts.outcomes(one)) for one in (0.89, 0.91, 1.09, 1.11)] == [1, 2, 2, 1]


def test_doubtful_readings_become_odds() -> None:
    """A tenth below its limit of 1 ohm a wire may be high as well."""
    seen = observation(traced(ROCKPOOL), "ohms W6", value=0.95, unit="ohm")
    assert (seen.outcome, dict(seen.odds)) == ("", {"as expected": 1.0, "high": 0.6})


@pytest.mark.parametrize("name", ROBOTS)
def test_open_is_understood_by_every_ohmmeter(name: str) -> None:
    """Where the meter shows no end of ohms it is the outcome of the greatest resistance, also where that is healthy."""
    robot = traced(name)
    for key, shown in robot.checks.items():
        if shown.scale is not None and shown.scale.unit == "ohm":
            assert observation(robot, key, "open") == Observation(check=key, outcome=shown.scale.bands[-1][0]), key
    assert observation(robot, next(k for k in robot.checks if k.startswith("across ")), "open").outcome == "as expected"


def test_the_wrong_unit_is_refused() -> None:
    """With the right one, and how to write it."""
    error = refused("volts beacon B", value=12.0, unit="ohm")
    assert "is read in V, not in ohm" in error.what
    assert "1.2V" in error.fix
    assert "no unit" in refused("ohms W6", value=1.0).what
    assert str(error) == f"{error.what} {error.fix}"


def test_what_is_no_reading_takes_no_number() -> None:
    """A light has outcomes, and they are told."""
    error = refused("look beacon", value=1.0, unit="V")
    assert "no reading of a meter" in error.what
    assert "lit" in error.fix
    assert "flickers" in error.fix


def test_an_unknown_check_is_met_with_its_nearest() -> None:
    """A slip of the pen gets the check that was meant; what is like nothing is asked for the next check."""
    error = refused("look becon", "dark")
    assert "has no check" in error.what
    assert "look beacon" in error.fix
    assert "Ask for the next check" in refused("zzzzqqqq", "dark").fix


def test_an_unknown_outcome_is_met_with_all_of_them() -> None:
    """Also nothing at all, and open where no ohms are read."""
    for word in ("purple", "", "open"):
        error = refused("look beacon", word)
        assert "has no outcome" in error.what
        assert all(one in error.fix for one in ("lit", "odd", "flickers", "dark"))
    assert "has no outcome" in refused("volts beacon B", "open").what


@pytest.mark.parametrize(
    ("check", "value", "unit"),
    [
        ("volts left wheel B", 48.0, "V"),
        ("volts left wheel B", -99.0, "V"),
        ("rest", -12.6, "V"),
        ("amps left wheel", 4000.0, "A"),
        ("ohms W6", -20.0, "ohm"),
    ],
)
def test_what_no_robot_shows_is_asked_again(check: str, value: float, unit: str) -> None:
    """More than two batteries in line, one that reads the wrong way round, more than it gives, less than no ohms."""
    with pytest.raises(NotAnObservationError):
        observation(traced("rockpool"), check, value=value, unit=unit)
