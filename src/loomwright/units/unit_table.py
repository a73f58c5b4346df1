"""The dimensions and units the tool knows, read from the two tables beside this file."""

from __future__ import annotations

import csv
import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from importlib.resources import files


class Dimension(StrEnum):
    """What kind of amount a number is; inside the program each kind has one unit.

    All are SI units, with four exceptions that follow the trade: charge is in ampere-hours (`_ah`),
    temperature in degrees Celsius (`_c`), a ratio is a fraction of one (5 % is 0.05), and a count or a
    plain number has no unit. Rotation is in rad/s and angles in rad.
    """

    LENGTH = "length"
    CURRENT = "current"
    VOLTAGE = "voltage"
    POWER = "power"
    RESISTANCE = "resistance"
    CHARGE = "charge"
    MASS = "mass"
    TIME = "time"
    TEMPERATURE = "temperature"
    RATIO = "ratio"
    TORQUE = "torque"
    ROTATION = "rotation"
    ANGLE = "angle"
    SPEED = "speed"
    FREQUENCY = "frequency"
    FORCE = "force"
    PRESSURE = "pressure"
    AREA = "area"
    COUNT = "count"
    NUMBER = "number"


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: `value in base unit = number * factor + offset`, both exact.

    `shown_from` is the smallest number of this unit worth showing, None for units only ever read.
    """

    name: str
    dimension: Dimension
    factor: Fraction
    offset: Fraction
    shown_from: float | None


@dataclass(frozen=True, slots=True)
class Reach:
    """What counts as a sane amount of a dimension (in its base unit), and the words to speak of it.

    The limits are common practice: wide enough for any robot, its pit and its bench, and narrow enough
    to catch a slipped unit. Below zero is refused unless the dimension or the reader allows it.
    """

    phrase: str
    suffix: str
    lowest: Fraction
    highest: Fraction
    lowest_said: str
    highest_said: str
    signed: bool
    examples: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UnitTable:
    """Every unit by dimension and spelling."""

    units: tuple[Unit, ...]
    exact: dict[Dimension, dict[str, Unit]]
    folded: dict[Dimension, dict[str, Unit]]
    reach: dict[Dimension, Reach]

    def find(self, written: str, dimension: Dimension) -> Unit | None:
        """Look a spelling up in one dimension; None when it is not there.

        Large and small letters count where they change the size ("mohm" and "Mohm"), nowhere else.
        """
        plain = plain_unit(written)
        return self.exact[dimension].get(plain) or self.folded[dimension].get(plain.casefold())

    def dimensions_of(self, written: str) -> list[Dimension]:
        """List the dimensions that have a unit of this spelling."""
        return [dimension for dimension in Dimension if self.find(written, dimension)]


def plain_unit(written: str) -> str:
    """Bring a unit to its plain spelling: one kind of ohm sign, of quote, of dot, of space."""
    swapped = written.replace("º", "°").replace("·", " ").replace("⋅", " ").replace("*", " ")
    swapped = swapped.replace("”", '"').replace("″", '"').replace("’", "'").replace("′", "'")
    return " ".join(unicodedata.normalize("NFKC", swapped).split())


def _rows(name: str) -> list[dict[str, str]]:
    text = files("loomwright.units").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@lru_cache(maxsize=1)
def unit_table() -> UnitTable:
    """Read both tables once."""
    exact: dict[Dimension, dict[str, Unit]] = {dimension: {} for dimension in Dimension}
    folded: dict[Dimension, dict[str, Unit]] = {dimension: {} for dimension in Dimension}
    units: list[Unit] = []
    for row in _rows("units.csv"):
        unit = Unit(
            name=row["unit"],
            dimension=Dimension(row["dimension"]),
            factor=Fraction(row["factor"]),
            offset=Fraction(row["offset"]),
            shown_from=float(row["shown_from"]) if row["shown_from"] else None,
        )
        units.append(unit)
        for spelling in (row["unit"], *filter(None, row["also_written"].split("|"))):
            exact[unit.dimension][plain_unit(spelling)] = unit
            if row["any_case"] == "yes":
                folded[unit.dimension][plain_unit(spelling).casefold()] = unit
    reach = {Dimension(row["dimension"]): _reach(row, exact) for row in _rows("dimensions.csv")}
    return UnitTable(units=tuple(units), exact=exact, folded=folded, reach=reach)


def _reach(row: dict[str, str], exact: dict[Dimension, dict[str, Unit]]) -> Reach:
    def base(said: str) -> Fraction:
        number, _, name = said.partition(" ")
        if not name:
            return Fraction(number)
        unit = exact[Dimension(row["dimension"])][plain_unit(name)]
        return Fraction(number) * unit.factor + unit.offset

    return Reach(
        phrase=row["phrase"],
        suffix=row["suffix"],
        lowest=base(row["lowest"]),
        highest=base(row["highest"]),
        lowest_said=row["lowest"],
        highest_said=row["highest"],
        signed=row["signed"] == "yes",
        examples=tuple(filter(None, row["examples"].split("|"))),
    )
