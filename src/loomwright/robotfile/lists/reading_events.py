"""From the amounts and words of one row to events, as `records.reading.read_event` takes them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from loomwright.records.event import Kind

_AROUND: Final = MappingProxyType(
    {"temperature_c": "temperature", "since_charge_h": "since charge", "since_load_h": "since load"}
)


@dataclass(frozen=True, slots=True)
class Told:
    """A reading that a row can tell: its kind, the slot of its value, and the slots of its conditions.

    `needs` are slots that it means nothing without, `pairs` those that mean nothing without each other.
    """

    kind: Kind
    slot: str
    unit: str
    conditions: Mapping[str, str]
    needs: tuple[str, ...] = ()
    pairs: tuple[tuple[str, str], ...] = ()


READINGS: Final = (
    Told(Kind.RESTED, "rest voltage", "V", _AROUND),
    Told(
        Kind.LOADED,
        "voltage under load",
        "V",
        {"load_a": "load", "other_load_a": "second load", "other_v": "voltage under second load"}
        | {"seconds": "load time", **_AROUND},
        ("load",),
        (("second load", "voltage under second load"),),
    ),
    Told(
        Kind.RESISTANCE,
        "resistance",
        "ohm",
        {"low_a": "low current", "high_a": "high current", "rest_v": "rest voltage", **_AROUND},
        (),
        (("low current", "high current"),),
    ),
    Told(
        Kind.LOAD_TEST,
        "load test",
        "V",
        {"load_a": "load test load", "seconds": "load test time", "rest_v": "rest voltage", **_AROUND},
        ("load test load", "load test time"),
    ),
    Told(
        Kind.CAPACITY,
        "capacity test",
        "h",
        {"load_a": "capacity test load", "cutoff_v": "capacity test end", "temperature_c": "temperature"},
        ("capacity test load", "capacity test end"),
    ),
)
_CHARGED: Final = Told(
    Kind.CHARGED,
    "end voltage",
    "V",
    {"hours": "charge time", "amps": "charge current", "charge_ah": "charge put in", "temperature_c": "temperature"},
    ("charger",),
)
_WARMTH: Final = Told(Kind.WARMTH, "temperature", "C", {"since_charge_h": "since charge", "since_load_h": "since load"})
_HOUR_S: Final = 3600.0
_FIGURES: Final = 12


def told_by(amounts: Mapping[str, float], words: Mapping[str, str]) -> tuple[Told, ...]:
    """Return the readings that a row tells; a temperature is one by itself where no other has it."""
    found = [told for told in READINGS if told.slot in amounts]
    if "charger" in words or _CHARGED.slot in amounts:
        found.append(_CHARGED)
    if _WARMTH.slot in amounts and not any(_WARMTH.slot in told.conditions.values() for told in found):
        found.append(_WARMTH)
    return tuple(found)


def events_of(
    amounts: Mapping[str, float], words: Mapping[str, str], *, when: str, measured_at: str, who: str
) -> Iterator[Mapping[str, Any]]:
    """Give the events of one row: `amounts` in base units, `words` with the battery, look, charger, tester, note.

    `when` is the day as it goes into the keys, so that the same row is the same event, whoever brings it in.
    """
    note = words.get("note", "")
    for told in told_by(amounts, words):
        tool = words.get("charger", "") if told is _CHARGED else words.get("tester", "")
        yield _event(told, amounts, words["battery"], tool, note, when) | {"measured_at": measured_at, "who": who}
        note = ""
    if look := words.get("look", ""):
        held = {"kind": str(Kind.LOOKED_OVER), "about": words["battery"], "words": look}
        yield held | {"key": _key(held, when), "measured_at": measured_at, "who": who}
    if note:
        held = {"kind": str(Kind.NOTED), "about": words["battery"], "words": note}
        yield held | {"key": _key(held, when), "measured_at": measured_at, "who": who}


def _event(told: Told, amounts: Mapping[str, float], battery: str, tool: str, note: str, when: str) -> dict[str, Any]:
    found: dict[str, Any] = {"kind": str(told.kind), "about": battery}
    if tool:
        found["tool"] = tool
    if told.slot in amounts:
        found |= {"value": _in_unit(amounts[told.slot], told.unit), "unit": told.unit}
    conditions = {
        name: _in_unit(amounts[slot], name.rpartition("_")[2] if name != "hours" else "h")
        for name, slot in told.conditions.items()
        if slot in amounts
    }
    if conditions:
        found["conditions"] = conditions
    key = _key(found, when)
    return found | {"key": key} | ({"words": note} if note else {})


def _in_unit(amount: float, unit: str) -> float:
    """Bring an amount from its base unit to a record's: only hours differ."""
    return float(f"{amount / _HOUR_S if unit == 'h' else amount:.{_FIGURES}g}")


def _key(held: Mapping[str, Any], when: str) -> str:
    """Return 32 hexadecimal digits, the same for the same reading (source: fips-180-4-memory)."""
    about = "".join(str(held["about"]).casefold().split())
    told = json.dumps(["reading", when, dict(held) | {"about": about}], sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(told.encode()).hexdigest()[:32]
