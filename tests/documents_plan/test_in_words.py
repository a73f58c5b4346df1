"""How good an answer is, in words: never better than it is."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.search import Certificate, in_words


def proof(cost: float, bound: float, *, breaks: float = 0, least: float = 0, unit: str = "mm") -> Certificate:
    """Make a proof."""
    return Certificate(cost=cost, bound=bound, unit=unit, breaks=breaks, least_breaks=least)


@pytest.mark.parametrize(
    ("held", "of", "words"),
    [
        (proof(100, 100), "", "proved the best possible"),
        (proof(0, 0), "scrap", "proved the best possible"),
        (proof(100, 100, breaks=2, least=2), "", "proved the best possible"),
        (proof(1000, 996), "", "within 0.4 % of the best possible"),
        (proof(1000, 995.9), "", "within 0.5 % of the best possible"),
        (proof(100_000, 99_999), "", "within 0.1 % of the best possible"),
        (proof(100, 62.5), "", "within 37.5 % of the best possible"),
        (proof(100, 88), "", "within 12 % of the best possible"),
        (proof(36, 30), "scrap", "at most 6 mm of scrap above the best possible"),
        (proof(35.2, 30), "scrap", "at most 6 mm of scrap above the best possible"),
        (proof(12, 0, unit="g of copper"), "", "at most 12 g of copper above the best possible"),
        (proof(12, float("-inf")), "", "not proved"),
        (proof(100, 100, breaks=2, least=1), "", "not proved: another answer may break fewer wishes"),
    ],
)
def test_a_proof_is_told_in_words(held: Certificate, of: str, words: str) -> None:
    assert in_words(held, of=of) == words


def test_what_another_answer_may_do_better_can_be_said() -> None:
    held = proof(1, 1, breaks=2, least=1)
    assert in_words(held, breaks="need fewer new spools") == "not proved: another answer may need fewer new spools"


@given(st.floats(0.01, 1e6), st.floats(0, 1))
def test_no_gap_is_told_smaller_than_it_is(cost: float, share: float) -> None:
    held = proof(cost, cost * share)
    words = in_words(held)
    found = re.fullmatch(r"within ([\d.]+) % of the best possible", words)
    if found:
        assert float(found[1]) / 100 >= held.gap - 1e-8
        assert float(found[1]) / 100 <= held.gap + 0.001
    else:
        assert words == "proved the best possible" or words.startswith("at most ")
