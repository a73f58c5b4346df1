"""The Wake-up screen: looks, readings with their bounds, and the first power stage by stage."""

from __future__ import annotations

from math import isinf
from typing import TYPE_CHECKING, Any

from loomwright.documents.json.bench import wake_up_data
from loomwright.proof.as_built.ends import built_ends_of
from loomwright.proof.as_built.verdicts import bounds
from loomwright.proof.as_built.wake_locks import before_measuring, before_power
from loomwright.web.views.frame import version_of

if TYPE_CHECKING:
    from loomwright.jobs.bench import BenchView
    from loomwright.proof.wake_up_result import Measurement


def wake_screen(view: BenchView) -> dict[str, Any]:
    """Return what the template of the Wake-up screen needs."""
    build = view.plan.robot.build
    told = wake_up_data(view.wake_up, view.state, build)
    locks = {
        "measuring": list(before_measuring(view.wake_up, view.state, build, built_ends_of(view.groups))),
        "power": list(before_power(view.wake_up, view.state, build)),
    }
    by_key = {row.key: row for row in view.wake_up.all_readings}
    for item in told["rows"]:
        _dress(item, by_key[item["key"]], locks["measuring"])
    notes = [note for note in view.state.notes if note.build == build]
    for stage in told["stages"]:
        for item in stage["readings"]:
            _dress(item, by_key[item["key"]], locks["power"])
        about = f"stage {stage['key']}"
        stage["notes"] = [{"who": note.who, "words": note.words} for note in notes if note.about == about]
        stage["version"] = version_of([stage["notes"], locks["power"]])
    versions = {
        f"looks {before}": version_of([one for one in told["looks"] if one["before"] == before]) for before in locks
    }
    return {"wake": told, "locks": locks, "versions": versions}


def _dress(item: dict[str, Any], row: Measurement, locks: list[str]) -> None:
    """Add to a row what only a screen needs."""
    held = bounds(row)
    item["bounds"] = {
        "low": _finite(held.low),
        "high": _finite(held.high),
        "below": _finite(held.below),
        "above": _finite(held.above),
        "unknown": held.unknown,
        "open": isinf(held.low) and held.low > 0,
    }
    item["version"] = version_of([item, bool(locks)])


def _finite(bound: float) -> float | None:
    return None if isinf(bound) else bound
