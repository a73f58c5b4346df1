"""Ampacities and their corrections against the printed tables."""

from __future__ import annotations

import pytest

from loomwright.sizing import OutOfTableError, Surroundings, ampacity, ampacity_bases
from loomwright.sizing.engine.derating import ambient_factor, bundle_factor, heat_balance
from loomwright.units.gauge import Gauge
from tests.reference.published import half_a_digit, rows

NEC_BAND_C = 5


def _ampacity_a(name: str, gauge: Gauge, **around: float) -> float | None:
    given = {"insulation_c": 105.0, "ambient_c": ampacity_bases()[name].ambient_c, "bundle_wires": 1, **around}
    return ampacity(name, gauge, Surroundings(**given)).ampacity_a  # type: ignore[arg-type]  # the counts are whole


@pytest.mark.parametrize(("name", "table"), [("cfr-183.425", "cfr_183_425_table_5"), ("ac-43.13", "ac4313_table_11_9")])
def test_every_cell_of_the_ampacity_tables(name: str, table: str) -> None:
    """33 CFR 183.425 Table 5 and AC 43.13-1B Table 11-9: every gauge in every insulation class."""
    for row in rows(table):
        for column in [c for c in row if c.isdigit()]:
            found = _ampacity_a(name, Gauge.parse(row["gauge_awg"]), insulation_c=float(column))
            assert found == float(row[column]), (row["gauge_awg"], column)


def test_no_row_of_the_tables_was_added_or_lost() -> None:
    """The shipped tables have the columns of the printed ones and as many rows."""
    assert ampacity_bases()["cfr-183.425"].insulations_c == (60, 75, 80, 90, 105, 125, 200)
    assert ampacity_bases()["ac-43.13"].insulations_c == (105, 150, 200)
    assert ampacity_bases()["nec-310.16"].insulations_c == (60, 75, 90)
    assert (len(rows("cfr_183_425_table_5")), len(rows("ac4313_table_11_9"))) == (15, 17)
    with pytest.raises(OutOfTableError):
        _ampacity_a("cfr-183.425", Gauge(12), insulation_c=100.0)


def test_engine_space_values_of_the_cfr() -> None:
    """33 CFR 183.425 Table 5 note 1 at 50 C, 105 C insulation: printed in whole amperes, 15 gauges."""
    for row in rows("cfr_engine_space"):
        found = _ampacity_a("cfr-183.425", Gauge.parse(row["gauge_awg"]), ambient_c=float(row["ambient_c"]))
        assert found == pytest.approx(float(row["ampacity_a"]), abs=0.5 + 1e-9)


@pytest.mark.parametrize(
    ("insulation_c", "factor"), [(60, 0.58), (75, 0.75), (80, 0.78), (90, 0.82), (105, 0.85), (125, 0.89)]
)
def test_note_1_of_the_cfr_is_the_heat_balance(insulation_c: float, factor: float) -> None:
    """33 CFR 183.425 Table 5 note 1 (105 C found, the others from memory): within its two digits, never above it."""
    found = ambient_factor("cfr-183.425", insulation_c=insulation_c, ambient_c=50, table_c=30)
    assert factor - 0.0085 <= found <= factor
    assert heat_balance(insulation_c=insulation_c, ambient_c=50, table_c=30) == pytest.approx(factor, abs=0.0085)


def test_note_1_of_the_cfr_is_not_trusted_where_it_gives_heat_away() -> None:
    """33 CFR 183.425 Table 5 note 1 has 1.00 for 200 C (from memory), where the heat balance says 0.94."""
    assert ambient_factor("cfr-183.425", insulation_c=200, ambient_c=50, table_c=30) == pytest.approx(0.939, abs=1e-3)


