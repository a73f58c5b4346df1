"""What a reading tells at once: good, to be explained, stop; on the rows of the shipped robots."""

from __future__ import annotations

from functools import lru_cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.proof.as_built.rows import Rows
from loomwright.proof.as_built.verdicts import VOLTAGE_THEN, Verdict, judge, unit_of
from loomwright.proof.wake_up import wake_up
from loomwright.proof.wake_up_result import Kind, Measurement
from loomwright.records.event import Event, Role
from loomwright.records.event import Kind as Event_
from loomwright.records.fold import fold
from tests.records.events import event, recorded
from tests.robots import EXAMPLES, example_plan


@lru_cache(maxsize=3)
def rows_of(robot: str) -> tuple[Measurement, ...]:
    """Return the rows of a robot's Wake-up list."""
    return wake_up(example_plan(robot)).all_readings


def row_of(key: str, robot: str = "rockpool") -> Measurement:
    """Return one row of a robot's Wake-up list."""
    return next(row for row in rows_of(robot) if row.key == key)


@pytest.mark.parametrize(
    ("key", "value", "verdict"),
    [
        ("left wheel: plus", 0.3, Verdict.GOOD),
        ("left wheel: plus", 0.0, Verdict.GOOD),  # the leads' own reading was taken off
        ("left wheel: plus", 0.8, Verdict.EXPLAIN),
        ("left wheel: plus", 1.2, Verdict.STOP),
        ("left wheel: plus", None, Verdict.STOP),  # a break reads open
        ("block: empty, plus to minus", None, Verdict.GOOD),
        ("block: empty, plus to minus", 3.0, Verdict.STOP),
        ("block: empty, plus to minus", 5e6, Verdict.EXPLAIN),  # any steady reading that is not open is suspicious
        ("left wheel: plus to minus", 4000.0, Verdict.GOOD),
        ("left wheel: plus to minus", 4.0, Verdict.STOP),
        ("left wheel: plus to minus", 200.0, Verdict.EXPLAIN),
        ("beacon: plus to minus", 750.0, Verdict.KEPT),
        ("chassis: plus", None, Verdict.GOOD),
        ("chassis: plus", 50_000.0, Verdict.EXPLAIN),
        ("chassis: plus", 500.0, Verdict.STOP),
        ("battery: polarity", 12.9, Verdict.GOOD),
        ("battery: polarity", -12.9, Verdict.STOP),
        ("battery: polarity", 12.6, Verdict.EXPLAIN),
        ("battery: polarity", None, Verdict.EXPLAIN),
    ],
)
def test_rows_of_the_trainer_judge_as_a_person_would(key: str, value: float | None, verdict: Verdict) -> None:
    """Readings that a mentor would call good, odd or dangerous; common practice, limits from the rows themselves."""
    told = judge(row_of(key), value)
    assert told.verdict is verdict, told
    assert told.why.endswith(".")
    assert bool(told.then) is (verdict in (Verdict.STOP, Verdict.EXPLAIN) and value is not None) or value is None


@pytest.mark.parametrize("robot", EXAMPLES)
def test_what_a_row_expects_is_never_a_stop(robot: str) -> None:
    """Both bounds of every row of every example are good, so that expectation and stop can't contradict each other."""
    for row in rows_of(robot):
        for bound in (row.expected.low, row.expected.high):
            if bound is not None:
                assert judge(row, bound).verdict is Verdict.GOOD, (row.key, bound)
        if row.expected.kind is Kind.OPEN:
            assert judge(row, None).verdict is Verdict.GOOD, row.key


@given(st.floats(0, 1e7), st.floats(1, 1000))
def test_further_from_a_stop_is_never_worse(reading: float, more: float) -> None:
    """On a row that stops above a limit, a higher reading never reads better; below a limit, a lower one never."""
    ranks = [Verdict.GOOD, Verdict.KEPT, Verdict.EXPLAIN, Verdict.STOP]
    path = row_of("left wheel: plus")
    assert ranks.index(judge(path, reading + more).verdict) >= ranks.index(judge(path, reading).verdict)
    frame = row_of("chassis: plus")
    assert ranks.index(judge(frame, reading + more).verdict) <= ranks.index(judge(frame, reading).verdict)


def verdict(*events: Event, role: Role = Role.STUDENT) -> Verdict:
    """Return what the row of the left wheel's plus tells after some events."""
    return Rows(fold(recorded(*events, role=role)), "", ()).verdict(row_of("left wheel: plus")).verdict


def measured(number: int, value: float, of: tuple[int, ...] = ()) -> Event:
    """Return a reading of that row."""
    return event(number, Event_.MEASURED, about="left wheel: plus", value=value, unit="ohm", of=of)


def test_a_row_counts_by_its_newest_reading_and_by_the_worst_of_several() -> None:
    """Measured again knowing of the first: the newest counts. Two that did not know of each other: the worse."""
    assert verdict() is Verdict.TO_DO
    assert verdict(measured(1, 1.2)) is Verdict.STOP
    assert verdict(measured(1, 1.2), measured(2, 0.3, of=(1,))) is Verdict.GOOD
    assert verdict(measured(1, 1.2), measured(2, 0.3)) is Verdict.STOP


def test_a_mentor_explains_an_odd_reading_but_not_a_stop() -> None:
    """A signature turns "explain" into "explained and signed"; nobody signs a stop away."""
    signed = event(2, Event_.APPROVED, about="left wheel: plus", of=(1,), words="long leads on this meter")
    assert verdict(measured(1, 0.8), signed, role=Role.MENTOR) is Verdict.APPROVED
    assert verdict(measured(1, 0.8), signed, role=Role.STUDENT) is Verdict.EXPLAIN
    assert verdict(measured(1, 1.2), signed, role=Role.MENTOR) is Verdict.STOP


def test_volts_and_ohms_are_told_apart() -> None:
    """Rows of power are read in volts, the rest in ohms, continuity too."""
    assert unit_of(row_of("battery: polarity")) == "V"
    assert unit_of(row_of("beacon: jumper: jumper")) == "ohm"


@pytest.mark.parametrize("robot", EXAMPLES)
def test_less_than_no_resistance_is_voltage_and_stops(robot: str) -> None:
    """A zeroed meter may show a tenth of an ohm under zero; more than that drives it, whatever the row is about."""
    for row in (row for row in rows_of(robot) if unit_of(row) == "ohm"):
        for ohm in (-0.11, -500.0):
            told = judge(row, ohm)
            assert (told.verdict, told.then) == (Verdict.STOP, VOLTAGE_THEN), row.key
        assert judge(row, -0.1).then != VOLTAGE_THEN
