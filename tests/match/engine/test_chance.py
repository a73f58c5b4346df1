"""Numbers that look random, against a twin in whole numbers, published values, and what evenness asks."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chi2

from loomwright.match.engine.chance import share
from loomwright.match.engine.hot import Floats
from loomwright.match.engine.shares import shares
from tests.match.engine import plain_driver

#: What splitmix64 gives one after the other from 1234567 (its published test values).
PUBLISHED = (6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821)


def test_the_mixing_is_the_published_one() -> None:
    """The twin's mixing gives splitmix64's numbers."""
    golden, state, found = 0x9E3779B97F4A7C15, 1234567, []
    for _ in PUBLISHED:
        state = (state + golden) % 2**64
        found.append(plain_driver.mixed(state))
    assert tuple(found) == PUBLISHED


@given(st.integers(0, 2**62), st.integers(0, 2**40), st.integers(0, 2**40), st.integers(0, 10**6))
def test_a_share_is_the_twins(seed: int, match: int, use: int, number: int) -> None:
    """For any key, to the last bit, and from 0 to below 1."""
    found = share(seed, match, use, number)
    assert found == plain_driver.share(seed, match, use, number)
    assert 0 <= found < 1


@given(st.integers(0, 2**64 - 1), st.integers(0, 2**40), st.integers(0, 2**40))
def test_a_table_of_shares_is_each_of_them(seed: int, first: int, use: int) -> None:
    """Row and column of the table are match and number, to the last bit; numbers that overflow do so in silence."""
    table = shares(seed, first, 3, use, 5)
    assert table.tolist() == [[plain_driver.share(seed, first + i, use, n) for n in range(5)] for i in range(3)]


def _unlikely(counts: Floats) -> bool:
    """Tell whether counts that should be even are so uneven, or so even, as one in 10,000."""
    expected = counts.sum() / counts.size
    found = float(((counts - expected) ** 2 / expected).sum())
    return not chi2.ppf(5e-5, counts.size - 1) < found < chi2.ppf(1 - 5e-5, counts.size - 1)


def test_shares_are_even() -> None:
    """Along matches, numbers, uses and seeds, and any two that stand beside each other (chi-square, seed fixed)."""
    along = {
        "matches": shares(1, 0, 20000, 1, 1)[:, 0],
        "numbers": shares(1, 0, 1, 1, 20000)[0],
        "uses": np.array([share(1, 0, 1000 + 256 * i, 0) for i in range(20000)]),
        "seeds": np.array([share(i, 0, 1, 0) for i in range(20000)]),
    }
    for name, drawn in along.items():
        assert not _unlikely(np.histogram(drawn, 100, (0, 1))[0]), name
        pairs = np.histogram2d(drawn[:-1:2], drawn[1::2], 10, ((0, 1), (0, 1)))[0]
        assert not _unlikely(pairs.ravel()), name


def test_no_number_comes_twice() -> None:
    """Neighbouring keys of 40,000 have 40,000 shares: no part of a key is lost."""
    found = {share(a, b, c, d) for a in range(20) for b in range(20) for c in range(10) for d in range(10)}
    assert len(found) == 40000
