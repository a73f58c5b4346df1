"""One match of a study again, as a trace to look at."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from loomwright.match.engine import layout as at
from loomwright.match.engine.study import play_one
from loomwright.match.trace import Done, Trace

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from loomwright.match.engine.hot import Floats
    from loomwright.match.engine.study import Study


def course_of(study: Study, number: int) -> Trace:
    """Play match `number` of a study once more and return its course: the same match to the last bit."""
    samples, outcome, arrays = play_one(study, number)
    machine, time_s = study.machine, samples[at.T_TIME]
    names = [machine.mechanisms[motor.mechanism].name for motor in machine.motors]
    names += [load.name for load in machine.loads]
    rows: dict[str, Floats] = {}
    for name, row in zip(names, samples[at.T_ROWS :], strict=True):
        rows[name] = rows[name] + row if name in rows else row
    driver = study.drivers[int(outcome.drawn[0, at.D_DRIVER])]
    breakers = [motor.name for motor in machine.motors] + [load.name for load in machine.loads] + ["main breaker"]
    told = outcome.branches[0]
    dips = dict.fromkeys(rows, 0.0)
    for name, current in zip(names, told[:, at.R_DIP].tolist(), strict=False):  # the main leads come last, unnamed
        dips[name] += current
    opened = [(name, float(told[b, at.R_OPENED_AT])) for b, name in enumerate(breakers) if told[b, at.R_OPENED] > 0]
    return Trace(
        number=number,
        driver=driver.name,
        battery=machine.battery.state or machine.battery.label,
        rest_v=_rest_v(machine.battery.rest, float(outcome.drawn[0, at.D_CHARGE])),
        time_s=tuple(time_s.tolist()),
        bus_v=tuple(samples[at.T_BUS].tolist()),
        low_v=tuple(samples[at.T_LOW].tolist()),
        total_a=tuple(samples[at.T_TOTAL].tolist()),
        mechanisms=tuple(rows),
        mechanism_a=tuple(tuple(row.tolist()) for row in rows.values()),
        steps=tuple(_steps(samples[at.T_STEP], time_s, arrays.step_names)),
        off=tuple(_spans(samples[at.T_ON] == 1.0, time_s)),
        restarts=tuple(_spans(samples[at.T_ON] == 2.0, time_s)),  # noqa: PLR2004  starting
        opened=tuple(sorted(opened, key=lambda pair: pair[1])),
        off_below_v=machine.thresholds.off_v,
        on_above_v=machine.thresholds.on_v,
        dip_a=tuple(dips.values()),
        phases=tuple((phase.name, phase.start_s, phase.end_s) for phase in driver.phases),
    )


def _rest_v(curve: tuple[tuple[float, float], ...], charge: float) -> float:
    return float(np.interp(charge, [at for at, _ in curve], [volts for _, volts in curve]))


def _steps(numbers: Floats, time_s: Floats, names: tuple[str, ...]) -> Iterator[Done]:
    """Give each step where it begins; a step that is begun again right away is not told twice."""
    before = -1.0
    for number, at_s in zip(numbers.tolist(), time_s.tolist(), strict=True):
        if number != before and number >= 0:
            yield Done(names[int(number)], at_s)
        before = number


def _spans(held: NDArray[np.bool_], time_s: Floats) -> Iterator[tuple[float, float]]:
    """Give the spans in which something holds."""
    start: float | None = None
    step = float(time_s[1] - time_s[0])
    for is_on, at_s in zip(held.tolist(), time_s.tolist(), strict=True):
        if is_on and start is None:
            start = at_s
        elif not is_on and start is not None:
            yield start, at_s
            start = None
    if start is not None:
        yield start, float(time_s[-1]) + step
