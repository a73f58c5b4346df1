"""The Wake-up screen: looks, readings with their bounds, and the first power stage by stage."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Any

from loomwright.documents.json.bench import wake_up_data
from loomwright.proof.as_built.ends import built_ends_of
from loomwright.proof.as_built.verdicts import bounds
from loomwright.proof.as_built.wake_locks import asked_now, before_measuring, before_power
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
    asked = {look.key for look in asked_now(view.wake_up, view.state, build)}
    versions = {
        f"looks {before}": version_of([one for one in told["looks"] if one["before"] == before and one["key"] in asked])
        for before in locks
    }
    return {"wake": told, "locks": locks, "versions": versions, "asked": asked}


def _dress(item: dict[str, Any], row: Measurement, locks: list[str]) -> None:
    """Add to a row what only a screen needs."""
    held = bounds(row)
    item["bounds"] = {
        "low": None if held.low == -inf else held.low if held.low < inf else "Infinity",
        "high": None if held.high == inf else held.high,
        "below": None if held.below == -inf else held.below,
        "above": None if held.above == inf else held.above,
        "unknown": held.unknown,
    }
    item["version"] = version_of([item, bool(locks)])
