"""The words that a part file may use: kinds of parts, classes of ports, named values."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from loomwright.catalogue.tables import number, table
from loomwright.model.part import PortKind
from loomwright.units.gauge import Gauge

WORD = "word"
"""The dimension of a value that is a word, not an amount."""

_MADE_TO_MM = 0.1


@dataclass(frozen=True, slots=True)
class PartKind:
    """One kind of part: the first word of its id, and whether its wires end on a circuit board."""

    name: str
    meaning: str
    own_board: bool


@dataclass(frozen=True, slots=True)
class PortClass:
    """A usual way to hold a wire, by the name that part files use.

    `thinnest` and `thickest` are the gauges it takes, `strip_m` the strip length it asks for [m],
    `size_m` the diameter of its stud or the width of its blade [m]; None where it has none.
    """

    name: str
    kind: PortKind
    thinnest: Gauge | None
    thickest: Gauge | None
    strip_m: float | None
    size_m: float | None
    doubled_end: bool
    friction_only: bool
    source: str


@dataclass(frozen=True, slots=True)
class ValueName:
    """One value that a part may state: its name, its dimension (or "word"), what it means."""

    name: str
    dimension: str
    meaning: str


@lru_cache(maxsize=1)
def part_kinds() -> dict[str, PartKind]:
    """Return every kind of part by its name."""
    return {row["kind"]: PartKind(row["kind"], row["meaning"], row["own_board"] == "yes") for row in table("part_kind")}


@lru_cache(maxsize=1)
def port_classes() -> dict[str, PortClass]:
    """Return every class of port by its name."""
    return {
        row["name"]: PortClass(
            name=row["name"],
            kind=PortKind(row["kind"]),
            thinnest=_gauge(row["thinnest_awg"]),
            thickest=_gauge(row["thickest_awg"]),
            strip_m=_metres(number(row, "strip_mm")),
            size_m=_metres(number(row, "size_mm")),
            doubled_end=row["doubled_end"] == "yes",
            friction_only=row["friction_only"] == "yes",
            source=row["source"],
        )
        for row in table("port_class")
    }


@lru_cache(maxsize=1)
def value_names() -> dict[str, ValueName]:
    """Return every value that a part may state by its name."""
    return {row["name"]: ValueName(row["name"], row["dimension"], row["meaning"]) for row in table("part_value")}


def size_name(what: str, size_m: float) -> str:
    """Name the size of a "stud" or a "tab" as the trade does: 6.35 mm is "1/4 in", an odd one stays in mm."""
    size_mm = size_m * 1000
    named = ((row["name"], float(row["size_mm"])) for row in table("named_size") if row["what"] == what)
    close = (name for name, named_mm in named if abs(named_mm - size_mm) < _MADE_TO_MM)
    return next(close, f"{size_mm:g} mm")


def _gauge(written: str) -> Gauge | None:
    return Gauge.parse(written) if written else None


def _metres(millimetres: float | None) -> float | None:
    return None if millimetres is None else millimetres / 1000
