"""Adiabatic heating against the printed factors and examples."""

from __future__ import annotations

import math

import pytest

from loomwright.catalogue.conductor import area_mm2
from loomwright.sizing import conductor_temperature_c, k_factor, longest_short_s, smallest_section_mm2
from loomwright.units.gauge import Gauge
from tests.reference.published import rows


@pytest.mark.parametrize("row", rows("adiabatic_k"), ids=lambda r: f"k {r['k']}")
def test_factors_k_are_those_of_iec_60364(row: dict[str, str]) -> None:
    """IEC 60364-5-54 (and BS 7671): k of copper, whole numbers, from the formula of IEC 60949."""
    k = k_factor(initial_c=float(row["initial_c"]), final_c=float(row["final_c"]))
    assert k == pytest.approx(float(row["k"]), abs=0.5)


@pytest.mark.parametrize("row", rows("adiabatic_examples"), ids=lambda r: f"{r['area_mm2']} mm2")
def test_worked_sections(row: dict[str, str]) -> None:
    """Teaching examples of IEC 60364-5-54: S = I sqrt(t)/k, to their one decimal."""
    section = smallest_section_mm2(current_a=float(row["current_a"]), time_s=float(row["time_s"]), k=float(row["k"]))
    assert section == pytest.approx(float(row["area_mm2"]), abs=0.05)


@pytest.mark.parametrize(("number", "current_a", "time_s"), [(6, 1000, 3.62), (12, 500, 0.896), (18, 200, 0.346)])
def test_a_section_and_its_time_belong_together(number: int, current_a: float, time_s: float) -> None:
    """IEC 60364-5-54 at the scale of a robot, 30 to 160 C (k = 143): worked by hand, and back again."""
    section = area_mm2(Gauge(number))
    found = longest_short_s(current_a=current_a, section_mm2=section, k=143)
    assert found == pytest.approx(time_s, rel=2e-3)
    assert smallest_section_mm2(current_a=current_a, time_s=found, k=143) == pytest.approx(section)


def test_other_constants_for_copper_are_within_one_percent() -> None:
    """ICEA P-32-382 (0.0297, 234 K) gives 224.1 and Onderdonk's equation 226.4 where IEC 60949 has 226."""
    icea = math.sqrt(0.0297 / math.log(10)) * 1e6 / (math.pi / 4 * 25.4**2)
    assert icea == pytest.approx(224.1, abs=0.1)
    assert k_factor(initial_c=30, final_c=160) / math.sqrt(math.log(394.5 / 264.5)) == pytest.approx(icea, rel=0.01)


def test_the_estimate_of_ac_43_13_errs_high_below_the_ampacity() -> None:
    """AC 43.13-1B paragraph 11-66 d(4) takes the square root of I/Imax, where heating goes with its square."""
    for share in (0.1, 0.25, 0.5, 0.9):
        ours = conductor_temperature_c(current_a=share * 13, ampacity_a=13, insulation_c=105, ambient_c=70, table_c=70)
        circular = 70 + (105 - 70) * math.sqrt(share)
        assert ours < circular
        assert ours == pytest.approx(70 + 35 * share**2)
