"""The tables of dimensions and units hold together."""

from __future__ import annotations

import csv
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from loomwright.units import Dimension, read
from loomwright.units.unit_table import unit_table

ROOT = Path(__file__).parents[2]


def _rows(name: str) -> list[dict[str, str]]:
    with files("loomwright.units").joinpath(name).open(encoding="utf-8") as table:
        return list(csv.DictReader(table))


def test_every_dimension_stands_in_its_table_once() -> None:
    assert sorted(row["dimension"] for row in _rows("dimensions.csv")) == sorted(Dimension)


def test_no_spelling_means_two_units_of_one_dimension() -> None:
    spellings = [
        (row["dimension"], spelling)
        for row in _rows("units.csv")
        for spelling in (row["unit"], *filter(None, row["also_written"].split("|")))
    ]
    assert len(spellings) == len(set(spellings))


def test_looser_spelling_never_changes_the_unit() -> None:
    """Where large and small letters are let go, no two units of a dimension fall together."""
    for dimension, spellings in unit_table().exact.items():
        for spelling, unit in spellings.items():
            loose = unit_table().folded[dimension].get(spelling.casefold(), unit)
            assert loose is unit, (dimension, spelling)


@pytest.mark.parametrize("dimension", Dimension)
def test_every_spelling_can_be_read(dimension: Dimension) -> None:
    """One of each unit, or as much as the limits let through."""
    for spelling, unit in unit_table().exact[dimension].items():
        reach = unit_table().reach[dimension]
        number = next(n for n in (1, 0, 300) if reach.lowest <= n * unit.factor + unit.offset <= reach.highest)
        assert read(f"{number} {spelling}", dimension) == float(number * unit.factor + unit.offset), spelling


@pytest.mark.parametrize("dimension", Dimension)
def test_the_units_named_in_a_fix_can_be_read(dimension: Dimension) -> None:
    for unit in unit_table().reach[dimension].examples or ("",):
        assert read(f"1 {unit}", dimension) > -1000


@pytest.mark.parametrize("dimension", Dimension)
def test_every_dimension_with_units_can_show_nothing_and_its_limits(dimension: Dimension) -> None:
    units = [unit for unit in unit_table().units if unit.dimension is dimension]
    assert not units or any(unit.shown_from is not None and unit.shown_from <= 0 for unit in units)


def test_every_unit_names_a_source_of_the_project() -> None:
    known = tomllib.loads((ROOT / "docs" / "sources.toml").read_text(encoding="utf-8"))
    assert {row["source"] for row in _rows("units.csv")} <= set(known)
