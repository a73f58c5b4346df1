"""Refuse a hunt or an observation that makes no sense, with everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from math import isfinite

import numpy as np

from loomwright.hunting.problem import Check, Fault, Hunt, Observation

#: Chances that are further from 1 together are a slip, no rounding.
_NEAR = 1e-6


def refuse(hunt: Hunt) -> None:
    """Refuse a hunt that makes no sense.

    Raises
    ------
    ValueError
        A name twice or unknown, a number outside its range, or chances that are no distribution; all are told.
    """
    _raise([*_faults(hunt), *_checks(hunt), *_changes(hunt), *_chances(hunt)])


def refuse_observations(hunt: Hunt, observations: Sequence[Observation]) -> None:
    """Refuse observations that the hunt does not know.

    Raises
    ------
    ValueError
        An unknown check, outcome or fault, or odds that say nothing; all are told.
    """
    checks = {check.key: check for check in hunt.checks}
    faults = {fault.key for fault in hunt.faults}
    wrong = []
    for place, one in enumerate(observations, start=1):
        found = [f"no check {one.check!r}"] if one.check not in checks else list(_answer(one, checks[one.check]))
        found += [f"no fault {key!r}" for key in one.after if key not in faults]
        wrong += [f"observation {place}: {what}" for what in found]
    _raise(wrong)


def refuse_state(hunt: Hunt, state: str) -> None:
    """Refuse a state of work that no check needs and no change knows.

    Raises
    ------
    ValueError
        The state is not known.
    """
    known = {check.needs for check in hunt.checks} | {end for one in hunt.changes for end in (one.was, one.then)}
    _raise([] if state in known | {""} else [f"no state of work {state!r}: say one of {sorted(known - {''})}"])


def refuse_faults(hunt: Hunt, keys: Collection[str]) -> None:
    """Refuse names of faults that the hunt does not know.

    Raises
    ------
    ValueError
        A fault that is not there; all are told.
    """
    known = {fault.key for fault in hunt.faults}
    _raise([f"no fault {key!r}" for key in keys if key not in known])


def _raise(wrong: list[str]) -> None:
    if wrong:
        raise ValueError("; ".join(wrong))


def _answer(one: Observation, check: Check) -> Iterator[str]:
    if bool(one.outcome) == bool(one.odds):
        yield f"{check.key}: say an outcome, or odds over outcomes, not both"
    for name in [one.outcome] * bool(one.outcome) + [name for name, _ in one.odds]:
        if name not in check.outcomes:
            yield f"{check.key} has no outcome {name!r}: say one of {', '.join(check.outcomes)}"
    yield from _twice(f"{check.key}: outcome", [name for name, _ in one.odds])
    odds = [odds for _, odds in one.odds]
    if odds and not (all(_at_least(0, value) for value in odds) and sum(odds) > 0):
        yield f"{check.key}: odds are 0 or more, and one of them above 0"


def _faults(hunt: Hunt) -> Iterator[str]:
    degrees: dict[str, Fault] = {}
    for fault in hunt.faults:
        if not fault.key:
            yield "a fault has no name"
        first = degrees.setdefault(fault.key, fault)
        if (first.parts, first.repair_s) != (fault.parts, fault.repair_s):
            yield f"fault {fault.key}: its degrees sit in the same parts and are mended in the same time"
        if not _above(0, fault.odds):
            yield f"fault {fault.key}: its odds are {fault.odds:g}, say them above 0"
        if not _above(0, fault.repair_s):
            yield f"fault {fault.key}: its repair takes {fault.repair_s:g} s, say it above 0"
    if not _above(0, hunt.healthy_s):
        yield f"no wiring fault: to settle that takes {hunt.healthy_s:g} s, say it above 0"
    if not _above(0, hunt.healthy_odds):
        yield f"nothing wrong: its odds are {hunt.healthy_odds:g}, say them above 0"
    if not _at_least(0, hunt.other_odds):
        yield f"none of these: its odds are {hunt.other_odds:g}, say them as 0 or more"


def _checks(hunt: Hunt) -> Iterator[str]:
    names = {check.key for check in hunt.checks}
    yield from _twice("check", [check.key for check in hunt.checks])
    for check in hunt.checks:
        if not check.key:
            yield "a check has no name"
        if not _above(0, check.seconds):
            yield f"check {check.key}: it takes {check.seconds:g} s, say it above 0"
        if not 0 < check.misread < 1:
            yield f"check {check.key}: misread is {check.misread:g}, say it above 0 and below 1 (nobody reads for sure)"
        if not check.outcomes or "" in check.outcomes:
            yield f"check {check.key}: name every outcome, at least one"
        yield from _twice(f"check {check.key}: outcome", list(check.outcomes))
        for name in check.plain:
            if name not in check.outcomes:
                yield f"check {check.key}: {name!r} is plain, and none of its outcomes"
        for other in check.spoils:
            if other not in names:
                yield f"check {check.key} spoils {other!r}: no such check"


def _changes(hunt: Hunt) -> Iterator[str]:
    yield from _twice("change", [f"{one.was!r} to {one.then!r}" for one in hunt.changes])
    for one in hunt.changes:
        if not _at_least(0, one.seconds):
            yield f"change {one.was!r} to {one.then!r}: it takes {one.seconds:g} s, say it as 0 or more"


def _chances(hunt: Hunt) -> Iterator[str]:
    widest = max((len(check.outcomes) for check in hunt.checks), default=0)
    shape = (len(hunt.faults) + 1, len(hunt.checks), widest)
    if hunt.chances.ndim != len(shape) or hunt.chances.shape[:2] != shape[:2] or hunt.chances.shape[2] < widest:
        yield f"chances have the shape {hunt.chances.shape}: {shape} is faults and a healthy row, checks, outcomes"
        return
    if not np.isfinite(hunt.chances).all() or (hunt.chances < 0).any():
        yield "chances are no numbers of 0 or more"
        return
    for number, check in enumerate(hunt.checks):
        if hunt.chances[:, number, len(check.outcomes) :].any():
            yield f"check {check.key}: a chance stands at an outcome that it does not have"
    names = ["healthy", *(fault.key for fault in hunt.faults)]
    sums = hunt.chances.sum(axis=2)
    for row, column in np.argwhere(np.abs(sums - 1) > _NEAR):
        yield f"{names[row]}, {hunt.checks[column].key}: chances add up to {sums[row, column]:g}, not to 1"


def _twice(what: str, names: list[str]) -> Iterator[str]:
    yield from (f"{what} {name} is there twice" for name in dict.fromkeys(names) if names.count(name) > 1)


def _above(least: float, value: float) -> bool:
    return isfinite(value) and value > least


def _at_least(least: float, value: float) -> bool:
    return isfinite(value) and value >= least
