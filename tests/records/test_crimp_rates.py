"""Rates of fitted ends, by tool or by person: drawn towards the team, more failures never better."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from loomwright.records.crimp_rates import Ends, rates


def test_a_person_with_few_ends_is_drawn_towards_the_team() -> None:
    """0 failures of 3: at most 31 % of a person's ends fail, where Wilson's two-sided interval says 56 %."""
    (rate,) = rates([Ends("AB", 3, 0)])
    assert (rate.name, rate.n, rate.failures) == ("AB", 3, 0)
    assert rate.upper == pytest.approx(1 - 0.025 ** (1 / 10))
    assert round(rate.upper, 2) == 0.31
    assert round(stats.binomtest(0, 3).proportion_ci(0.95, method="wilson").high, 2) == 0.56
    assert rate.estimate == pytest.approx(1 / 11)
    assert rate.what == (
        "AB: 0 of 3 ends failed. Between 0 % and 31 % may fail (95 % sure), mostly what the team's ends say."
    )


def test_a_rate_is_the_posterior_after_the_ends_of_all_others() -> None:
    """Beta(8 * 3/48, 8 * 45/48) before, where the others have 2 of 40; one's own ends count once."""
    rate = rates([Ends("AB", 20, 2), Ends("CD", 30, 2), Ends("EF", 10, 0)])[0]
    after = stats.beta(0.5 + 2, 7.5 + 18)
    assert rate.estimate == pytest.approx(after.mean())
    assert (rate.lower, rate.upper) == pytest.approx((after.ppf(0.025), after.ppf(0.975)))
    assert rate.what.endswith("drawn a little towards the team's ends.")


def test_without_an_end_a_name_has_the_rate_of_the_others() -> None:
    """And it says that it has none; a tool is a name as a person is."""
    rate = rates([Ends("red crimper", 0, 0), Ends("blue crimper", 32, 4)])[0]
    assert rate.estimate == pytest.approx(5 / 40)
    assert rate.what.startswith("red crimper: no end was judged yet. Between ")
    assert rates([]) == ()
    with pytest.raises(ValueError, match=r"^AB: 4 failures of 3 ends can't be; count them again$"):
        Ends("AB", 3, 4)


ends = st.integers(0, 60).flatmap(lambda n: st.builds(Ends, st.just("x"), st.just(n), st.integers(0, n)))


@given(ends, ends)
def test_one_more_failure_never_lowers_a_rate(one: Ends, other: Ends) -> None:
    """Neither one's own nor another's; and one's own end that held never raises it."""
    now = rates([one, other])[0]
    worse = [
        rates([Ends("x", one.n + 1, one.failures + 1), other])[0],
        rates([one, Ends("x", other.n + 1, other.failures + 1)])[0],
    ]
    better = rates([Ends("x", one.n + 1, one.failures), other])[0]
    assert now.lower <= now.upper
    for rate in worse:
        assert (rate.lower >= now.lower, rate.upper >= now.upper, rate.estimate >= now.estimate) == (True,) * 3
    assert (better.lower <= now.lower, better.upper <= now.upper) == (True, True)


def test_many_ends_speak_for_themselves() -> None:
    """With 2000 ends of one's own the team hardly counts, and the range is that of Jeffreys."""
    rate = rates([Ends("AB", 2000, 100), Ends("CD", 100, 50)])[0]
    assert rate.upper == pytest.approx(stats.beta.ppf(0.975, 100.5, 1900.5), rel=0.05)
