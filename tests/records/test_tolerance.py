"""Tolerance factors, numbers of pulls and limits of rates: printed tables, scipy as a twin, and laws."""

from __future__ import annotations

from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from loomwright.records.tolerance import failure_limit, pulls_needed, tolerance_factor
from loomwright.records.tolerance_numbers import beta_cdf, beta_quantile
from tests.reference.published import half_a_digit, rows

counted = st.integers(1, 300).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


def test_factors_are_those_of_the_printed_table() -> None:
    """montgomery-runger-table-xii: 2 to 100 values, coverage and confidence 90 to 99 %, every printed digit."""
    printed = rows("tolerance_factors")
    assert len(printed) == 288
    for row in printed:
        computed = tolerance_factor(int(row["n"]), float(row["coverage"]), float(row["confidence"]))
        assert computed == pytest.approx(float(row["k"]), abs=half_a_digit(row["k"])), row


@pytest.mark.parametrize(("n", "k"), [(5, 4.203), (10, 2.911), (20, 2.396), (30, 2.220)])
def test_the_factors_that_people_know_by_heart(n: int, k: float) -> None:
    """nist-handbook-7.2.6.3: 95 % with 95 % confidence is what is asked for when nothing else is said."""
    assert round(tolerance_factor(n), 3) == k


@pytest.mark.parametrize("n", [2, 3, 4, 5, 7, 10, 15, 20, 33, 50, 100, 150, 200])
@pytest.mark.parametrize("coverage", [0.5, 0.9, 0.95, 0.999])
def test_factors_are_those_of_the_noncentral_t_of_scipy(n: int, coverage: float) -> None:
    """A library's noncentral t, worked out in another way, says the same to 1e-9 of the value."""
    for confidence in (0.75, 0.9, 0.95, 0.99, 0.999):
        twin = stats.nct.ppf(confidence, n - 1, stats.norm.ppf(coverage) * n**0.5) / n**0.5
        assert tolerance_factor(n, coverage, confidence) == pytest.approx(twin, rel=1e-9), confidence


@given(st.integers(2, 60), st.floats(0.5, 0.999), st.floats(0.5, 0.999))
def test_more_is_asked_for_more(n: int, coverage: float, confidence: float) -> None:
    """A factor grows with what it has to cover and with how sure it has to be; from 2 values on one more lowers it."""
    factor = tolerance_factor(n, coverage, confidence)
    assert tolerance_factor(n, coverage + 5e-4, confidence) > factor
    assert tolerance_factor(n, coverage, confidence + 5e-4) > factor
    if coverage >= 0.75 and confidence >= 0.75:
        assert tolerance_factor(n + 1, coverage, confidence) < factor


def test_what_has_no_factor_is_refused() -> None:
    """One value has no spread; a share is told with what may stand there."""
    with pytest.raises(ValueError, match=r"^1 values have no spread; a tolerance factor needs 2 or more$"):
        tolerance_factor(1)
    for wrong in (0.49, 1.0, 95.0):
        with pytest.raises(ValueError, match=f"^the coverage is {wrong:g}; give a share from 0.5"):
            tolerance_factor(5, wrong)
        with pytest.raises(ValueError, match=f"^the confidence is {wrong:g}; give a share from 0.5"):
            tolerance_factor(5, 0.95, wrong)


def test_pulls_without_and_with_failures_are_those_of_printed_plans() -> None:
    """binomial-plans: 59 pulls without a failure for 95 % with 95 % confidence, 93 with one, and so on."""
    assert pulls_needed() == 59
    for row in rows("binomial_plans"):
        assert pulls_needed(int(row["failures"]), float(row["coverage"])) == int(row["pulls"]), row


@given(st.integers(0, 12), st.sampled_from([0.5, 0.8, 0.9, 0.95, 0.99]), st.sampled_from([0.5, 0.9, 0.95, 0.975]))
def test_the_number_of_pulls_is_the_least_that_does(failures: int, coverage: float, confidence: float) -> None:
    """The binomial sum, added up term by term, allows that number and not one fewer."""
    n = pulls_needed(failures, coverage, confidence)

    def as_few(pulls: int) -> float:
        return sum(comb(pulls, i) * (1 - coverage) ** i * coverage ** (pulls - i) for i in range(failures + 1))

    assert as_few(n) <= (1 - confidence) * (1 + 1e-9)
    assert n == failures + 1 or as_few(n - 1) > 1 - confidence


def test_the_number_of_pulls_grows_with_each_failure() -> None:
    """A set that has to hold more failures needs more pulls: no failure is free."""
    needed = [pulls_needed(failures) for failures in range(8)]
    assert needed == sorted(set(needed))


def test_a_chance_that_a_computer_can_not_write_exactly_costs_no_pull() -> None:
    """One pull without a failure shows 10 % with 90 % confidence, although 1 - 0.9 is a little under 0.1 here."""
    assert pulls_needed(0, 0.1, 0.9) == 1


@given(counted, st.sampled_from([0.5, 0.9, 0.95, 0.975, 0.99]))
def test_limits_are_those_of_scipy(case: tuple[int, int], confidence: float) -> None:
    """The exact limit against scipy's beta distribution."""
    failures, n = case
    if failures < n:
        exact = stats.beta.ppf(confidence, failures + 1, n - failures)
        assert failure_limit(failures, n, confidence) == pytest.approx(exact, rel=1e-9)


@pytest.mark.parametrize(
    ("failures", "n", "exact"), [(81, 263, 0.3676), (15, 148, 0.1617), (0, 20, 0.1684), (1, 29, 0.1776)]
)
def test_limits_as_printed(failures: int, n: int, exact: float) -> None:
    """Newcombe (1998), table I, method 5, from memory: upper ends of two-sided 95 %, so one-sided 97.5 %."""
    assert failure_limit(failures, n, 0.975) == pytest.approx(exact, abs=5e-5)


def test_nothing_pulled_or_all_failed_leaves_everything_possible() -> None:
    """Without a pull, and where every pull failed, up to all crimps may fail."""
    assert failure_limit(0, 0) == 1
    assert failure_limit(4, 4) == 1


@given(counted, st.sampled_from([0.5, 0.9, 0.95, 0.99]))
def test_one_more_failure_never_lowers_a_limit(case: tuple[int, int], confidence: float) -> None:
    """Neither as one more pull that failed nor as a pull that was thought to hold; one that held never raises it."""
    failures, n = case
    now = failure_limit(failures, n, confidence)
    assert failure_limit(failures + 1, n + 1, confidence) >= now
    assert failure_limit(min(failures + 1, n), n, confidence) >= now
    assert failure_limit(failures, n + 1, confidence) <= now
    assert failures / n <= now + 1e-12


@given(st.floats(0.05, 400), st.floats(0.05, 400), st.floats(1e-4, 1 - 1e-4))
def test_the_beta_distribution_is_that_of_scipy(a: float, b: float, chance: float) -> None:
    """Chance and quantile, for long tails too, to 1e-9; and the quantile undoes the chance."""
    x = beta_quantile(chance, a, b)
    assert x == pytest.approx(stats.beta.ppf(chance, a, b), rel=1e-9, abs=1e-300)
    assert beta_cdf(x, a, b) == pytest.approx(stats.beta.cdf(x, a, b), rel=1e-9)


def test_outside_0_and_1_a_share_is_not() -> None:
    """The chance is 0 up to 0 and 1 from 1 on."""
    assert [beta_cdf(x, 2, 3) for x in (-1.0, 0.0, 1.0, 2.0)] == [0, 0, 1, 1]
