"""The cards of the Hunt screen: a check to make and its answers, something to mend and what shows that it helped."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Any, Final

from loomwright.hunting.robot.practice import check_kinds, fixes, halt_lengths, work_states
from loomwright.hunting.robot.words import CheckWords, check_words, fault_words
from loomwright.proof.as_built.ends import built_ends_of
from loomwright.web.views.cards import cards_of
from loomwright.web.views.frame import version_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.jobs.bench import BenchView
    from loomwright.jobs.hunt.result import CheckView, FixView
    from loomwright.records.event import Event
    from loomwright.web.views.drawn import Drawn

Data = dict[str, Any]

#: The title of each kind of check; its name stands for what it is about.
_TITLES: Final = {
    "look": "The lights of {about}",
    "run": "Run {about} slowly",
    "drove": "{about} in the match",
    "seen": "{about} on the program's list",
    "halt": "The robot stood still",
    "brown-out": "Brown-out",
    "since hit": "A hit just before",
    "since battery": "Another battery just before",
    "since work": "Work on the wiring just before",
    "smell": "Smell at {about}",
    "breaker": "The breaker of {about}",
    "fuse": "The fuse of {about}",
    "slot": "The slot of {about}",
    "volts": "Volts at {about}",
    "plus": "Volts at {about}, minus at the block",
    "drop": "Volts along {about} while its motor runs",
    "amps": "Amps of {about}",
    "ohms": "Ohms along {about}",
    "across": "Ohms across {about}",
    "rail": "Ohms across the rail of {about}",
    "frame": "Ohms from {about} to the frame",
    "bus": "Ohms across {about}",
    "end": "The terminators of {about}",
    "id": "The number of {about}",
    "tug": "Pull at {about}",
    "wiggle": "Wiggle {about}",
    "flex": "Bend {about}",
    "warm": "How warm is {about}",
    "rest": "The battery at rest",
    "load": "The battery under load",
    "clean": "Under the cover of {about}",
    "lights": "All lights that {about} feeds",
    "list": "The whole list of {about}",
    "mechanism": "Everything of {about} in the match",
    "colours": "The colours of {about}",
    "pull": "Pull at every wire of {about}",
    "shake": "Move every wire of {about}",
    "phases": "Ohms of the three leads of {about}",
}
#: Answers that read better in other words than their own.
_LABELS: Final = {
    ("halt", "none"): "it did not",
    **{("halt", one.outcome): one.words for one in halt_lengths()},
    ("look", "lit"): "lit as always",
    ("look", "odd"): "another colour or blinking",
    ("seen", "seen"): "there",
    ("smell", "burnt"): "burnt: the hunt stops",
}
#: What a state of work is called on a card.
STATES: Final = {
    "any": "Hands off: look and ask",
    "dead": "Power off, plug apart",
    "alive": "Power on, robot disabled",
    "driving": "Power on, one motor runs",
}
#: These are mended without a hand on a wire.
_NO_HANDS: Final = ("factory id", "double id", "software", "off", "flat", "weak")


def check_card(robot: RobotHunt, check: CheckView, *, again: bool = False) -> Data:
    """Return a check as its card shows it."""
    return {"again": again, "seconds": round(check.seconds), **answering(robot, check.key)}


def answering(robot: RobotHunt, key: str) -> Data:
    """Return what a card needs to have a check answered: its words, its outcomes as buttons, its unit."""
    shown = robot.checks[key]
    words, kind = check_words(shown), check_kinds()[shown.kind]
    told = (words.expected, *words.otherwise)
    outcomes = [_outcome(shown.kind, name, text) for name, text in zip(kind.outcomes, told, strict=True)]
    return {
        "key": key,
        "item": key,
        "id": version_of(key),
        "kind": shown.kind,
        "title": title_of(robot, key),
        "how": words.how,
        "state": words.state,
        "expected": _expected(words, outcomes),
        "red": shown.red if shown.black else "",
        "black": shown.black,
        "outcomes": outcomes,
        "unit": shown.scale.unit if shown.scale is not None else "",
        # What a meter that shows no end of ohms tells here.
        "open": shown.scale.outcomes(inf)[0][0] if shown.scale is not None and shown.scale.unit == "ohm" else "",
        "danger": shown.about if shown.kind == "smell" else "",
    }


def title_of(robot: RobotHunt, key: str) -> str:
    """Return the title of a check: "Volts at left wheel, end B"."""
    shown = robot.checks[key]
    about = f"{shown.about[:-2]}, end {shown.about[-1]}" if shown.kind == "volts" else shown.about
    told = _TITLES.get(shown.kind, f"{shown.kind} {{about}}").format(about=about)
    return told[:1].upper() + told[1:]


def fix_card(robot: RobotHunt, fix: FixView, ends: Mapping[str, Data], cards: Mapping[int, Data]) -> Data:
    """Return something to mend as its card shows it; an end with its card and whether it was signed again since."""
    kind = str(robot.faults[fix.fault].kind)
    name = f"{fix.wire} {fix.end}" if fix.end else ""
    end = ends.get(name)
    return {
        "item": f"mend {fix.seat or 'nothing'}",
        "seat": fix.seat,
        "kind": kind,
        "wire": fix.wire,
        "end": fix.end,
        "name": name if end is not None else "",
        "card": cards.get(end["card"]) if end is not None else None,
        "signed": end["signed"] if end is not None else None,
        "waits": bool(end and end["waits"]),
        "words": fix.words,
        "what": fix.what,
        "then": fix.again,
        "percent": percent(fix.probability),
        "minutes": max(1, round(fix.seconds / 60)),
        "state": "any" if kind in _NO_HANDS else "dead",
    }


def mend_of(robot: RobotHunt, fault: str) -> Data:
    """Return how a suspect is mended, for whoever sees it and does not wait."""
    held = robot.faults[fault]
    words = fixes()[held.kind].words.format(seat=held.seat)
    return {
        "seat": held.seat,
        "kind": str(held.kind),
        "wire": held.wire,
        "end": held.end,
        "what": fault_words(robot, fault),
        "words": words,
        "state": "any" if held.kind in _NO_HANDS else "dead",
    }


def ends_by_name(view: BenchView, begun: Event | None) -> dict[str, Data]:
    """Return every end by its name with its card and, if it was made again since a hunt began, by whom."""
    places = view.state.places
    since = places[begun.key] if begun is not None else 0
    found: dict[str, Data] = {}
    for end in built_ends_of(view.groups):
        made = [event for event in end.state.made if places[event.key] >= since]
        found[f"{end.fitted.wire} {end.fitted.end}"] = {
            "card": end.fitted.card,
            "waits": end.waits_for_pull,
            "signed": {"who": made[-1].who, "at": made[-1].measured_at} if made else None,
        }
    return found


def cards_by_number(view: BenchView, drawn: Drawn) -> dict[int, Data]:
    """Return the cards of a plan by their numbers."""
    return {card["number"]: card for card in cards_of(view, drawn)}


def changes() -> dict[str, list[str]]:
    """Return what each state of work asks for, sentence by sentence."""
    return {state: _sentences(asks) for state, (asks, _) in work_states().items()}


def percent(probability: float) -> str:
    """Write a probability for people: "under 1%", "37%", "over 99%"."""
    if probability < 0.01:  # noqa: PLR2004  one in a hundred
        return "under 1%"
    return "over 99%" if probability > 0.99 else f"{probability:.0%}"  # noqa: PLR2004  but one in a hundred


def _outcome(kind: str, name: str, text: str) -> Data:
    about = text.removeprefix(name).removeprefix(": ")
    return {"words": name, "label": _LABELS.get((kind, name), name), "range": about}


def _expected(words: CheckWords, outcomes: Iterable[Data]) -> str:
    first = next(iter(outcomes))
    return first["range"] or (first["label"] if words.expected == first["words"] else words.expected)


def _sentences(text: str) -> list[str]:
    return [f"{one.rstrip('.')}." for one in text.split(". ") if one]
