"""The packing of wires against published packings of circles in a circle."""

from __future__ import annotations

import math

import pytest

from loomwright.catalogue.tables import table
from loomwright.layout.engine.packing import pack

BEST = {int(row["wires"]): float(row["bundle_over_wire"]) for row in table("circle_packing")}
# Best known radii for circles of radius 1 to n; quoted from memory, and used only as a far outside mark.
RISING = {5: 9.0014, 6: 11.0570, 7: 13.4621, 8: 16.2217, 9: 19.2332, 10: 22.0002, 11: 24.9606, 12: 28.3714}


@pytest.mark.parametrize(("wires", "ratio"), BEST.items())
def test_equal_wires_come_close_to_the_best_packing_known(wires: int, ratio: float) -> None:
    """Source circle-packing, 1 to 20 circles: never better (its digits are rounded), at most 0.5 % worse."""
    found = pack([3.0] * wires).diameter_mm / 3.0
    assert ratio - 1e-3 <= found <= 1.005 * ratio


@pytest.mark.parametrize("radii", [(1.0, 1.0, 1.0), (3.0, 2.0, 2.0), (2.0, 2.0, 1.5), (5.0, 4.0, 3.5)])
def test_three_wires_touch_one_another_and_the_circle(radii: tuple[float, float, float]) -> None:
    """The theorem of Descartes on four circles that touch: k4 = k1 + k2 + k3 - 2 sqrt(k1 k2 + k2 k3 + k3 k1)."""
    one, two, three = (1 / r for r in radii)
    around = one + two + three - 2 * math.sqrt(one * two + two * three + three * one)
    assert pack([2 * r for r in radii]).diameter_mm == pytest.approx(-2 / around, rel=1e-4)


def test_two_thin_wires_fill_the_gaps_beside_two_thick_ones() -> None:
    """Two circles of half the radius leave room for one of a third on each side: the arbelos of Archimedes."""
    assert pack([3.0, 3.0, 2.0, 2.0]).diameter_mm == pytest.approx(6.0, rel=1e-3)
    assert pack([3.0, 3.0, 2.1, 2.1]).diameter_mm > 6.02


@pytest.mark.parametrize("around", [4, 5, 6, 7, 8])
def test_a_ring_closes_around_the_wire_that_fits_it(around: int) -> None:
    """N wires of radius 1 close around one of radius 1/sin(pi/n) - 1, in a circle of 1/sin(pi/n) + 1."""
    middle = 1 / math.sin(math.pi / around) - 1
    assert pack([2 * middle] + [2.0] * around).diameter_mm <= 1.002 * 2 * (middle + 2)


@pytest.mark.parametrize(("count", "radius"), RISING.items())
def test_wires_of_very_unequal_thickness(count: int, radius: float) -> None:
    """Circles of radius 1 to n, best known values from memory: never better, at most 5 % worse."""
    found = pack([2.0 * r for r in range(1, count + 1)]).diameter_mm / 2
    assert radius * (1 - 1e-4) <= found <= 1.05 * radius
