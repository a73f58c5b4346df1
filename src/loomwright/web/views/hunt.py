"""The Hunt screen: what is seen, what to check next and how, what may be wrong, what to mend, and how it ended."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from loomwright.jobs.hunt.result import TWO_LIKELY
from loomwright.records.hunts import DANGERS, HUNT_ENDS
from loomwright.web.views.frame import version_of
from loomwright.web.views.hunt_cards import (
    STATES,
    answering,
    cards_by_number,
    changes,
    check_card,
    ends_by_name,
    fix_card,
    mend_of,
    percent,
)
from loomwright.web.views.hunt_start import start_groups

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.jobs.bench import BenchView
    from loomwright.jobs.hunt.at_bench import HuntSeen
    from loomwright.jobs.hunt.result import AnswerView, CheckView, HuntView, SuspectView
    from loomwright.records.event import Event
    from loomwright.records.fold import State
    from loomwright.records.hunts import HuntRecord
    from loomwright.web.views.drawn import Drawn

Data = dict[str, Any]

#: So many suspects are shown unfolded.
_UNFOLDED = 3
_BAR = 100
_AFTER_HANDS = ("dead", "any", "alive", "driving")


def hunt_screen(bench: BenchView, seen: HuntSeen, drawn: Drawn) -> Data:
    """Return what the template of the Hunt screen needs."""
    hunts = bench.state.hunts.get(bench.plan.robot.build, ())
    now = _now(bench.state.dangers, bench.state.hunt(bench.plan.robot.build))
    told: Data = {
        "now": now,
        "dangers": DANGERS,
        "ends_with": HUNT_ENDS,
        "states": STATES,
        "changes": changes(),
        "edition": bench.edition,
        "why": seen.why,
        "groups": [],
        "items": [],
        "found": False,
        "helped": "",
        "helped_waits": [],
        "suspects": [],
        "two": "",
        "unfolded": _UNFOLDED,
        "answers": [],
        "doubt": "",
        "others": [],
        "last": _last(bench.state, hunts),
        "places": sorted(device.id for device in bench.plan.robot),
    }
    if seen.robot is not None and seen.view is not None:
        told["groups"] = start_groups(seen.robot)
        if not seen.view.dangers:
            told |= _standing(bench, seen.robot, seen.view, drawn)
            told["others"] = _others(hunts, seen.view.hunt)
    told["phase"] = _phase(told)
    told["versions"] = {
        "now": version_of([now, told["phase"]]),
        "next": version_of([told["items"], told["helped"], told["phase"], told["last"], told["why"]]),
        "suspects": version_of([told["suspects"], told["two"]]),
        "answers": version_of([told["answers"], told["doubt"], told["others"]]),
    }
    return told


def _phase(told: Data) -> str:
    """Return how far the hunt is: "stop", "none" (there can be none), "start" or "hunt"."""
    if told["now"]["dangers"]:
        return "stop"
    if told["why"]:
        return "none"
    return "hunt" if told["answers"] else "start"


def _now(dangers: Sequence[Event], hunt: HuntRecord | None) -> Data:
    """Return what an event of the hunt has to name, and the dangers that nobody has cleared, of whatever hunt."""
    of = list(dict.fromkeys(key for event in dangers for key in (*event.of, event.key)))
    return {
        "hunt": hunt.key if hunt is not None else "",
        "begun": {"who": hunt.begun.who, "at": hunt.begun.measured_at} if hunt is not None else None,
        "mended": [event.key for event in hunt.mended] if hunt is not None else [],
        "last": _mended_last(hunt),
        "dangers": [
            {"words": event.words, "about": event.about, "who": event.who, "at": event.measured_at} for event in dangers
        ],
        "clears": of,
    }


def _mended_last(hunt: HuntRecord | None) -> Data:
    """Return what was mended last, as the end of a hunt names it."""
    if hunt is None or not hunt.mended:
        return {"about": "", "wire": "", "end": ""}
    last = hunt.mended[-1]
    return {"about": last.about, "wire": last.wire, "end": last.end}


def _standing(bench: BenchView, robot: RobotHunt, view: HuntView, drawn: Drawn) -> Data:
    """Return what there is to do, what may be wrong and what was answered."""
    hunt = view.hunt
    ends = ends_by_name(bench, hunt.begun if hunt is not None else None)
    cards = cards_by_number(bench, drawn) if any(fix.end for fix in view.fixes) else {}
    again = {check.key: check_card(robot, check, again=True) for check in sorted(view.again, key=_in_reach)}
    checks = {check.key: check_card(robot, check) for check in _new_first(view)}
    fixes = [fix_card(robot, fix, ends, cards) for fix in view.fixes]
    return {
        # What helped comes alone: whoever still sees trouble tells it, and then there is more to do.
        "items": []
        if view.helped
        else [*again.values(), *fixes, *(card for key, card in checks.items() if key not in again)],
        "found": view.found,
        "helped": view.helped,
        "helped_waits": [name for name in ends if ends[name]["waits"] and name == view.helped],
        "suspects": list(_suspects(robot, view.suspects)),
        "two": percent(view.two) if view.two >= TWO_LIKELY else "",
        "answers": list(_answers(robot, hunt, view.answers)) if hunt is not None else [],
        "doubt": view.doubt,
    }


def _in_reach(check: CheckView) -> int:
    """Sort checks by their state of work: hands were on wires just now, so power stays off first."""
    return _AFTER_HANDS.index(check.words.state)


def _new_first(view: HuntView) -> list[CheckView]:
    """Return the next checks, those last that were answered already and are not in doubt."""
    sure = {one.check for one in view.answers} - {one.check for one in view.answers if one.doubtful}
    return sorted(view.checks, key=lambda check: check.key in sure)


def _suspects(robot: RobotHunt, suspects: Iterable[SuspectView]) -> Iterator[Data]:
    for one in suspects:
        alone = one.faults[0] if len(one.seats) == 1 and not one.other and one.faults else ""
        yield {
            "words": one.words[:1].upper() + one.words[1:],
            "percent": percent(one.probability),
            "bar": round(max(1.0, one.probability * _BAR), 1),
            "because": one.because,
            "raised": list(one.raised),
            "mend": mend_of(robot, alone) if alone else None,
            "name": version_of([one.seats, one.other]),
        }


def _answers(robot: RobotHunt, hunt: HuntRecord, answers: Iterable[AnswerView]) -> Iterator[Data]:
    at = {event.key: event.measured_at for event in hunt.observations}
    for one in answers:
        yield {
            "key": one.key,
            "words": one.words,
            "who": one.who,
            "at": at.get(one.key, ""),
            "doubtful": one.doubtful,
            "refused": one.refused,
            "again": answering(robot, one.check) if one.check in robot.checks else None,
        }


def _others(hunts: Iterable[HuntRecord], hunt: HuntRecord | None) -> list[Data]:
    """Return the other hunts that are open: two phones may each have begun one."""
    return [
        {
            "key": other.key,
            "who": other.begun.who,
            "at": other.begun.measured_at,
            "answers": [
                {"about": one.about, "words": one.words}
                | ({"value": one.value, "unit": one.unit} if one.value is not None else {})
                for one in other.observations
            ],
        }
        for other in hunts
        if other.open and hunt is not None and other.key != hunt.key
    ]


def _last(state: State, hunts: Iterable[HuntRecord]) -> Data | None:
    """Return how the last hunt ended."""
    ended = [hunt.ended for hunt in hunts if hunt.ended is not None]
    last = max(ended, key=lambda event: state.places[event.key], default=None)
    return None if last is None else {"words": last.words, "about": last.about, "who": last.who, "at": last.measured_at}
