"""The Pull screen: the ends that wait for somebody else's hand, in the order of building."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from loomwright.documents.json.bench import ends_data
from loomwright.proof.as_built.samples import Way, ways
from loomwright.proof.pulls import HAND_CARE, SAMPLE_CARE, ByHand, why_so_many
from loomwright.records.crimps import Outcome
from loomwright.records.ends import Standing
from loomwright.web.views.cards import cards_of
from loomwright.web.views.frame import version_of
from loomwright.web.views.lugs import STANDINGS, Data, looks_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.jobs.bench import BenchView
    from loomwright.web.views.drawn import Drawn

_WAITS = (Standing.MADE, Standing.PULLED_ALONE)


def pull_screen(view: BenchView, drawn: Drawn) -> dict[str, Any]:
    """Return what the template of the Pull screen needs."""
    told = ends_data(view.plan, view.groups)
    looks = looks_of(view.plan, told["groups"])
    waiting = [{"title": group["title"], "ends": held} for group in told["groups"] if (held := list(_waiting(group)))]
    samples = [_way(way) for way in ways(view.plan, view.state)]
    return {
        "care": HAND_CARE,
        "sample_care": SAMPLE_CARE,
        "why_so_many": why_so_many(),
        "samples": samples,
        "samples_version": version_of(samples),
        "waiting": waiting,
        "looks": looks,
        "cards": cards_of(view, drawn),
        "version": version_of([waiting, [looks[item["name"]] for group in waiting for item in group["ends"]]]),
    }


def _way(way: Way) -> Data:
    """Return one way of crimping with what was pulled of it."""
    asked, last, held = way.asked, way.verdicts[-1] if way.verdicts else None, way.open_set
    words = (
        [f"{asked.force_n:.0f} N ({asked.force_lbf:.0f} lbf), {asked.scale_kg:.1f} kg on a scale"]
        if asked.force_n
        else []
    )
    words += [f"for {asked.hold_s:.0f} s"] if asked.force_n and asked.hold_s else []
    return {
        "name": way.name,
        "asked": ", ".join(words) or "no force is known",
        "force_n": asked.force_n,
        "notes": asked.notes,
        "ends": asked.ends,
        "count": asked.count,
        "licensed": way.licensed,
        "sets": [
            {"what": verdict.what, "fix": verdict.fix, "outcome": str(verdict.outcome), "beside": verdict.beside}
            for verdict in way.verdicts
        ],
        "failed": last is not None and last.outcome is Outcome.FAILS,
        "open": held.begun.key if held is not None else "",
        "left": int(held.begun.value or 0) - len(held.pulls) if held is not None else 0,
        "of": [one.begun.key for one in way.sets[-1:]],
    }


def _waiting(group: Data) -> Iterator[Data]:
    for step in group["steps"]:
        wires = {wire["id"]: wire for wire in step["wires"]}
        for end in step["ends"]:
            if end["standing"] in _WAITS and not end["made_by_file"]:
                who = " and ".join(event["who"] for event in end["made"])
                alone = f"; {STANDINGS[Standing.PULLED_ALONE]}" if end["standing"] == Standing.PULLED_ALONE else ""
                yield {
                    "name": f"{end['wire']} {end['end']}",
                    "end": end,
                    "step": step,
                    "wire": wires[end["wire"]],
                    "what": "Pull." if end["by_hand"] == ByHand.PULL else "Look, don't pull.",
                    "made": f"Made by {who}{alone}.",
                    "at": end["made"][-1]["measured_at"],
                }
