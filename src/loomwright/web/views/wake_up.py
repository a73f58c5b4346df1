"""The Wake-up screen: looks, readings with their bounds, and the first power stage by stage."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Any, Final

from loomwright.documents.json.bench import wake_up_data
from loomwright.proof.as_built.ends import built_ends_of
from loomwright.proof.as_built.verdicts import VOLTAGE_THEN, Verdict, bounds
from loomwright.proof.as_built.wake_locks import Moment, asked_now
from loomwright.proof.wake_up_looks import MEASURING, POWER
from loomwright.web.views.frame import version_of

if TYPE_CHECKING:
    from loomwright.jobs.bench import BenchView
    from loomwright.proof.wake_up_result import Measurement

#: A row that says so is done.
_PASSES: Final = (Verdict.GOOD, Verdict.KEPT, Verdict.APPROVED)


def moment(view: BenchView, now: str) -> Moment:
    """Return the Wake-up list beside the records of a view, at a moment [UTC]."""
    return Moment(view.wake_up, view.state, view.plan.robot.build, built_ends_of(view.groups), now)


def wake_screen(view: BenchView, now: str) -> dict[str, Any]:
    """Return what the template of the Wake-up screen needs, as things stand at a moment [UTC]."""
    build = view.plan.robot.build
    told = wake_up_data(moment(view, now))
    locks = told["locks"]
    ahead = _ahead(told, locks)
    here = ahead.get("row", "") if ahead else ""
    by_key = {row.key: row for row in view.wake_up.all_readings}
    for item in told["rows"]:
        _dress(item, by_key[item["key"]], locks["measuring"], here)
    notes = [note for note in view.state.notes if note.build == build]
    for stage in told["stages"]:
        for item in stage["readings"]:
            _dress(item, by_key[item["key"]], locks["power"], here)
        about = f"stage {stage['key']}"
        stage["notes"] = [{"who": note.who, "words": note.words} for note in notes if note.about == about]
        stage["version"] = version_of([stage["notes"], locks["power"]])
    asked = {look.key for look in asked_now(view.wake_up, view.state, build)}
    versions = {
        f"looks {before}": version_of([one for one in told["looks"] if one["before"] == before and one["key"] in asked])
        for before in (MEASURING, POWER)
    }
    power = view.state.power_of(build)
    return {
        "wake": told,
        "ahead": ahead,
        "ahead_version": version_of(ahead),
        # What was told last, not what is so; "" where nobody told anything of power, or two told different things.
        "told": "on" if power.told_on else "off" if power.last else "",
        "locks": locks,
        "locks_told": {name: words for name, words in locks.items() if name != "signing"},
        "voltage_then": VOLTAGE_THEN,
        "versions": versions,
        "asked": asked,
        "answers_of": {look["before"]: " ".join(look["of"]) for look in told["looks"]},
    }


def _ahead(told: dict[str, Any], locks: dict[str, list[str]]) -> dict[str, str] | None:
    """Return what comes next and where: a lock, a row, the breaker; None where all is done."""
    open_row = next((item for item in told["rows"] if item["verdict"] not in _PASSES), None)
    if open_row is not None:
        return _lock("measuring", locks) or _row(open_row)
    open_row = next(
        (item for stage in told["stages"] for item in stage["readings"] if item["verdict"] not in _PASSES), None
    )
    if open_row is None:
        return None
    if found := _lock("power", locks):
        return found
    if not told["power"]["told_on"]:
        return {"where": "#power", "what": "First power", "words": "Say it aloud, then the main breaker goes in."}
    return _row(open_row)


def _lock(before: str, locks: dict[str, list[str]]) -> dict[str, str] | None:
    if not locks[before]:
        return None
    return {"where": f"#lock-{before}", "what": f"Before {before}", "words": locks[before][0]}


def _row(item: dict[str, Any]) -> dict[str, str]:
    verb = "Measure" if item["verdict"] == Verdict.TO_DO else str(item["verdict"]).capitalize()
    words = f"{verb}: {item['what']}"
    return {"where": f"#row-{item['number']}", "what": f"Row {item['number']}", "words": words, "row": item["key"]}


def _dress(item: dict[str, Any], row: Measurement, locks: list[str], ahead: str) -> None:
    """Add to a row what only a screen needs; `ahead` is the key of the row that comes next."""
    item["passes"], item["next"] = item["verdict"] in _PASSES, item["key"] == ahead
    # One row is open at a time, and what needs a word; a tap opens any other.
    item["folded"] = item["passes"] or (item["verdict"] == Verdict.TO_DO and not item["next"])
    held = bounds(row)
    item["bounds"] = {
        "low": None if held.low == -inf else held.low if held.low < inf else "Infinity",
        "high": None if held.high == inf else held.high,
        "below": None if held.below == -inf else held.below,
        "above": None if held.above == inf else held.above,
        "unknown": held.unknown,
    }
    item["version"] = version_of([item, bool(locks)])
