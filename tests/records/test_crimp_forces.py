"""What forces of sample pulls look like: one far from the others, two kinds of crimps; told, never left out."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from loomwright.records.crimp_forces import anderson_darling, grubbs_limit, looks_normal, lower_limit_n, outlier_n
from loomwright.records.crimps import SampleSet, judge
from tests.reference.published import rows


def test_a_far_force_is_told_and_stays() -> None:
    """nist-handbook-1.3.5.17.1: of eight readings the 245.57 lies 2.46876 deviations off, 2.032 being the limit."""
    readings = (199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57)
    far = (245.57 - np.mean(readings)) / np.std(readings, ddof=1)
    assert far == pytest.approx(2.46876, abs=5e-6)
    assert grubbs_limit(8, 0.1) == pytest.approx(2.032, abs=5e-4)
    assert outlier_n(readings) == 245.57
    verdict = judge((SampleSet(planned=8, forces_n=readings, required_n=10),))[0]
    assert verdict.odd == (
        "One force, 245.57 N, lies far from the others (Grubbs' test at 1 %). Look why; it stays in.",
    )
    assert verdict.limit_n == lower_limit_n(readings)
    assert outlier_n(readings[:-1]) is None
    assert outlier_n([-reading for reading in readings]) == -245.57


def test_the_limits_of_grubbs_are_those_of_the_printed_table() -> None:
    """grubbs-1969-two-sided: 3 to 600 values, at 5 and 1 %, to the last digit printed."""
    for row in rows("grubbs_limits"):
        assert grubbs_limit(int(row["n"]), float(row["false_alarm"])) == pytest.approx(float(row["limit"]), abs=1e-4)


def test_two_values_or_equal_ones_have_no_outlier_and_no_shape() -> None:
    """There is nothing to lie far from, and nothing to see."""
    assert outlier_n((1, 1000)) is None
    assert outlier_n((7,) * 12) is None
    assert looks_normal((7,) * 12) is None
    assert looks_normal(tuple(range(9))) is None
    assert looks_normal(tuple(range(10))) is True


def test_two_kinds_of_crimps_are_told() -> None:
    """Five about 60 N and five about 120 N are not one kind; the verdict says that its assumption does not hold."""
    two = (60, 61, 62, 59, 60, 120, 121, 119, 122, 118)
    verdict = judge((SampleSet(planned=10, forces_n=two, required_n=10),))[0]
    assert verdict.odd == (
        "The forces are not spread as one kind of crimp gives them. Look whether two kinds are among them.",
    )
    assert verdict.rests_on[0] == (
        "the forces having a normal distribution, which these 10 forces contradict (Anderson-Darling test at 1 %)"
    )
    one = judge((SampleSet(planned=10, forces_n=(110, 112, 115, 117, 119, 120, 122, 124, 127, 131), required_n=10),))[0]
    assert one.odd == ()
    assert one.rests_on[0].endswith("which 10 forces do not contradict (Anderson-Darling test at 1 %)")


def test_normal_forces_seldom_look_odd() -> None:
    """stephens-1986: of normal samples of 10 one in a hundred is called not normal, and one in a hundred an outlier."""
    drawn = np.random.default_rng(11).normal(100, 8, (6000, 10)).tolist()
    assert np.mean([not looks_normal(row) for row in drawn]) == pytest.approx(0.01, abs=0.005)
    assert np.mean([outlier_n(row) is not None for row in drawn]) == pytest.approx(0.01, abs=0.005)


@given(st.lists(st.floats(1, 500), min_size=10, max_size=40, unique=True).filter(lambda held: np.std(held) > 1))
def test_the_statistic_is_that_of_scipy(held: list[float]) -> None:
    """Anderson and Darling's, against the normal distribution fitted to the values."""
    z = np.sort((np.array(held) - np.mean(held)) / np.std(held, ddof=1))
    i = np.arange(1, len(z) + 1)
    twin = -len(z) - np.mean((2 * i - 1) * (stats.norm.logcdf(z) + stats.norm.logsf(z[::-1])))
    assert anderson_darling(held) == pytest.approx(twin, rel=1e-9, abs=1e-9)
