"""The search against the slow twin that tries every way, and against the plain answer."""

from __future__ import annotations

import os

from hypothesis import given, settings

from loomwright.cutting import cut
from loomwright.model.stock import Stock
from loomwright.search import Effort
from tests.cutting.workbench import best_by_trying, reached, red, small_questions

EXAMPLES = int(os.environ.get("FUZZ_EXAMPLES", "40"))


@settings(max_examples=EXAMPLES, deadline=None)
@given(small_questions())
def test_a_small_question_is_answered_as_well_as_by_trying_every_way(question: tuple[tuple[int, ...], Stock]) -> None:
    """Fewest missing, then fewest new spools, then least price, then least scrap; and the proof says so."""
    lengths, store = question
    pieces = red(*lengths)
    plan = cut(pieces, store)
    assert reached(plan, pieces, store) == best_by_trying(lengths, store)
    assert plan.certificate is not None
    assert plan.certificate.proved


@settings(max_examples=EXAMPLES, deadline=None)
@given(small_questions(most=12))
def test_never_worse_than_first_fit(question: tuple[tuple[int, ...], Stock]) -> None:
    """The plain answer is where the search starts, and its own bounds are true."""
    lengths, store = question
    pieces = red(*lengths)
    plain, found = cut(pieces, store, effort=Effort.FIRST), cut(pieces, store)
    assert reached(found, pieces, store) <= reached(plain, pieces, store)
    assert plain.certificate is not None
    assert found.certificate is not None
    assert plain.certificate.least_breaks <= found.certificate.breaks
    assert (found.certificate.baseline, found.certificate.baseline_breaks) == (
        plain.certificate.cost,
        plain.certificate.breaks,
    )
