"""The thickness of wires and bundles."""

from __future__ import annotations

import math

import pytest

from loomwright.catalogue.wire_diameter import bundle_diameter_mm, bundle_over_wire, outside_diameter_mm
from loomwright.units.gauge import Gauge
from tests.reference.published import rows

# Best packings known of n equal circles in a circle, where they have a closed form.
EXACT = {
    1: 1.0,
    2: 2.0,
    3: 1 + 2 / math.sqrt(3),
    4: 1 + math.sqrt(2),
    5: 1 + math.sqrt(2 * (1 + 1 / math.sqrt(5))),
    6: 3.0,
    7: 3.0,
    8: 1 + 1 / math.sin(math.pi / 7),
    9: 1 + math.sqrt(2 * (2 + math.sqrt(2))),
    11: 1 + 1 / math.sin(math.pi / 9),
    13: 2 + math.sqrt(5),
    18: 1 + math.sqrt(2) + math.sqrt(6),
    19: 1 + math.sqrt(2) + math.sqrt(6),
}


@pytest.mark.parametrize(("wires", "ratio"), EXACT.items())
def test_bundles_of_equal_wires_are_the_best_packings(wires: int, ratio: float) -> None:
    """Packing of equal circles in a circle: the table against closed forms."""
    assert bundle_over_wire(wires) == pytest.approx(ratio, abs=6e-4)


def test_the_rule_of_thumb_is_too_small_for_few_wires() -> None:
    """1.2 sqrt(n), common practice, is too small for 2 to 6, 9 and 10 wires, by 15 % for two."""
    too_small = [n for n in range(1, 21) if 1.2 * math.sqrt(n) < bundle_over_wire(n)]
    assert too_small == [2, 3, 4, 5, 6, 9, 10]
    assert 1.2 * math.sqrt(2) / bundle_over_wire(2) == pytest.approx(0.85, abs=2e-3)


def test_beyond_the_table_the_rule_is_on_the_safe_side() -> None:
    """Hexagonal rings of 37 and 61 wires are 7 and 9 wires across; the rule says at most 5 % more."""
    assert 1 < bundle_over_wire(37) / 7 < 1.05
    assert 1 < bundle_over_wire(61) / 9 < 1.05
    assert bundle_over_wire(21) > bundle_over_wire(20)


def test_a_bundle_never_shrinks_when_a_wire_joins_it() -> None:
    """Nor is a mix thinner than its two thickest wires side by side."""
    sizes = [bundle_over_wire(n) for n in range(1, 60)]
    assert sizes == sorted(sizes)
    assert bundle_diameter_mm([4.0, 4.0, 1.0]) >= 8.0
    assert bundle_diameter_mm([3.0] * 7) == pytest.approx(9.0)
    with pytest.raises(ValueError, match="at least one"):
        bundle_diameter_mm([])


def test_outside_diameters_are_bare_strand_and_two_walls() -> None:
    """UL 758 styles 10127 and 10236: bare diameter of NEC Chapter 9 Table 8 plus two average walls."""
    walls_mil = {
        "style-10127": {18: 18, 16: 18, 14: 30, 12: 30, 10: 30, 8: 45, 6: 60, 4: 60},
        "style-10236": {18: 15, 16: 15, 14: 20, 12: 20, 10: 20, 8: 30, 6: 30, 4: 30},
    }
    stranded = [row for row in rows("nec_ch9_table8") if row["construction"] == "stranded"]
    bare_in = {row["gauge_awg"]: float(row["overall_diameter_in"]) for row in stranded}
    for construction, walls in walls_mil.items():
        for number, wall in walls.items():
            expected_mm = (bare_in[str(number)] + 2 * wall / 1000) * 25.4
            found = outside_diameter_mm(Gauge(number), construction=construction)
            assert found == pytest.approx(expected_mm, abs=0.006)


def test_a_wire_that_the_table_lacks_has_no_diameter() -> None:
    """A missing gauge is None, a missing construction a mistake."""
    assert outside_diameter_mm(Gauge(12)) == 3.94
    assert outside_diameter_mm(Gauge(40)) is None
    with pytest.raises(KeyError, match="silk"):
        outside_diameter_mm(Gauge(12), construction="silk")
