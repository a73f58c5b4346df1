"""A hunt as data for scripts: stable keys, no clock times."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from loomwright.jobs.hunt.result import AnswerView, CheckView, FixView, HuntView, SuspectView
    from loomwright.plan.result import Plan
    from loomwright.records.event import Event
    from loomwright.records.hunts import HuntRecord

_DIGITS = 4


def hunt_data(plan: Plan, view: HuntView, written: int, *, must_fix: bool) -> dict[str, Any]:
    """Return everything of a hunt; `written` is how many events this command wrote down."""
    return {
        "format": 1,
        "robot": plan.robot.name,
        "build": plan.robot.build,
        "revision": plan.revision,
        "written": written,
        "must_fix": must_fix,
        "hunt": None if view.hunt is None else _hunt(view.hunt),
        "dangers": [_event(one) for one in view.dangers],
        "suspects": [_suspect(one) for one in view.suspects],
        "again": [_check(one) for one in view.again],
        "checks": [_check(one) for one in view.checks],
        "fixes": [_fix(one) for one in view.fixes],
        "found": view.found,
        "helped": view.helped,
        "answers": [_answer(one) for one in view.answers],
        "doubt": view.doubt,
        "state": view.state or "any",
        "two": round(view.two, 6),
    }


def _hunt(hunt: HuntRecord) -> dict[str, Any]:
    return {
        "key": hunt.key,
        "words": hunt.begun.words,
        "who": hunt.begun.who,
        "mended": [_event(one) for one in hunt.mended],
    }


def _event(event: Event) -> dict[str, Any]:
    return {"key": event.key, "about": event.about, "words": event.words, "who": event.who}


def _suspect(one: SuspectView) -> dict[str, Any]:
    return {
        "seats": list(one.seats),
        "any_of": one.any_of,
        "faults": list(one.faults),
        "words": one.words,
        "probability": round(one.probability, _DIGITS),
        "because": one.because,
        "raised": list(one.raised),
        "wires": list(one.wires),
        "devices": list(one.devices),
        "other": one.other,
    }


def _check(one: CheckView) -> dict[str, Any]:
    return {
        "key": one.key,
        "how": one.words.how,
        "place": one.words.place,
        "state": one.words.state,
        "asks": one.words.asks,
        "seconds": one.seconds,
        "unit": one.unit,
        "expected": one.words.expected,
        "otherwise": list(one.words.otherwise),
        "outcomes": [
            {"outcome": name, "chance": round(chance, _DIGITS), "leaves": leaves}
            for name, chance, leaves in one.outcomes
        ],
        "wires": list(one.wires),
        "devices": list(one.devices),
    }


def _fix(one: FixView) -> dict[str, Any]:
    return {
        "seat": one.seat,
        "fault": one.fault,
        "what": one.what,
        "words": one.words,
        "again": one.again,
        "seconds": one.seconds,
        "probability": round(one.probability, _DIGITS),
        "wire": one.wire,
        "end": one.end,
    }


def _answer(one: AnswerView) -> dict[str, Any]:
    return {
        "key": one.key,
        "check": one.check,
        "words": one.words,
        "who": one.who,
        "doubtful": one.doubtful,
        "refused": one.refused,
    }
