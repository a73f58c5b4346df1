"""A planned day as data: uses, stints, how good it is, how often it holds; minutes since midnight of its first day."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Final

from loomwright.documents.timeline.cart import cart_steps

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.findings import Finding
    from loomwright.rack.day.more import More
    from loomwright.rack.day.problem import Day
    from loomwright.rack.day.result import DayPlan
    from loomwright.rack.day.slips import Held
    from loomwright.search import Certificate

FORMAT: Final = 1


def day_data(
    robot: str, date: str, day: Day, plan: DayPlan, held: Held | None, more: More | None, findings: Sequence[Finding]
) -> dict[str, Any]:
    """Return a planned day; `date` is its first one, as 2026-02-07.

    `proof` tells of each number what it is and what it can't be below.
    """
    return {
        "format": FORMAT,
        "robot": robot,
        "date": date,
        "holds": plan.holds,
        "worst": round(plan.worst, 3),
        "spare_min": plan.spare_min,
        "swaps": plan.score.swaps,
        "fast_min": plan.score.fast_min,
        "proved": plan.proof.proved,
        "proof": {name: _proof(getattr(plan.proof, name)) for name in _LEVELS},
        "rules": [
            {"rule": one.rule, "worst": one.score.worst / 1000, "short_mah": one.score.short_mah} for one in plan.rules
        ],
        "uses": [
            {
                "match": use.match,
                "at_min": next(match.at_min for match in day.matches if match.name == use.match),
                "battery": use.battery,
                "charge": round(use.charge, 3),
                "worth": round(use.worth, 3),
                "due_min": use.due_min,
                "late_min": use.late_min,
                "short": round(use.short, 3),
                "may": use.may,
            }
            for use in plan.uses
        ],
        "stints": [
            {
                "charger": stint.charger,
                "battery": stint.battery,
                "from_min": stint.from_min,
                "to_min": stint.to_min,
                "amps": stint.amps,
                "fast": stint.fast,
                "charge_from": round(stint.charge_from, 3),
                "charge_to": round(stint.charge_to, 3),
            }
            for stint in plan.stints
        ],
        "steps": [{"at_min": at_min, "words": words} for at_min, words in cart_steps(plan, day, day.begins_min)],
        "slips": _held(held),
        "more": _more(more),
        "findings": [finding.as_dict() for finding in findings],
    }


def day_json(data: dict[str, Any]) -> bytes:
    """Return a planned day as the bytes of out/day.json."""
    return (json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False) + "\n").encode()


def batteries_of_day(text: bytes, date: str) -> dict[str, str]:
    """Return the battery of each match of a day.json; nothing where it is none of ours, or of another date."""
    try:
        told = _ours(text)
        return {str(use["match"]): str(use["battery"]) for use in told["uses"]} if told["date"] == date else {}
    except (ValueError, TypeError, KeyError, RecursionError):
        return {}


def steps_of_day(text: bytes) -> tuple[str, tuple[tuple[int, str], ...]]:
    """Return the date of a day.json and what the cart does, minute by minute; nothing where it is none of ours."""
    try:
        told = _ours(text)
        return str(told["date"]), tuple((int(step["at_min"]), str(step["words"])) for step in told["steps"])
    except (ValueError, TypeError, KeyError, RecursionError):
        return "", ()


def _ours(text: bytes) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(text)
    if told["format"] != FORMAT:
        raise ValueError("a form of another program, or of a later one")
    return told


_LEVELS: Final = ("late", "short", "swaps", "worst", "spare", "gentle")


def _proof(certificate: Certificate) -> dict[str, Any]:
    return {
        "cost": certificate.cost,
        "bound": certificate.bound,
        "unit": certificate.unit,
        "status": certificate.status,
    }


def _held(held: Held | None) -> dict[str, Any] | None:
    if held is None:
        return None
    low, high = held.holds.span
    return {
        "days": held.holds.of,
        "held": held.holds.count,
        "share_low": round(low, 3),
        "share_high": round(high, 3),
        "late": held.late.count,
        "short": held.short.count,
        "worst_5": held.worst_5 / 1000,
    }


def _more(more: More | None) -> dict[str, Any] | None:
    if more is None:
        return None
    return {"batteries": more.batteries, "chargers": more.chargers, "tried": more.tried, "proved": more.proved}
