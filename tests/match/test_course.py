"""A match again, as it went: the very match of the study, its steps, spans and breakers."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from loomwright.match.course import _spans, course_of
from loomwright.match.driver import Cycle, Driver, Phase, Step, Wish
from loomwright.match.engine import layout as at
from loomwright.match.machine import Thresholds, Trip
from loomwright.match.study import Study, play_study
from tests.match.studies import outcomes, study


def weak() -> Study:
    """Return the busy robot with outputs that go off below 9.5 V and a fuse that opens at once in front of the lift."""
    machine = study().machine
    quick = Trip(5, 5, 0.2, (1.0, 1.0), resets=False, assumed=True)
    motors = tuple(replace(motor, trip=quick if motor.name == "lift" else motor.trip) for motor in machine.motors)
    low = Thresholds("computer", 9.8, 10.5, 0.2, 4.5, 4.65, 1.0)
    return replace(study(), machine=replace(machine, motors=motors, thresholds=low))


@pytest.mark.parametrize("number", [0, 17, 40])
def test_it_is_the_very_match(number: int) -> None:
    """Lowest voltage, driver, charge and the means of all branches are the study's: the lowest to the bit."""
    course, done = course_of(study(), number), outcomes()
    assert course.lowest[1] == done.lowest_v[number]
    assert course.lowest[0] == pytest.approx(done.matches[number, at.O_LOWEST_AT], abs=0.021)
    assert course.driver == study().drivers[int(done.drawn[number, at.D_DRIVER])].name
    assert course.number == number
    # In that very moment all that is drawn is what the bus carries: (rest - V) over the path would tell the same.
    assert sum(course.dip_a) == pytest.approx(done.branches[number, :-1, at.R_DIP].sum(), rel=1e-12)
    assert len(course.dip_a) == len(course.mechanisms)
    # Samples are means of 20 ms: their sum is the charge, to what lies before the first and behind the last.
    assert np.mean(course.total_a) * 150 / 3600 == pytest.approx(done.matches[number, at.O_AH], rel=1e-3)


def test_shapes_and_names() -> None:
    """150 s in samples of 20 ms; the motors of a mechanism are added up, loads stand behind; phases as the driver's."""
    course = course_of(study(), 3)
    machine = study().machine
    assert len(course.time_s) == len(course.bus_v) == len(course.low_v) == len(course.total_a) == 7500
    assert np.diff(course.time_s) == pytest.approx(0.02)
    assert course.mechanisms == (*(m.name for m in machine.mechanisms), *(load.name for load in machine.loads))
    assert len(course.mechanism_a) == len(course.mechanisms)
    summed = np.sum(course.mechanism_a, axis=0)
    assert summed == pytest.approx(np.array(course.total_a), abs=0.05)
    driver = next(one for one in study().drivers if one.name == course.driver)
    assert course.phases == tuple((phase.name, phase.start_s, phase.end_s) for phase in driver.phases)
    assert course.battery == "fresh"
    # The rest curve, read by hand at the drawn charge.
    charge = float(outcomes().drawn[3, at.D_CHARGE])
    (z0, v0), (z1, v1) = next(pair for pair in pairwise(machine.battery.rest) if pair[0][0] <= charge <= pair[1][0])
    assert course.rest_v == pytest.approx(v0 + (charge - z0) / (z1 - z0) * (v1 - v0))
    assert all(low <= mean + 1e-9 for low, mean in zip(course.low_v, course.bus_v, strict=True))


def test_steps_are_told_in_the_drivers_words() -> None:
    """Each name is a step of the driver; times only grow; within a cycle one follows the other."""
    course = course_of(study(), 3)
    driver = next(one for one in study().drivers if one.name == course.driver)
    follows = {(a.name, b.name) for cycle in driver.cycles for a, b in pairwise(cycle.steps)}
    names = [done.name for done in course.steps]
    times = [done.at_s for done in course.steps]
    assert times == sorted(times)
    assert set(names) <= {step.name for cycle in driver.cycles for step in cycle.steps}
    ends = {cycle.steps[0].name for cycle in driver.cycles}
    assert all((a, b) in follows or b in ends for a, b in pairwise(names))
    assert len(names) > 60


def test_a_step_that_begins_again_is_told_once() -> None:
    """One step for ever: one name at the start of each phase at most."""
    push = Cycle("push", (Step("push", (0.5, 0.5), (Wish("lift", (1.0, 1.0)),)),))
    driver = Driver("push", "", 1.0, (Phase("all", 0.0, 3.0, (("push", 1.0),)),), (push,))
    course = course_of(replace(study(), drivers=(driver,)), 0)
    (only,) = course.steps
    assert only.name == "push"
    assert only.at_s <= 0.021
    assert len(course.time_s) == 150


def test_spans_where_outputs_were_off() -> None:
    """Their sum is the study's time off; each begins where the bus has just been too low."""
    done = play_study(weak(), 16)
    number = int(np.argmax(done.matches[:, at.O_OFF_S]))
    course = course_of(weak(), number)
    assert done.matches[number, at.O_OFF] == len(course.off) > 0
    told = sum(end - start for start, end in course.off)
    assert told == pytest.approx(done.matches[number, at.O_OFF_S], abs=0.03 * len(course.off))
    for start, _ in course.off:
        k = round(start / 0.02)
        assert min(course.low_v[max(0, k - 2) : k + 2]) < 9.8
    assert (course.off_below_v, course.on_above_v) == (9.8, 10.5)


def test_breakers_that_opened_are_told_with_their_time() -> None:
    """The lift's quick fuse opens when the lift first goes up, and its current is 0 from then on."""
    course = course_of(weak(), 3)
    (name, at_s), *_ = course.opened
    assert name == "lift"
    after = course.mechanism_a[course.mechanisms.index("lift")][round(at_s / 0.02) + 2 :]
    assert set(after) == {0.0}
    assert max(course.mechanism_a[course.mechanisms.index("lift")]) > 5


@pytest.mark.parametrize(
    ("held", "spans"),
    [
        ([0, 0, 0, 0], []),
        ([0, 1, 1, 0], [(0.02, 0.06)]),
        ([1, 0, 1, 1], [(0.0, 0.02), (0.04, 0.08)]),
        ([1, 1, 1, 1], [(0.0, 0.08)]),
    ],
)
def test_spans_by_hand(held: list[int], spans: list[tuple[float, float]]) -> None:
    """From the first sample that holds to the first that does not; one that holds at the end ends with its sample."""
    found = list(_spans(np.array(held) == 1, np.array([0.0, 0.02, 0.04, 0.06])))
    assert found == [pytest.approx(span) for span in spans]
