"""Batteries and what is known of them for tests, made with few words."""

from __future__ import annotations

from loomwright.rack.battery import RackBattery, class_of
from loomwright.rack.health.result import BatteryHealth, Estimate, ForMatch, Health, State, Verdict
from loomwright.rack.readings import readings_of
from loomwright.records.event import Kind
from tests.records.events import NOON, event

NOW = 20491.5
"""2026-02-07 at noon, in days since 1970."""


def battery(label: str, *, place: str = "rack", charger: str = "", minutes_ago: float = 600) -> RackBattery:
    """Return a battery that was put where it is so long ago."""
    since = NOW - minutes_ago / 1440
    return RackBattery(label=label, of=class_of(None), place=place, charger=charger, there_since=since)


def known(
    label: str, *, state: State = State.FIT, charge: float = 1.0, worth: float = 1.0, reason: str = "measured"
) -> BatteryHealth:
    """Return what is known of it."""
    sure = Estimate(charge, charge - 0.05, min(1.0, charge + 0.05))
    ohm, ah = Estimate(0.012, 0.011, 0.013), Estimate(17.0, 16.0, 18.0)
    health = Health(
        label=label, resistance_ohm=ohm, capacity_ah=ah, charge=sure, per_cycle=Estimate(0, 0, 0), cycles=10, tested=3
    )
    one = (1.0, 1.1)
    for_match = ForMatch(ohm=one, capacity=one, charge=(sure.low, sure.high), air_c=(18, 30))
    verdict = Verdict(state=state, reasons=(reason,))
    return BatteryHealth(health=health, verdict=verdict, worth=worth, for_match=for_match)


def charged(label: str, minutes_ago: float, amps: float) -> RackBattery:
    """Return a battery whose charge ended so long ago."""
    ended = event(1, Kind.CHARGED, about=label, tool="C1", conditions={"amps": amps}, measured_at=stamp(minutes_ago))
    return RackBattery(label=label, of=class_of(None), place="rack", charges=readings_of([ended]))


def stamp(minutes_ago: float) -> str:
    """Return a moment so long before noon."""
    before = 12 * 60 - minutes_ago
    return NOON.replace("12:00:00", f"{int(before // 60):02}:{int(before % 60):02}:00")
