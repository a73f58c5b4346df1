"""Why a battery has its verdict, in plain sentences: its numbers, and the limits with the kind of their source."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.rack.health.capacity import at_usual_current_ah, usual_current_a
from loomwright.rack.health.case import day_words
from loomwright.rack.health.holding import like_a_shorted_cell
from loomwright.rack.health.practice import limit, limit_source, practice
from loomwright.rack.health.replay import LAST, load_fails
from loomwright.rack.health.result import State
from loomwright.records.event import Kind
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.rack.health.case import Case
    from loomwright.rack.health.result import Estimate

_SURELY_LOW_H = (4.0, 96.0)


def reasons(case: Case) -> tuple[str, ...]:
    """Return what the verdict rests on, what weighs most first."""
    return tuple(
        one
        for part in (_alarms, _not_held, _resistance, _far, _while_flat, _capacity, _load_tests)
        for one in part(case)
    )


def notes(case: Case) -> tuple[str, ...]:
    """Return what is worth knowing and decides nothing."""
    return tuple(one for part in (_life, _rest, _unknown_age, _assumed) for one in part(case))


def _alarms(case: Case) -> Iterator[str]:
    for one in sorted(case.battery.alarms, key=lambda look: (look.day, look.key)):
        seen = f"{one.words}, seen by {one.who} on {day_words(one.day)}"
        yield f"Put aside: {seen}. Only a mentor's release ends that."


def _not_held(case: Case) -> Iterator[str]:
    for low in case.standing.lows:
        when = f"on {day_words(low.reading.day)}, {low.since_charge_h or 0.0:.0f} h after a finished charge"
        flat = f"{limit('flat rest'):g} V or less is flat ({limit_source('flat rest')})"
        shorted = ", as if one of its six cells were shorted" if like_a_shorted_cell(low) else ""
        yield f"It rested at {low.rest_v:.2f} V {when}: {flat}. It does not hold its charge{shorted}."


def _resistance(case: Case) -> Iterator[str]:
    of, limits, count = case.battery.of, case.limits, len(case.evidence.seen)
    between = f"between {of.low_a:g} and {of.high_a:g} A, charged and at 25 C"
    if not count:
        yield "Nothing is known of its resistance: no reading with its test currents counts."
        yield f"Its class and the team's other batteries lead to expect {_range(case.ohm, 1000)} milliohm {between}."
        return
    yield f"Resistance {_number(case.ohm, 1000)} milliohm {between}, from {_count(count, 'reading')}."
    bounds = f"good below {limits.good_ohm * 1000:.3g}, not for matches from {limits.match_ohm * 1000:.3g}"
    yield f"Limits: {bounds}, to retire from {limits.retire_ohm * 1000:.3g} milliohm ({limit_source('match ohm')})."
    if limits.scaled:
        yield f"They are told for {limit('class capacity'):g} Ah and scaled to {of.capacity_ah:g} Ah."
    past, done = case.evidence.past[-1]
    if case.standing.by_resistance is State.RETIRE:
        agree = _agree(case, case.evidence.log_retire)
        yield f"The odds that it is past its end are {_percent(done)}, and {agree} agree."
    elif case.standing.by_resistance is State.PRACTICE:
        yield f"{_odds(past)}; below {_percent(_band())} it is for matches again."
    elif case.standing.by_resistance is State.FIT and case.ohm.middle > limits.good_ohm:
        yield "That is marginal: for matches, but not for the one that counts."
    elif case.standing.by_resistance is State.RETEST:
        yield f"{_odds(past)}{_undecided(case, past)}."


def _far(case: Case) -> Iterator[str]:
    """Say that a verdict rests on the usual test currents, where readings or the class have others."""
    of, usual = case.battery.of, (limit("class low current"), limit("class high current"))
    if case.evidence.seen and (of.low_a, of.high_a) != usual:
        told = f"told for {usual[0]:g} and {usual[1]:g} A"
        yield f"The limits are {told} and carried over to {of.low_a:g} and {of.high_a:g} A."
    if far := sum(1 for one in case.evidence.seen if not one.near):
        yield f"{_count(far, 'reading')} at other currents or after a long load decide nothing: too far off."


def _while_flat(case: Case) -> Iterator[str]:
    for one in case.evidence.seen[-LAST:]:
        if not one.charged and one.near and one.as_it_was > case.evidence.log_match:
            when, held = day_words(one.moment.reading.day), f"{100 * one.charge:.0f} %"
            yield f"The high reading of {when} was taken at about {held} of charge: it decides nothing."


def _capacity(case: Case) -> Iterator[str]:
    if not case.evidence.tests:
        return
    of = case.battery.of
    gives = [at_usual_current_ah(share, of) for share in (case.share.middle, case.share.low, case.share.high)]
    tests = _count(len(case.evidence.tests), "test")
    asked = f"at least {case.limits.least_ah:.3g} Ah are asked for ({limit_source('least capacity')})"
    current = f"{usual_current_a(of):.3g} A"
    yield f"Gives {gives[0]:.1f} Ah ({gives[1]:.1f} to {gives[2]:.1f}) at {current}, from {tests}; {asked}."
    if not case.standing.holds:
        yield f"The odds that it holds too little are {_percent(case.evidence.short[-1][0])}."


def _load_tests(case: Case) -> Iterator[str]:
    judged = [fails for one in case.evidence.seen if (fails := load_fails(one, case.limits)) is not None][-LAST:]
    if any(judged):
        load = f"{case.limits.load_a:.3g} A for {limit('load time'):g} s"
        low = f"fell below {limit('load voltage'):g} V ({limit_source('load voltage')})"
        yield f"{sum(judged)} of the last {_count(len(judged), 'load test')} at about {load} {low}."


def _life(case: Case) -> Iterator[str]:
    if case.battery.cycles >= limit("life"):
        yield f"{case.battery.cycles} cycles: about {limit('life'):g} are a life ({limit_source('life')})."


def _rest(case: Case) -> Iterator[str]:
    """Hold the last rest voltage of a charged battery against what it should be."""
    rested = [one for one in case.happened if one.reading.kind is Kind.RESTED]
    if not rested:
        return
    last, (least, most) = rested[-1], _SURELY_LOW_H
    hours, unloaded = last.since_charge_h, last.since_load_h
    if hours is None or not least <= hours <= most or (unloaded is not None and unloaded < hours):
        return
    low, high, value = limit("least rested"), limit("most rested"), last.reading.value or 0.0
    if last in case.standing.lows:
        return  # a reason of the verdict says it
    if not low <= value <= high:
        usual = f"{low:g} to {high:g} V is usual ({limit_source('least rested')})"
        yield f"Rested at {value:.2f} V {hours:.0f} h after a charge: {usual}. Charge it on another charger."


def _unknown_age(case: Case) -> Iterator[str]:
    if case.battery.bought is None and not case.battery.cycles_before:
        yield "Nobody said when it was bought or how many cycles it had before the records: it counts as new then."


def _assumed(case: Case) -> Iterator[str]:
    if case.battery.of.assumed:
        yield f"Its class is assumed in part: {case.battery.of.title}, {case.battery.of.ohm * 1000:.3g} milliohm new."


def _agree(case: Case, bound: float) -> str:
    judged = [one for one in case.evidence.seen if one.judged][-LAST:]
    high = [day_words(one.moment.reading.day) for one in judged if one.log_share > bound]
    return f"the readings of {listed(high, 'and')}"


def _odds(past: float) -> str:
    return f"The odds that it is not for matches are {_percent(past)}"


def _undecided(case: Case, past: float) -> str:
    if past >= practice("sure"):
        return ", but one reading alone decides nothing"
    if past <= _band() and case.evidence.seen[-1].as_it_was > case.evidence.log_match:
        return ", but its last reading is past that limit: no verdict yet"
    return ": too close to call"


def _band() -> float:
    return 1 - practice("sure")


def _number(estimate: Estimate, times: float) -> str:
    return f"{estimate.middle * times:.1f} ({_range(estimate, times)})"


def _range(estimate: Estimate, times: float) -> str:
    return f"{estimate.low * times:.1f} to {estimate.high * times:.1f}"


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _percent(chance: float) -> str:
    return f"{100 * min(max(chance, 0.01), 0.99):.0f} %"
