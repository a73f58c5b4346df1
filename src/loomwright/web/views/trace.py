"""The Trace walk: slot by slot, what is really there, beside what the plan says."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from loomwright.proof.slot_map import slot_maps
from loomwright.web.views.frame import version_of

if TYPE_CHECKING:
    from loomwright.jobs.bench import BenchView
    from loomwright.proof.slot_map import SlotLine

#: What a walk says of a slot where nothing has to be written.
AS_PLANNED, EMPTY = "as planned", "empty"


def trace_screen(view: BenchView) -> dict[str, Any]:
    """Return what the template of the Trace screen needs."""
    maps: list[dict[str, Any]] = [
        {"title": f"{held.source}: {held.title}", "slots": [_slot(view, held.source, line) for line in held.lines]}
        for held in slot_maps(view.plan)
    ]
    slots = [slot for held in maps for slot in held["slots"]]
    done = sum(bool(slot["found"]) for slot in slots)
    other = [slot for slot in slots if slot["found"] and slot["differs"]]
    return {"maps": maps, "done": done, "all": len(slots), "other": other, "version": version_of([done, other])}


def _slot(view: BenchView, source: str, line: SlotLine) -> dict[str, Any]:
    about = f"{source} {line.slot}"
    found = view.state.slots.get((view.plan.robot.build, about), ())
    told = [{"who": event.who, "words": event.words, "at": event.measured_at} for event in found]
    planned = "" if line.free else line.load
    words = {event.words for event in found}
    slot = {
        "about": about,
        "label": line.label,
        "planned": planned or "nothing",
        "protection": line.protection,
        "wires": ", ".join(line.wires),
        "free": line.free,
        "found": told,
        "of": " ".join(event.key for event in found),
        "differs": bool(words) and words != {AS_PLANNED} and not (line.free and words == {EMPTY}),
    }
    return {**slot, "version": version_of(slot)}
