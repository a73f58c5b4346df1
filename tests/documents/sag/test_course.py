"""Fewer points, the same picture: highest and lowest of every column stay, whatever the samples are."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.documents.sag.axes import Axis, Plot
from loomwright.documents.sag.course import COLUMN_MM, columns, extremes, spread, thinned
from loomwright.documents.sag.volts import voltage_line, voltage_shade
from loomwright.documents.scene import Box
from tests.documents.sag import sag_samples

VALUES = st.lists(st.floats(-50, 50), min_size=2, max_size=120)
PLOT = Plot(Box(20, 10, 220, 60), Axis(0.0, 150.0), Axis(2.0, 14.0))


@given(VALUES, st.integers(1, 40))
def test_every_column_keeps_its_highest_and_its_lowest(values: list[float], count: int) -> None:
    """Against numpy, which parts the samples on its own."""
    times = [float(i) for i in range(len(values))]
    parts = columns(times, begin=0.0, end=float(len(values)), count=count)
    assert [i for part in parts for i in part] == list(range(len(values)))
    kept = extremes(parts, values)
    assert list(kept) == sorted(set(kept))
    assert len(kept) <= 2 * count
    place = np.minimum(count - 1, np.floor(np.arange(len(values)) / len(values) * count))
    for column in np.unique(place):
        there = [values[i] for i in range(len(values)) if place[i] == column]
        seen = [values[i] for i in kept if place[i] == column]
        assert (min(seen), max(seen)) == (min(there), max(there))


@given(st.lists(st.tuples(st.integers(0, 4), st.integers(0, 4)), min_size=1, max_size=30))
def test_points_that_go_change_nothing_of_the_line(points: list[tuple[int, int]]) -> None:
    """Every point of the line before lies on the line after it, and no place is added."""
    kept = thinned([(float(x), float(y)) for x, y in points])
    assert set(kept) <= {(float(x), float(y)) for x, y in points}
    assert (kept[0], kept[-1]) == (points[0], points[-1])
    pieces = list(pairwise(kept)) or [(kept[0], kept[0])]
    for x, y in points:
        assert any(_on(float(x), float(y), a, b) for a, b in pieces)


def _on(x: float, y: float, a: tuple[float, float], b: tuple[float, float]) -> bool:
    cross = (b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0])
    inside = min(a[0], b[0]) <= x <= max(a[0], b[0]) and min(a[1], b[1]) <= y <= max(a[1], b[1])
    return cross == 0 and inside


def test_a_level_run_is_two_points() -> None:
    assert thinned([(float(i), 3.0) for i in range(9)]) == ((0.0, 3.0), (8.0, 3.0))
    assert len(thinned([(0, 1), (1, 1), (2, 1), (3, 9), (4, 1), (5, 1)])) == 5


@given(st.lists(st.floats(0, 60), max_size=8).map(sorted))
def test_labels_that_are_spread_keep_their_order_and_their_distance(wanted: list[float]) -> None:
    found = spread(wanted, tall=7.0, low=0.0, high=60.0)
    assert all(b - a >= 7.0 - 1e-9 for a, b in pairwise(found))
    assert all(3.5 - 1e-9 <= middle <= 56.5 + 1e-9 for middle in found)
    calm = spread([10.0, 30.0], tall=7.0, low=0.0, high=60.0)
    assert calm == (10.0, 30.0)


def test_labels_without_room_are_set_closer() -> None:
    assert spread([1.0, 1.0, 1.0], tall=7.0, low=0.0, high=12.0) == (2.0, 6.0, 10.0)


def test_the_drawn_voltage_has_the_lowest_and_the_highest_of_the_match_at_their_times() -> None:
    trace = sag_samples.worst()
    shade, line = voltage_shade(trace, PLOT), voltage_line(trace, PLOT)
    time, volt = trace.lowest
    deepest = max(shade, key=lambda point: point[1])
    assert deepest == pytest.approx((PLOT.x(time), PLOT.y(volt)), abs=0.011)
    assert min(y for _, y in line) == pytest.approx(PLOT.y(max(trace.bus_v)), abs=0.011)
    assert max(y for _, y in line) == pytest.approx(PLOT.y(min(trace.bus_v)), abs=0.011)
    assert len(line) <= 2 * PLOT.box.width / COLUMN_MM < len(trace.time_s) / 8
