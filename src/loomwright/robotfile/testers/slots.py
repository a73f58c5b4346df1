"""What a list of readings can tell of a battery, and what people call each of it in the head of a column."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from loomwright.units import Dimension


@dataclass(frozen=True, slots=True)
class Slot:
    """One thing that a row can tell: an amount of one of `dimensions`, or a text where there are none.

    `example` is a heading that reads well; `also` is what else people call it.
    """

    name: str
    dimensions: tuple[Dimension, ...] = ()
    example: str = ""
    also: tuple[str, ...] = ()


_VOLTAGE: Final = (Dimension.VOLTAGE,)
_CURRENT: Final = (Dimension.CURRENT,)
_TIME: Final = (Dimension.TIME,)
_EVERY: Final = (
    Slot("battery", also=("label", "battery label")),
    Slot("when", also=("date", "day", "date/time", "date and time", "timestamp")),
    Slot("time", also=("time of day",)),
    Slot("who", also=("by", "read by", "measured by", "initials")),
    Slot("tester", also=("meter", "tool")),
    Slot("note", also=("notes", "remark", "remarks")),
    Slot("look", also=("looked over", "looks")),
    Slot("charger"),
    Slot("rest voltage", _VOLTAGE, "rest voltage [V]", ("voltage at rest", "resting voltage", "open circuit voltage")),
    Slot("since charge", _TIME, "since charge [h]", ("rest since charge", "since charger")),
    Slot("since load", _TIME, "since load [h]", ("rest since load",)),
    Slot("temperature", (Dimension.TEMPERATURE,), "temperature [C]", ("temp", "case temperature")),
    Slot("resistance", (Dimension.RESISTANCE,), "resistance [mohm]", ("internal resistance",)),
    Slot("low current", _CURRENT, "low current [A]", ("low test current",)),
    Slot("high current", _CURRENT, "high current [A]", ("high test current", "test current")),
    Slot("voltage under load", _VOLTAGE, "voltage under load [V]", ("loaded voltage", "load voltage")),
    Slot("load", _CURRENT, "load [A]", ("load current",)),
    Slot("load time", _TIME, "load time [s]", ("under load for",)),
    Slot("voltage under second load", _VOLTAGE, "voltage under second load [V]", ("second load voltage",)),
    Slot("second load", _CURRENT, "second load [A]", ("second load current",)),
    Slot("load test", _VOLTAGE, "load test [V]", ("load test voltage",)),
    Slot("load test load", _CURRENT, "load test load [A]", ("load test current",)),
    Slot("load test time", _TIME, "load test time [s]"),
    Slot("capacity test", (Dimension.TIME, Dimension.CHARGE), "capacity test [h]", ("discharge time",)),
    Slot("capacity test load", _CURRENT, "capacity test load [A]", ("capacity test current", "discharge current")),
    Slot("capacity test end", _VOLTAGE, "capacity test end [V]", ("capacity test cutoff", "cutoff voltage", "cutoff")),
    Slot("end voltage", _VOLTAGE, "end voltage [V]", ("end of charge voltage",)),
    Slot("charge time", _TIME, "charge time [h]", ("charged for",)),
    Slot("charge current", _CURRENT, "charge current [A]", ("charged at",)),
    Slot("charge put in", (Dimension.CHARGE,), "charge put in [Ah]", ("charged",)),
)
#: Every slot by its name.
SLOTS: Final = MappingProxyType({slot.name: slot for slot in _EVERY})
#: Which slot a heading names, by its plain words.
MEANINGS: Final = MappingProxyType({word: slot.name for slot in _EVERY for word in (slot.name, *slot.also)})
#: A row with none of these tells nothing: what else stands in it was only copied down the column.
TELLING: Final = (
    *("rest voltage", "resistance", "voltage under load", "voltage under second load", "load test", "capacity test"),
    *("temperature", "look", "charger", "end voltage", "note"),
)
