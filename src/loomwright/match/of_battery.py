"""The battery of a match: what its part says, shared out among what is quick and what is slow."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import groupby
from math import asinh, sqrt
from typing import TYPE_CHECKING

from loomwright.catalogue.tables import table
from loomwright.match.machine import Battery
from loomwright.match.of_practice import practice

if TYPE_CHECKING:
    from loomwright.match.of_notes import Notes
    from loomwright.model.device import Device


@dataclass(frozen=True, slots=True)
class BatteryState:
    """How good a battery still is: least and most of the factors on its class, its charge, and the air [C].

    With `usual_air` the air may get as warm as the file says that it does around its wires.
    """

    name: str
    ohm: tuple[float, float]
    capacity: tuple[float, float]
    charge: tuple[float, float]
    air_c: tuple[float, float]
    usual_air: bool
    source: str


@cache
def battery_states() -> dict[str, BatteryState]:
    """Return every state that a battery can be played in, by its name."""
    return {
        row["state"]: BatteryState(
            row["state"],
            (float(row["ohm_low"]), float(row["ohm_high"])),
            (float(row["capacity_low"]), float(row["capacity_high"])),
            (float(row["charge_low"]), float(row["charge_high"])),
            (float(row["air_low_c"]), float(row["air_high_c"])),
            row["usual_air"] == "yes",
            row["source"],
        )
        for row in table("match_battery_state")
    }


def battery_of(device: Device, state: BatteryState, notes: Notes) -> Battery:
    """Return the battery in a state: each of its factors in the middle of its range.

    The part's resistance is what a tester sees between its two currents within a second. Of that, shares go into an
    RC pair and into activation a asinh(I/I0), and the rest is R0; a second, slow pair comes on top, which no tester
    waits for. The shares are assumed.
    """
    capacity_ah = _said(device, "capacity", practice("battery capacity"), "18 Ah", notes)
    ohm = _said(device, "internal resistance", practice("battery ohm"), "11 mohm", notes) * _middle(state.ohm)
    low_a = device.part.number("low test current") or practice("low test current")
    high_a = device.part.number("high test current") or practice("high test current")
    level_a = practice("activation current")
    chord = (asinh(high_a / level_a) - asinh(low_a / level_a)) / (high_a - low_a)
    fast, activation = practice("fast share"), practice("activation share")
    notes.assume("how the battery's resistance divides into quick and slow parts is assumed")
    tested = device.part.values.get("low test current")
    if tested is None or tested.assumed:
        notes.assume(f"the battery's resistance is taken as measured between {low_a:g} and {high_a:g} A")
    return Battery(
        label=device.part.title,
        state=state.name,
        capacity_ah=capacity_ah * _middle(state.capacity),
        rest=rest_curve(),
        ohm=(1 - fast - activation) * ohm,
        pairs=((fast * ohm, practice("fast time")), (practice("slow share") * ohm, practice("slow time"))),
        activation_v=activation * ohm / chord,
        activation_a=level_a,
        activation_lag_s=practice("activation lag"),
    )


def measured_ohm(battery: Battery) -> float:
    """Return what a tester reads of a battery that `battery_of` made [ohm]: more than its R0."""
    return battery.ohm / (1 - practice("fast share") - practice("activation share"))


@cache
def rest_curve() -> tuple[tuple[float, float], ...]:
    """Return state of charge and rest voltage [V] of a sealed battery: the middle of what the sources say."""
    rows = sorted(table("match_rest_curve"), key=lambda row: float(row["charge"]))
    points = []
    for charge, said in groupby(rows, key=lambda row: float(row["charge"])):
        middles = [(float(row["rest_low_v"]) + float(row["rest_high_v"])) / 2 for row in said]
        points.append((charge, sum(middles) / len(middles)))
    return tuple(points)


def _middle(span: tuple[float, float]) -> float:
    return sqrt(span[0] * span[1])


def _said(device: Device, name: str, otherwise: float, written: str, notes: Notes) -> float:
    value = device.part.number(name)
    if value:
        return value
    notes.assume(f"the battery's {name} is taken as {written}, that of a usual match battery")
    notes.ask(
        f"battery-{name.replace(' ', '-')}-unknown",
        device.mark,
        device.path,
        f"The {name} of the battery is not known: {device.part.id} does not say it.",
        "Write the battery's class, such as `part: battery/agm-12v-18ah`, "
        f"or a part of your own with `{name}: {written}`.",
    )
    return otherwise
