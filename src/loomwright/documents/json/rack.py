"""The rack as data for scripts and screens: batteries, chargers, who is next, who charges; stable keys."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.match.verdict import Chance
    from loomwright.rack.battery import RackBattery
    from loomwright.rack.chargers import ChargerHealth
    from loomwright.rack.charging import Charging
    from loomwright.rack.fleet import RackCharger
    from loomwright.rack.health.result import BatteryHealth, Estimate
    from loomwright.rack.next_up import Candidate


@dataclass(frozen=True, slots=True)
class BatteryRisk:
    """A battery's odds of a brown-out in a match, and the lowest voltage of a bad match (5th percentile) [V]."""

    label: str
    brown_out: Chance
    low_v: float


def batteries_data(batteries: Sequence[RackBattery], health: Sequence[BatteryHealth]) -> list[dict[str, Any]]:
    """Return every battery with what is known of it; an estimate has its middle, and where it is with 90 %."""
    return [_battery(battery, known) for battery, known in zip(batteries, health, strict=True)]


def chargers_data(chargers: Sequence[RackCharger], health: Sequence[ChargerHealth]) -> list[dict[str, Any]]:
    """Return every charger with what its charges say of it."""
    return [
        {
            "label": charger.label,
            "gentle_a": charger.gentle_a,
            "fast_a": charger.fast_a,
            "charges": len(charger.charges),
            "verdict": str(known.verdict),
            "reasons": list(known.reasons),
        }
        for charger, known in zip(chargers, health, strict=True)
    ]


def next_data(candidates: Sequence[Candidate]) -> list[dict[str, Any]]:
    """Return the batteries for the next match, the best first."""
    return [
        {
            "label": one.label,
            "verdict": str(one.state),
            "ready": one.ready,
            "charge": _rounded(one.charge),
            "worth": _rounded(one.worth),
            "score": _rounded(one.score),
            "wait_min": one.wait_min,
            "why": list(one.why),
        }
        for one in candidates
    ]


def risk_data(risks: Sequence[BatteryRisk]) -> list[dict[str, Any]]:
    """Return the odds of a brown-out with each battery, with the range that holds them in 95 of 100 studies."""
    return [
        {
            "label": one.label,
            "matches": one.brown_out.of,
            "brown_outs": one.brown_out.count,
            "share_low": _rounded(one.brown_out.span[0]),
            "share_high": _rounded(one.brown_out.span[1]),
            "lowest_5_v": round(one.low_v, 2),
        }
        for one in risks
    ]


def charging_data(charging: Charging, cautions: Sequence[str]) -> dict[str, Any]:
    """Return what goes on which charger now and what does not, with what is said before anybody touches one."""
    put = [
        {
            "battery": one.battery,
            "charger": one.charger,
            "amps": one.amps,
            "fast": one.fast,
            "why": one.why,
            "watched": one.watched,
        }
        for one in charging.put
    ]
    leave = [{"battery": one.battery, "why": one.why} for one in charging.leave]
    return {"put": put, "leave": leave, "cautions": list(cautions)}


def _battery(battery: RackBattery, known: BatteryHealth) -> dict[str, Any]:
    health, verdict = known.health, known.verdict
    return {
        "label": battery.label,
        "class": battery.of.title,
        "cycles": battery.cycles,
        "age_days": None if health.age_days is None else int(health.age_days),
        "place": battery.place,
        "charger": battery.charger,
        "verdict": str(verdict.state),
        "reasons": list(verdict.reasons),
        "ask": verdict.ask,
        "alarms": [one.words for one in battery.alarms],
        "worth": _rounded(known.worth),
        "resistance_ohm": _estimate(health.resistance_ohm, 5),
        "capacity_ah": _estimate(health.capacity_ah, 2),
        "charge": _estimate(health.charge, 3),
        "readings": {"resistance": health.tested, "capacity": health.capacity_tested},
        "set_aside": [{"key": one.reading.key, "why": one.why} for one in health.set_aside],
        "notes": list(health.notes),
    }


def _estimate(one: Estimate, digits: int) -> dict[str, float]:
    return {name: round(float(getattr(one, name)), digits) for name in ("middle", "low", "high")}


def _rounded(share: float) -> float:
    return round(float(share), 3)
