"""The copper formulas against printed wire tables."""

from __future__ import annotations

import pytest

from loomwright.catalogue.conductor import (
    NEC_LAY_ALLOWANCE,
    area_cmil,
    diameter_mm,
    mass_g_per_m,
    resistance_ohm_per_m,
    section_resistance_ohm_per_m,
    temperature_factor,
)
from loomwright.units.gauge import Gauge
from tests.reference.published import FT_PER_KFT, M_PER_FT, half_a_digit, rows

M_PER_KFT = M_PER_FT * FT_PER_KFT
G_PER_LB = 453.59237


def test_diameters_are_those_of_astm_b258() -> None:
    """ASTM B258: every size from 4/0 to 30 AWG to the printed hundred-thousandth of an inch."""
    for row in rows("awg_20c"):
        assert diameter_mm(Gauge.parse(row["gauge_awg"])) / 25.4 == pytest.approx(float(row["diameter_in"]), abs=6e-6)


@pytest.mark.parametrize(
    "row", [r for r in rows("awg_20c") if r["resistance_ohm_per_kft"]], ids=lambda r: r["gauge_awg"]
)
def test_resistance_at_20_c_is_that_of_the_wire_tables(row: dict[str, str]) -> None:
    """NBS Handbook 100: ohm per 1000 ft at 20 C, to 0.1 %."""
    computed = resistance_ohm_per_m(Gauge.parse(row["gauge_awg"])) * M_PER_KFT
    assert computed == pytest.approx(float(row["resistance_ohm_per_kft"]), rel=1e-3)


def test_mass_is_that_of_the_wire_tables() -> None:
    """NBS Handbook 100: pounds per 1000 ft, to 0.2 %."""
    printed = [row for row in rows("awg_20c") if row["mass_lb_per_kft"]]
    assert len(printed) >= 25
    for row in printed:
        computed = mass_g_per_m(Gauge.parse(row["gauge_awg"])) * M_PER_KFT / G_PER_LB
        assert computed == pytest.approx(float(row["mass_lb_per_kft"]), rel=2e-3), row["gauge_awg"]


@pytest.mark.parametrize("row", rows("nec_ch9_table8"), ids=lambda r: f"{r['gauge_awg']} {r['construction']}")
def test_resistance_at_75_c_is_that_of_nec_chapter_9(row: dict[str, str]) -> None:
    """NEC Chapter 9 Table 8: solid rows from copper alone, stranded rows with the 2 % that the table adds for lay."""
    lay = 0.0 if row["construction"] == "solid" else NEC_LAY_ALLOWANCE
    computed = resistance_ohm_per_m(Gauge.parse(row["gauge_awg"]), conductor_c=75, lay_allowance=lay) * M_PER_KFT
    printed = row["uncoated_ohm_per_kft"]
    assert computed == pytest.approx(float(printed), rel=5e-3, abs=half_a_digit(printed))


def test_the_circular_mils_of_nec_chapter_9_are_those_of_the_gauge() -> None:
    """NEC Chapter 9 Table 8 rounds them to four figures."""
    for row in rows("nec_ch9_table8"):
        assert area_cmil(Gauge.parse(row["gauge_awg"])) == pytest.approx(float(row["area_cmil"]), rel=3e-3)


def test_a_metric_conductor_may_have_a_little_more_than_its_copper() -> None:
    """IEC 60228: the largest resistance allowed is 4 to 12 % above ideal copper of the nominal area."""
    for row in rows("iec_60228"):
        ideal = section_resistance_ohm_per_m(section_mm2=float(row["area_mm2"])) * 1000
        assert 1.03 < float(row["class_1_2_plain_ohm_per_km"]) / ideal < 1.08, row["area_mm2"]
        assert 1.09 < float(row["class_5_6_plain_ohm_per_km"]) / ideal < 1.16, row["area_mm2"]


def test_temperature_factors_are_those_of_iec_60228() -> None:
    """IEC 60228 rounds the coefficient to 0.004, so 0.4 % apart at the ends of its table."""
    for row in rows("temperature_factor"):
        factor = 1 / temperature_factor(conductor_c=float(row["conductor_c"]))
        assert factor == pytest.approx(float(row["factor"]), rel=4.5e-3)


def test_hot_copper_shortens_a_run_as_ac_43_13_says() -> None:
    """AC 43.13-1B paragraph 11-66 d(4): 254.5/(234.5 + T)."""
    for conductor_c in range(-40, 201, 10):
        assert 1 / temperature_factor(conductor_c=conductor_c) == pytest.approx(254.5 / (234.5 + conductor_c), rel=1e-3)
