"""The parts that proofs rest on, each against a slow twin of its own."""

from __future__ import annotations

import os
from collections.abc import Iterable
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.cutting import cut
from loomwright.cutting.batch import Batch, Need, Pattern, Source
from loomwright.cutting.engine import solve
from loomwright.cutting.engine.listing import worthwhile
from loomwright.cutting.engine.pricing import UNIT, Prices, cheapest
from loomwright.cutting.engine.stage import FRESH, MISSING, Stage, features
from loomwright.model.stock import Stock
from tests.cutting.workbench import best_by_trying, offer, reached, red, small_questions, stock

EXAMPLES = int(os.environ.get("FUZZ_EXAMPLES", "40"))
_ALL = 1 << 60


@st.composite
def priced_batches(draw: st.DrawFn) -> tuple[Batch, Prices]:
    """Draw a small batch and any prices of the right sign."""
    lengths = draw(st.lists(st.integers(1, 30), min_size=1, max_size=4, unique=True))
    needs = tuple(Need(length, ("RD",), draw(st.integers(1, 3))) for length in sorted(lengths, reverse=True))
    some = st.lists(st.sampled_from(range(len(needs))), min_size=1, unique=True).map(lambda told: tuple(sorted(told)))
    sources = tuple(
        Source(
            draw(st.integers(5, 80)),
            draw(st.sampled_from([0, 0, 2])),
            count := draw(st.sampled_from([None, 1, 2])),
            draw(some),
            offcut=draw(st.booleans()),
            cents=draw(st.integers(0, 9)) if count is None else 0,
        )
        for _ in range(draw(st.integers(1, 3)))
    )
    price = st.integers(0, 20)
    prices = Prices(
        tuple(UNIT * draw(st.integers(0, 40)) for _ in needs),
        (
            0,
            UNIT * draw(price),
            UNIT * draw(price),
            UNIT * draw(st.integers(0, 3)),
            UNIT * draw(st.sampled_from([0, 1])),
            0,
        ),
        UNIT * draw(price),
        tuple(0 for _ in sources),
    )
    return Batch(needs, sources, draw(st.sampled_from([0, 1])), draw(st.integers(1, 25))), prices


def _every_pattern(batch: Batch, source: int) -> list[Pattern]:
    """List everything that one spool can be cut into."""
    counts = product(*(range(need.count + 1) for need in batch.needs))
    return [(source, told) for told in counts if any(told) and batch.fits((source, told))]


def _reduced(batch: Batch, prices: Prices, pattern: Pattern) -> int:
    """Work out a reduced cost from its definition."""
    told = features(batch, pattern)
    worth = sum(count * price for count, price in zip(pattern[1], prices.needs, strict=True))
    start = prices.started if batch.sources[pattern[0]].trim_mm else 0
    return sum(amount * price for amount, price in zip(told, prices.features, strict=True)) - start - worth


@settings(max_examples=2 * EXAMPLES, deadline=None)
@given(priced_batches())
def test_pricing_finds_the_cheapest_pattern_of_each_source(question: tuple[Batch, Prices]) -> None:
    """Against a list of all patterns; the pattern told has the cost told."""
    batch, prices = question
    priced = cheapest(batch, prices)
    for source, (pattern, reduced) in enumerate(zip(priced.patterns, priced.reduced, strict=True)):
        every = _every_pattern(batch, source)
        if every:
            assert reduced == min(_reduced(batch, prices, one) for one in every)
            assert batch.fits(pattern)
            assert _reduced(batch, prices, pattern) == reduced


@settings(max_examples=2 * EXAMPLES, deadline=None)
@given(priced_batches(), st.integers(0, 60))
def test_listing_leaves_out_nothing_that_could_help(question: tuple[Batch, Prices], slack: int) -> None:
    """All patterns within the slack, but those to whose scrap another piece could be added."""
    batch, prices = question
    reduced = cheapest(batch, prices).reduced
    listed = worthwhile(batch, prices, reduced, slack=slack * UNIT, most=_ALL)
    assert listed is not None
    expected = {
        one
        for source in range(len(batch.sources))
        for one in _every_pattern(batch, source)
        if _reduced(batch, prices, one) <= slack * UNIT + min(0, reduced[source])
        and not (prices.features[FRESH] == 0 and _could_hold_more(batch, one))
    }
    assert set(listed) == expected
    assert len(listed) == len(set(listed))


def _could_hold_more(batch: Batch, pattern: Pattern) -> bool:
    rest = batch.sources[pattern[0]].room_mm - batch.taken_mm(pattern)
    return rest < batch.keep_mm and any(
        batch.weight_mm(need) <= rest and pattern[1][need] < batch.needs[need].count
        for need in batch.sources[pattern[0]].takes
    )


def test_a_list_that_grows_too_long_is_given_up() -> None:
    """Half a list would prove nothing."""
    batch = Batch(
        tuple(Need(length, ("RD",), 2) for length in range(40, 20, -1)),
        (Source(400, 0, None, tuple(range(20))),),
        0,
        10,
    )
    prices = Prices((0,) * 20, (0, UNIT, 0, 0, 0, 0), 0, (0,))
    assert worthwhile(batch, prices, (0,), slack=UNIT, most=100) is None


@settings(max_examples=EXAMPLES, deadline=None)
@given(small_questions())
def test_the_list_alone_finds_the_best_answer(question: tuple[tuple[int, ...], Stock]) -> None:
    """Without dives and without the pool, what the search claims as proved is still the best there is."""
    lengths, store = question
    pieces = red(*lengths)
    whole = solve.Search._whole

    def only_listed(
        self: solve.Search, stage: Stage, patterns: Iterable[Pattern], nodes: int
    ) -> tuple[tuple[Pattern, ...], bool]:
        return ((), False) if patterns is self.pool else whole(self, stage, patterns, nodes)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(solve, "dive", lambda *_, **__: ())
        patch.setattr(solve.Search, "_whole", only_listed)
        plan = cut(pieces, store)
    assert plan.certificate is not None
    best = best_by_trying(lengths, store)
    if plan.certificate.proved:
        assert reached(plan, pieces, store) == best
    assert (plan.certificate.least_breaks, plan.certificate.bound) <= (best[MISSING] + best[1], best[3])


def test_a_look_that_was_broken_off_proves_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the integer program runs out of nodes, the bound stays where the linear one left it."""
    pieces, store = red(500, 400, 300, 300, 300, 200), stock(offers=[offer(1000)])
    monkeypatch.setattr(solve, "dive", lambda *_, **__: ())
    monkeypatch.setattr(solve.Search, "_whole", lambda *_: ((), False))
    proof = cut(pieces, store).certificate
    assert proof is not None
    assert (proof.breaks, proof.least_breaks, proof.status) == (3, 2, "gap")
