"""The Ends screen: every end in the order of building, and which one is next."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from loomwright.documents.json.bench import ends_data
from loomwright.proof.as_built.samples import SAMPLES_FIRST, ways
from loomwright.records.ends import Standing
from loomwright.web.views.cards import cards_of
from loomwright.web.views.frame import version_of
from loomwright.web.views.lugs import Data, counts_in_words, looks_of
from loomwright.wording import listed

if TYPE_CHECKING:
    from loomwright.jobs.bench import BenchView
    from loomwright.web.views.drawn import Drawn


def ends_screen(view: BenchView, drawn: Drawn) -> dict[str, Any]:
    """Return what the template of the Ends screen needs."""
    told = ends_data(view.plan, view.groups)
    looks = looks_of(view.plan, told["groups"], unlicensed(view))
    steps = [step for group in told["groups"] for step in group["steps"]]
    next_one = next((step for step in steps if not step["missing"] and any(map(_to_make, step["ends"]))), None)
    for step in steps:
        _dress(step, is_next=step is next_one, looks=looks)
    counts = counts_in_words(told["counts"])
    ahead = {"wires": ", ".join(w["id"] for w in next_one["wires"]), "turn": next_one["turn"]} if next_one else None
    return {
        "groups": told["groups"],
        "looks": looks,
        "counts": counts,
        "ahead": ahead,
        "counts_version": version_of([counts, ahead]),
        "cards": cards_of(view, drawn),
    }


def unlicensed(view: BenchView) -> dict[int, str]:
    """Return why the ends of a card wait, by the number of the card: no sample of its tool has passed yet.

    Nothing where the team has not asked for samples first.
    """
    if view.state.setting(SAMPLES_FIRST) != "on":
        return {}
    told: dict[int, str] = {}
    for way in ways(view.plan, view.state):
        if not way.licensed:
            told |= dict.fromkeys(way.asked.cards, f"Sample crimps first: {way.name}. See the Pull screen.")
    return told


def _to_make(end: Data) -> bool:
    return end["standing"] in (Standing.TO_DO, Standing.REDO) and not end["made_by_file"]


def _is_done(step: Data) -> bool:
    return all(end["done"] for end in step["ends"])


def _dress(step: Data, *, is_next: bool, looks: dict[str, Data]) -> None:
    """Add to a step what only a screen needs."""
    names = [wire["id"] for wire in step["wires"]]
    step["by_wire"] = {name: _both(step, name) for name in names}
    step["done"], step["next"] = _is_done(step), is_next
    step["part"] = f"step {' '.join(names)}"
    step["label"] = f"{', '.join(names)}: {step['work']}"
    step["turn"] = _turn(step)
    step["why"] = list(dict.fromkeys(f"{e['wire']} {e['end']}: {why}" for e in step["ends"] for why in e["why"]))
    step["why"] += [
        f"{e['wire']} {e['end']} has another name on the plan now: a new flag." for e in step["ends"] if e["reflag"]
    ]
    step["version"] = version_of([step, [looks[f"{e['wire']} {e['end']}"] for e in step["ends"]]])


def _both(step: Data, wire: str) -> dict[str, Data | None]:
    """Return both ends of a wire; None for one that comes finished."""
    return {"A": None, "B": None} | {end["end"]: end for end in step["ends"] if end["wire"] == wire}


def _turn(step: Data) -> str:
    """Say what is left to make at a step and which end comes first, in words."""
    left = {end["end"] for end in step["ends"] if _to_make(end)}
    if all(map(_to_make, step["ends"])) and not any(end["standing"] == Standing.REDO for end in step["ends"]):
        first, second = step["first"], step["second"]
        turn = f"End {first} first, then end {second}." if first and second else ""
        return f"{step['work'].capitalize()}. {turn} {step['reminder']}".replace("  ", " ").strip()
    several = len(step["wires"]) > 1
    again = [_named(end, several=several) for end in step["ends"] if end["standing"] == Standing.REDO]
    new = [_named(end, several=several) for end in step["ends"] if _to_make(end) and end["standing"] == Standing.TO_DO]
    told = [f"Make {listed(again, 'and')} again."] if again else []
    told += [f"Make {listed(new, 'and')}."] if new else []
    # What has to be put on before the second end is made is too late once that one is made.
    told += [step["reminder"]] if step["second"] in left else []
    return " ".join(told).strip()


def _named(end: Data, *, several: bool) -> str:
    return f"{end['wire']} {end['end']}" if several else f"end {end['end']}"
