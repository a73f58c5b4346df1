"""The verdict on a battery by its readings in order of time, so that it does not swing to and fro with each of them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from loomwright.rack.health.holding import lows_with
from loomwright.rack.health.practice import limit, practice
from loomwright.rack.health.result import State

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.rack.health.capacity import Discharged
    from loomwright.rack.health.limits import Limits
    from loomwright.rack.health.resistance import Observed
    from loomwright.rack.health.timeline import Moment

#: A verdict looks at so many of the last readings, and so many of them have to agree.
LAST: Final = 3
AGREE: Final = 2
_LOAD_NEAR: Final = 1.2
_TIME_NEAR: Final = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What a verdict rests on: readings in order of time, and after each the chance of being past each limit.

    `past` has for every reading of the resistance the chance that it is not for matches and that it is to be retired,
    `short` for every capacity test the chance that it holds too little; each ends with that of now. `rests` are the
    moments at which a rest voltage was read.
    """

    log_match: float
    log_retire: float
    log_least: float
    seen: Sequence[Observed]
    past: Sequence[Sequence[float]]
    tests: Sequence[Discharged]
    short: Sequence[Sequence[float]]
    rests: Sequence[Moment] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where a battery stands: by resistance, by capacity tests (`holds`), by load tests (`stands`); since which day.

    `lows` are the flat rest voltages after as many finished charges that it did not hold.
    """

    by_resistance: State = State.UNMEASURED
    holds: bool = True
    stands: bool = True
    lows: tuple[Moment, ...] = ()
    since: float | None = None

    @property
    def state(self) -> State:
        """What all of it together allows."""
        if self.by_resistance is State.RETIRE or len(self.lows) >= AGREE:
            return State.RETIRE
        if self.lows:
            return State.RETEST
        return self.by_resistance if self.holds and self.stands else State.PRACTICE


def replayed(evidence: Evidence, limits: Limits) -> Standing:
    """Go through the readings in order of time, and return where the battery stands at last."""
    standing = Standing()
    steps = [(one.moment.reading, "seen", k) for k, one in enumerate(evidence.seen)]
    steps += [(one.moment.reading, "test", k) for k, one in enumerate(evidence.tests)]
    steps += [(one.reading, "rest", k) for k, one in enumerate(evidence.rests)]
    for reading, which, k in sorted(steps, key=lambda step: (step[0].day, step[0].key)):
        before, standing = standing.state, _after(standing, evidence, which, k, limits)
        if standing.state is not before:
            standing = replace(standing, since=reading.day)
    return standing


def load_fails(one: Observed, limits: Limits) -> bool | None:
    """Tell whether a load test fell below what a match battery holds; None where it was another load or no full one."""
    reading = one.moment.reading
    seconds, load_a = reading.said("seconds"), reading.said("load_a")
    if reading.kind != "load test" or seconds is None or load_a is None or not one.charged:
        return None
    if not _near(load_a, limits.load_a, _LOAD_NEAR) or not _near(seconds, limit("load time"), _TIME_NEAR):
        return None
    return (reading.value or 0.0) < limit("load voltage")


def _after(standing: Standing, evidence: Evidence, which: str, k: int, limits: Limits) -> Standing:
    """Return where it stands after the reading `k` of one sort."""
    if which == "rest":
        return replace(standing, lows=lows_with(standing.lows, evidence.rests[k]))
    if which == "test":
        return replace(standing, holds=_holds(evidence, k, holds=standing.holds))
    return replace(
        standing,
        by_resistance=_by_resistance(standing.by_resistance, evidence, k, limits),
        stands=_stands(standing.stands, evidence.seen[: k + 1], limits),
    )


def _by_resistance(now: State, evidence: Evidence, k: int, limits: Limits) -> State:
    """Return the next state: to change it the chances have to pass the band, and two of three readings to agree."""
    judged = [one.log_share for one in evidence.seen[: k + 1] if one.judged][-LAST:]
    if _retires(now, evidence, k, judged):
        return State.RETIRE
    worn = _above(judged, evidence.log_match)
    if now is State.RETIRE or (evidence.past[k][0] >= practice("sure") and worn >= AGREE):
        return State.PRACTICE
    fit = evidence.past[k][0] <= 1 - practice("sure")
    if now is State.PRACTICE:
        return State.FIT if fit and len(judged) - worn >= AGREE else now
    if now is State.FIT:
        return State.RETEST if _twice_high_uncharged(evidence.seen[: k + 1], evidence.log_match) else now
    told = evidence.seen[k].near or load_fails(evidence.seen[k], limits) is False
    return _first_judged(evidence, k, fit=fit, judged=len(judged)) if told else now


def _retires(now: State, evidence: Evidence, k: int, judged: Sequence[float]) -> bool:
    """Tell whether it is at its end; once said, two of three readings have to speak against it surely."""
    chance, sure = evidence.past[k][1], practice("sure to retire")
    done = _above(judged, evidence.log_retire)
    if now is State.RETIRE:
        return chance > 1 - sure or len(judged) - done < AGREE
    return chance >= sure and done >= AGREE


def _first_judged(evidence: Evidence, k: int, *, fit: bool, judged: int) -> State:
    """Judge a battery that has no verdict yet: a high reading that its charge or a blunder may explain says nothing."""
    if fit:
        return State.RETEST if evidence.seen[k].as_it_was > evidence.log_match else State.FIT
    if judged < LAST:
        return State.RETEST
    return State.PRACTICE if evidence.past[k][0] >= 1 / 2 else State.FIT


def _twice_high_uncharged(seen: Sequence[Observed], log_match: float) -> bool:
    return len(seen) >= AGREE and all(
        not one.charged and one.near and one.as_it_was > log_match for one in seen[-AGREE:]
    )


def _holds(evidence: Evidence, k: int, *, holds: bool) -> bool:
    judged = [one.log_share for one in evidence.tests[: k + 1] if one.charged][-LAST:]
    low = len(judged) - _above(judged, evidence.log_least)
    short = evidence.short[k][0]
    if holds:
        return not (short >= practice("sure") and low >= AGREE)
    return short <= 1 - practice("sure") and len(judged) - low >= AGREE


def _stands(stands: bool, seen: Sequence[Observed], limits: Limits) -> bool:  # noqa: FBT001  what it was so far
    failed = [fails for one in seen if (fails := load_fails(one, limits)) is not None][-LAST:]
    if stands:
        return sum(failed) < AGREE
    return len(failed) >= AGREE and not any(failed[-AGREE:])


def _above(judged: Sequence[float], bound: float) -> int:
    return sum(1 for one in judged if one > bound)


def _near(value: float, wanted: float, factor: float) -> bool:
    return wanted / factor <= value <= wanted * factor
