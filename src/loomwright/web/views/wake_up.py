"""The Wake-up screen: looks, readings with their bounds, and the first power stage by stage."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Any

from loomwright.documents.json.bench import wake_up_data
from loomwright.proof.as_built.ends import built_ends_of
from loomwright.proof.as_built.verdicts import VOLTAGE_THEN, bounds
from loomwright.proof.as_built.wake_locks import Moment, asked_now
from loomwright.proof.wake_up_looks import MEASURING, POWER
from loomwright.web.views.frame import version_of

if TYPE_CHECKING:
    from loomwright.jobs.bench import BenchView
    from loomwright.proof.wake_up_result import Measurement


def moment(view: BenchView, now: str) -> Moment:
    """Return the Wake-up list beside the records of a view, at a moment [UTC]."""
    return Moment(view.wake_up, view.state, view.plan.robot.build, built_ends_of(view.groups), now)


def wake_screen(view: BenchView, now: str) -> dict[str, Any]:
    """Return what the template of the Wake-up screen needs, as things stand at a moment [UTC]."""
    build = view.plan.robot.build
    told = wake_up_data(moment(view, now))
    locks = told["locks"]
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
        for before in (MEASURING, POWER)
    }
    return {
        "wake": told,
        "locks": locks,
        "locks_told": {name: words for name, words in locks.items() if name != "signing"},
        "voltage_then": VOLTAGE_THEN,
        "versions": versions,
        "asked": asked,
        "answers_of": {look["before"]: " ".join(look["of"]) for look in told["looks"]},
    }


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
