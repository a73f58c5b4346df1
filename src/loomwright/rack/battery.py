"""A battery of the rack: its class, how old it is, and all that is known of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.catalogue.tables import table

if TYPE_CHECKING:
    from loomwright.model.part import Part
    from loomwright.rack.readings import Reading

#: The battery that is meant where nobody says which.
USUAL_AH: Final = 18.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BatteryClass:
    """What a new battery of one kind is like: rated capacity, and its resistance [ohm] between two test currents [A].

    `assumed` tells that the part does not say all of it.
    """

    title: str
    capacity_ah: float
    ohm: float
    low_a: float
    high_a: float
    assumed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RackBattery:
    """One battery: label, class, when it was bought [days since 1970], cycles before the first record, readings.

    `readings` are all of them, in order of time, rejected ones too; `charges` those that ended on a charger; `matches`
    what it was played in; `alarms` the looks that put it aside and that no mentor released. `place` is where it was
    last said to be ("rack", "charger", "robot", "cooling", "quarantine", "away", "" unknown), `charger` which one and
    `charging_a` what that is set to [A], `there_since` the day of that. `added` tells that somebody put it on the rack,
    and not only told something of it.
    """

    label: str
    of: BatteryClass
    bought: float | None = None
    cycles_before: int = 0
    readings: tuple[Reading, ...] = ()
    charges: tuple[Reading, ...] = ()
    matches: tuple[Reading, ...] = ()
    alarms: tuple[Reading, ...] = ()
    place: str = ""
    charger: str = ""
    charging_a: float | None = None
    added: bool = True
    there_since: float | None = None

    @property
    def cycles(self) -> int:
        """How many matches and capacity tests it has been through, those before the records included."""
        tests = sum(1 for one in self.readings if one.kind == "capacity" and not one.rejected)
        return self.cycles_before + len(self.matches) + tests


def class_of(part: Part | None, capacity_ah: float | None = None) -> BatteryClass:
    """Return the class that a part describes; of a battery without a part the usual match battery's, assumed.

    A `capacity_ah` that somebody said of this battery counts before its part's, and the resistance is scaled with it:
    cells of the same make have a resistance in inverse proportion to their plates.
    """
    usual = {row["name"]: float(row["amount"]) for row in table("match_practice") if row["amount"]}
    said = {name: part.number(name) if part is not None else None for name in ("capacity", "internal resistance")}
    rated = said["capacity"] or usual["battery capacity"]
    ohm = said["internal resistance"] or usual["battery ohm"]
    held = capacity_ah or rated
    low, high = (part.number(f"{which} test current") if part is not None else None for which in ("low", "high"))
    return BatteryClass(
        title=part.title if part is not None else f"12 V {held:g} Ah",
        capacity_ah=held,
        ohm=ohm * rated / held,
        low_a=low or usual["low test current"],
        high_a=high or usual["high test current"],
        assumed=not all(said.values()),
    )
