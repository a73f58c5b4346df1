"""The textbook example of cutting paper rolls: its bounds and its proved optimum."""

from __future__ import annotations

from itertools import combinations_with_replacement

import pytest

from loomwright.cutting import Piece, cut
from loomwright.model.stock import CutHabits, Offer, Stock
from loomwright.units import Gauge
from tests.reference.published import rows

# From the same article: the width of a roll, the sum of all widths, the least rolls, and their waste.
ROLL_MM, SUM_MM, LEAST_ROLLS, WASTE = 5600, 407_160, 73, 0.00401
PATTERNS = 308


def test_the_paper_rolls_of_the_textbook_example() -> None:
    """cutting-stock-example: 219 widths of 13 kinds from rolls of 5600 mm need 73 rolls, with 0.401 % waste."""
    red, gauge = ("RD",), Gauge(18)
    widths = [int(row["width_mm"]) for row in rows("cutting_stock_rolls") for _ in range(int(row["count"]))]
    assert sum(widths) == SUM_MM
    pieces = [Piece((f"W{number}",), gauge, red, width / 1000) for number, width in enumerate(widths)]
    roll = Offer(gauge, red, ROLL_MM / 1000)
    plan = cut(pieces, Stock((gauge,), "stock.yaml", (), (roll,), (), CutHabits(trim_m=0, keep_m=ROLL_MM)))
    assert plan.certificate is not None
    assert plan.certificate.proved
    assert (len(plan.cuts), plan.certificate.breaks, plan.certificate.least_breaks) == (LEAST_ROLLS,) * 3
    assert plan.certificate.cost == ROLL_MM * LEAST_ROLLS - SUM_MM
    assert plan.certificate.cost / (ROLL_MM * LEAST_ROLLS) == pytest.approx(WASTE, abs=5e-6)
    assert plan.certificate.baseline_breaks is not None
    assert plan.certificate.baseline_breaks > LEAST_ROLLS


def test_its_patterns_are_as_many_as_the_article_says() -> None:
    """cutting-stock-example: 308 ways to cut one roll, so the widths are copied rightly."""
    kinds = [int(row["width_mm"]) for row in rows("cutting_stock_rolls")]
    ways = [set_ for size in range(1, 5) for set_ in combinations_with_replacement(kinds, size) if sum(set_) <= ROLL_MM]
    assert len(ways) == PATTERNS