@pytest.mark.parametrize("row", rows("nec_ambient"), ids=lambda r: "-".join(list(r.values())[:3]))
def test_nec_ambient_factors_are_the_heat_balance(row: dict[str, str]) -> None:
    """NEC 310.15(B), ambient correction on 30 C and on 40 C: the heat balance at the warm end of each 5 C band."""
    start_c = float(row["band_start_c"])
    top_c = start_c if start_c % NEC_BAND_C == 0 else start_c + NEC_BAND_C - 1
    computed = heat_balance(
        insulation_c=float(row["insulation_c"]), ambient_c=top_c, table_c=float(row["base_ambient_c"])
    )
    assert computed == pytest.approx(float(row["factor"]), abs=half_a_digit(row["factor"]) + 1e-3)


def test_every_cell_of_the_bundle_curves() -> None:
    """MIL-W-5088L bundle curves, 1 to 19 wires at 20 to 100 % loading."""
    curves = rows("mil_w_5088_bundle_curves")
    assert len(curves) == 19
    for row in curves:
        for loading in ("20", "40", "60", "80", "100"):
            found = bundle_factor("mil-w-5088", wires=int(row["wires"]), loading_pct=float(loading))
            assert found == float(row[loading])


def test_the_multipliers_of_mil_w_5088b_lie_between_the_curves() -> None:
    """MIL-W-5088B multipliers for 2 to 5 wires agree with the later curves between 20 % and 60 % loading."""
    for row in rows("mil_w_5088b_bundle"):
        wires = int(row["wires"])
        light = bundle_factor("mil-w-5088", wires=wires, loading_pct=20)
        heavy = bundle_factor("mil-w-5088", wires=wires, loading_pct=60)
        assert heavy <= float(row["factor"]) <= light


@pytest.mark.parametrize(
    ("rule", "wires", "factor"),
    [
        *[
            ("cfr-183.425", n, f)
            for n, f in ((1, 1), (2, 1), (3, 0.7), (4, 0.6), (6, 0.6), (7, 0.5), (24, 0.5), (25, 0.4))
        ],
        *[("nec-310.15", n, f) for n, f in ((3, 1), (4, 0.8), (6, 0.8), (7, 0.7), (9, 0.7), (10, 0.5), (20, 0.5))],
        *[("nec-310.15", n, f) for n, f in ((21, 0.45), (30, 0.45), (31, 0.4), (40, 0.4), (41, 0.35), (500, 0.35))],
    ],
)
def test_bundle_steps(rule: str, wires: int, factor: float) -> None:
    """33 CFR 183.425 Table 5 note 2 and NEC 310.15(B)(3)(a), at both ends of each step."""
    assert bundle_factor(rule, wires=wires, loading_pct=100) == factor


@pytest.mark.parametrize(
    ("name", "insulation_c", "amperes"),
    [
        ("cfr-183.425", 105, 45),
        ("mil-w-5088", 105, 40),
        ("mil-std-975-single", 200, 25),
        ("mil-std-975-bundled", 200, 12),
        ("nec-310.16", 60, 20),
        ("nec-310.16", 75, 25),
        ("nec-310.16", 90, 30),
        ("nec-310.17", 90, 40),
        ("ac-43.13", 105, 13),
    ],
)
def test_12_awg_carries_what_its_basis_says(name: str, insulation_c: float, amperes: float) -> None:
    """The documents differ threefold on one wire since their air, insulation and bundle differ: a basis has a name."""
    assert _ampacity_a(name, Gauge(12), insulation_c=insulation_c) == amperes


def test_single_wires_of_mil_w_5088b() -> None:
    """MIL-W-5088B, free air at 50 C, 105 C conductor (16 AWG from memory)."""
    printed = {22: 5.0, 20: 8.33, 18: 15.4, 16: 19.4, 14: 31.2, 12: 40, 10: 55, 8: 75, 6: 100, 4: 135}
    assert {n: _ampacity_a("mil-w-5088", Gauge(n)) for n in printed} == printed
    assert ampacity("mil-w-5088", Gauge(16), Surroundings(105, 50)).source == "mil-w-5088b-memory"
