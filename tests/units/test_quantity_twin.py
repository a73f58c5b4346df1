"""A well-kept units library as the twin: both give the same number wherever both understand the words.

Where the twin is known to read something else, the test says what, so that nobody "fixes" ours to match.
"""

from __future__ import annotations

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.units import Dimension, QuantityError, read
from loomwright.units.unit_table import Unit, unit_table

BASE = {
    Dimension.LENGTH: "m",
    Dimension.CURRENT: "A",
    Dimension.VOLTAGE: "V",
    Dimension.POWER: "W",
    Dimension.RESISTANCE: "ohm",
    Dimension.CHARGE: "A*h",
    Dimension.MASS: "kg",
    Dimension.TIME: "s",
    Dimension.TEMPERATURE: "degC",
    Dimension.RATIO: "",
    Dimension.TORQUE: "N*m",
    Dimension.ROTATION: "rad/s",
    Dimension.ANGLE: "rad",
    Dimension.SPEED: "m/s",
    Dimension.FREQUENCY: "Hz",
    Dimension.FORCE: "N",
    Dimension.PRESSURE: "Pa",
    Dimension.AREA: "m**2",
}
REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def _twin(number: float, unit: str, dimension: Dimension) -> float:
    return float(REGISTRY.Quantity(number, unit).to(BASE[dimension]).magnitude)


@pytest.mark.parametrize("unit", unit_table().units, ids=lambda unit: unit.name)
@given(st.floats(0, 1000).map(lambda number: round(number, 6)))
@settings(max_examples=10)
def test_every_unit_has_the_size_its_twin_gives_it(unit: Unit, number: float) -> None:
    text = f"{number:.6f} {unit.name}"
    try:
        ours = read(text, unit.dimension)
    except QuantityError as error:
        assert "than any robot has" in error.what  # noqa: PT017  only the limits may refuse
        return
    assert ours == pytest.approx(_twin(number, unit.name, unit.dimension), rel=1e-12, abs=1e-12)


def test_every_dimension_with_units_has_a_twin() -> None:
    assert {unit.dimension for unit in unit_table().units} == set(BASE)


TRAPS = [
    ("C", Dimension.TEMPERATURE, "coulomb"),
    ("F", Dimension.TEMPERATURE, "farad"),
    ("Nm", Dimension.TORQUE, "number_meter"),
    ("amps", Dimension.CURRENT, "attometer_per_second"),
    ("pct", Dimension.RATIO, "picocarat"),
]


@pytest.mark.parametrize(("unit", "dimension", "twin_reads"), TRAPS)
def test_words_of_the_trade_that_the_twin_reads_otherwise(unit: str, dimension: Dimension, twin_reads: str) -> None:
    """These are why quantities are read by the dimension that is expected, and not by the words alone."""
    assert str(REGISTRY.Unit(unit)) == twin_reads
    ours = unit_table().find(unit, dimension)
    assert ours is not None
    assert read(f"5 {unit}", dimension) == pytest.approx(_twin(5, ours.name, dimension))
