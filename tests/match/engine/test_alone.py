"""A match that is played alone is bitwise the one among others: with any number of motors, limits and switching."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np
import pytest

from loomwright.match.engine import layout as at
from loomwright.match.engine.alone import MOST_MOTORS
from loomwright.match.machine import Machine
from tests.match.engine.machines import TOUCHY, busy_driver, contacts, motor, one_motor, push, whole_machine
from tests.match.engine.plain import Given
from tests.match.engine.played import kernel_plays


def of_motors(count: int) -> Machine:
    """Return one wheel with many small motors: every third without limits, the others with a low one of one kind."""
    low = ({"supply_limit_a": inf, "motor_limit_a": inf}, {"supply_limit_a": 3.0}, {"motor_limit_a": 9.0})
    motors = tuple(motor(0, f"motor {i}", winding_ohm=1.0, **low[i % 3]) for i in range(count))
    return replace(one_motor(motors=count, inertia=0.02), motors=motors)


@pytest.mark.parametrize("count", [1, 7, 8, 9, MOST_MOTORS, MOST_MOTORS + 1])
def test_any_number_of_motors(count: int) -> None:
    """As many as fill the widest registers, one more, one less, all that there is room for, and one too many."""
    machine = of_motors(count)
    givens = [Given(contacts(machine, 0.004 * (i + 1)), match=i) for i in range(3)]
    together = kernel_plays(machine, push(1.0, 0.6), givens)
    assert together.branches[0, 0, at.R_PEAK] > 2
    for i, given in enumerate(givens):
        alone = kernel_plays(machine, push(1.0, 0.6), [given], lanes=1)
        for one in ("matches", "branches", "ways"):
            assert np.array_equal(getattr(alone, one)[0], getattr(together, one)[i]), one


@pytest.mark.parametrize("machine", [whole_machine(), TOUCHY])
def test_a_match_with_everything(machine: Machine) -> None:
    """Outputs that go off and on, limits of both sides, breakers, a pump."""
    driver = busy_driver(8.0)
    givens = [Given(contacts(machine, 0.002 * i), 1 + i / 8, 1 - i / 16, match=i) for i in range(6)]
    together = kernel_plays(machine, driver, givens)
    assert machine is not TOUCHY or together.matches[:, at.O_OFF].max() > 0
    for i, given in enumerate(givens):
        alone = kernel_plays(machine, driver, [given], lanes=1)
        for one in ("matches", "branches", "ways"):
            assert np.array_equal(getattr(alone, one)[0], getattr(together, one)[i]), one
