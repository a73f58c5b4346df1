"""The day: from the rack and a list of matches to a day that is planned, checked and tried with slips."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.rack.charging import most_charge_a
from loomwright.rack.cooling import cool_of
from loomwright.rack.day.practice import usual_practice
from loomwright.rack.day.problem import Day, DayBattery, DayCharger, Match, OnCharger
from loomwright.rack.health.result import State
from loomwright.rack.planning import how_many_more, plan_day, slips_of
from loomwright.records.people import plain_name
from loomwright.search import SILENT, Effort
from loomwright.wording import listed

if TYPE_CHECKING:
    from loomwright.jobs.rack.view import RackView
    from loomwright.rack.battery import RackBattery
    from loomwright.rack.day.more import More
    from loomwright.rack.day.problem import DayPractice
    from loomwright.rack.day.result import DayPlan
    from loomwright.rack.day.slips import Held
    from loomwright.rack.health.result import BatteryHealth
    from loomwright.search import Watch

_DAY_MIN: Final = 1440
#: Taken into a day first; the others only where there is none of these.
_TAKEN: Final = (State.FIT, State.UNMEASURED)
_ELSE: Final = (State.RETEST, State.PRACTICE)
_LEAST_WORTH: Final = 0.05
#: A longer time between two matches is a night [min]; before a day's first match people are there for so long.
_NIGHT_MIN: Final = 360
_ARRIVE_MIN: Final = 120
#: Days as binary fractions are off by less than this [min].
_DUST: Final = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedDay:
    """A day as it was asked, its plan, and what is to be told of both.

    `held` tells how often it holds where matches slip (None: not tried), `more` what would do where it can't hold.
    """

    day: Day
    plan: DayPlan
    findings: tuple[Finding, ...]
    held: Held | None = None
    more: More | None = None


def planned_day(
    view: RackView,
    matches: Sequence[Match],
    *,
    midnight: float,
    now_min: int,
    before: Mapping[str, str] | None = None,
    days: int = 0,
    seed: int = 1,
    effort: Effort = Effort.USUAL,
    watch: Watch = SILENT,
) -> PlannedDay:
    """Plan the matches that are still to come, with the batteries and chargers as the rack knows them now.

    `midnight` is the midnight [days since 1970] that the matches' minutes count from, `now_min` the minute that it is.
    `before` is the plan that people hold in their hands, the battery of each match: as few as possible are swapped.
    The plan is tried on so many `days` that slip at random from a `seed`.

    Raises
    ------
    UnreadableInputError
        Where there is no match to come or no battery to plan with, and for what makes no sense in what was told.
    """
    day, findings = day_of_rack(view, matches, midnight=midnight, now_min=now_min)
    try:
        plan = plan_day(day, effort=effort, watch=watch, before=before)
    except ValueError as error:
        raise UnreadableInputError([_must("no-such-day", f"This day can't be planned: {error}.")]) from error
    return PlannedDay(
        day=day,
        plan=plan,
        findings=(*findings, *plan.findings),
        held=slips_of(day, plan, days=days, seed=seed) if days else None,
        more=None if plan.holds else how_many_more(day),
    )


def day_of_rack(
    view: RackView, matches: Sequence[Match], *, midnight: float, now_min: int
) -> tuple[Day, list[Finding]]:
    """Return the day that is still to come; raises as `planned_day` does."""
    practice = usual_practice()
    coming, findings = _one_day(matches, now_min)
    if not coming:
        fix = "Name them with --at 'Q1 9:05, Q7 10:20', or put the day's list into matches.csv."
        raise UnreadableInputError([_must("no-match-to-come", "No match is still to come.", fix)])
    # Nobody leaves a charger alone: before the first match of a later day there are people for so long.
    now_min = max(
        now_min, coming[0].at_min - practice.lead_min - _ARRIVE_MIN if _later(coming[0], now_min) else now_min
    )
    taken, more = _taken(view)
    chargers, asked = _chargers(view, practice, [battery for battery, _ in taken])
    findings += asked
    if not taken:
        fix = "See `loomwright rack fit`; a battery is put on the rack by `loomwright rack add B1`."
        raise UnreadableInputError([_must("no-battery", "No battery of the rack can be played with.", fix)])
    findings += _occupied(view, {one.label for one, _ in taken})
    last_on = {one.charger: one.label for one, _ in sorted(taken, key=lambda pair: pair[0].there_since or 0.0)}
    batteries = [
        _battery(one, known, last_on.get(one.charger) == one.label, view, chargers, practice, midnight, now_min)
        for one, known in taken
    ]
    inside = [one.label for one, _ in taken if one.place == "robot"]
    day = Day(
        matches=coming,
        batteries=tuple(batteries),
        chargers=tuple(chargers),
        practice=practice,
        begins_min=now_min,
        in_robot=inside[0] if len(inside) == 1 else "",
    )
    return day, [*findings, *more]


def _one_day(matches: Sequence[Match], now_min: int) -> tuple[tuple[Match, ...], list[Finding]]:
    """Return the matches to come until people go home, and tell which of the list are past or of a later day."""
    ordered = sorted(matches, key=lambda match: match.at_min)
    past = [match.name for match in ordered if match.at_min < now_min]
    coming = [match for match in ordered if match.at_min >= now_min]
    gaps = pairwise(coming)
    end = next((n for n, (one, other) in enumerate(gaps, 1) if other.at_min - one.at_min > _NIGHT_MIN), len(coming))
    findings = []
    if past:
        what = f"{listed(past, 'and')}: past by now, and not planned."
        findings.append(
            Finding("match-past", Severity.CONSIDER, Place(thing="day"), what, "Say --now if that is wrong.")
        )
    if later := [match.name for match in coming[end:]]:
        what = f"{listed(later, 'and')}: on a later day, planned when that day comes."
        fix = "Over night charge gently where somebody watches: loomwright rack charge --home"
        findings.append(Finding("match-later", Severity.CONSIDER, Place(thing="day"), what, fix))
    return tuple(coming[:end]), findings


def _later(first: Match, now_min: int) -> bool:
    """Tell whether a match is on another day than now, or after a night."""
    return first.at_min // _DAY_MIN > now_min // _DAY_MIN or first.at_min - now_min > _NIGHT_MIN


def _chargers(
    view: RackView, practice: DayPractice, batteries: Sequence[RackBattery]
) -> tuple[list[DayCharger], list[Finding]]:
    """Return the chargers of which a current is known, and ask for those of the others.

    A current that is too much for the smallest of the batteries is not used; a charger that has no other is left out.
    """
    most_a = min((most_charge_a(one.of.capacity_ah, practice) for one in batteries), default=practice.most_a)
    known = [one for one in view.chargers if one.gentle_a is not None and one.gentle_a <= most_a]
    dumb = [one.label for one in view.chargers if one.gentle_a is None]
    asked = [
        Finding(
            "charger-current-unknown",
            Severity.SHOULD,
            Place(thing=label),
            f"Nobody said at which current {label} charges; the day is planned without it.",
            f"Say it: loomwright rack add {label} --charger --gentle 2A --fast 6A",
            asks=True,
        )
        for label in dumb
    ]
    strong = [one.label for one in view.chargers if max(one.gentle_a or 0.0, one.fast_a or 0.0) > most_a]
    if strong:
        what = f"{listed(strong, 'and')}: more than {most_a:.2g} A is too much for these batteries, and is not used."
        fix = "Set them lower; the smallest battery decides."
        asked.append(Finding("charger-strong", Severity.CONSIDER, Place(thing=strong[0]), what, fix))
    made = [
        DayCharger(
            label=one.label,
            gentle_a=one.gentle_a or 0.0,
            fast_a=one.fast_a if one.fast_a and (one.gentle_a or 0.0) < one.fast_a <= most_a else None,
        )
        for one in known
    ]
    return made, asked


def _occupied(view: RackView, taken: set[str]) -> list[Finding]:
    """Tell of chargers that hold a battery which the day does not play: it reckons with them as free."""
    return [
        Finding(
            "charger-occupied",
            Severity.SHOULD,
            Place(thing=one.charger),
            f"{one.charger} holds {one.label}, which this day does not play; the day needs the charger.",
            f"Charger off, take {one.label} off it, and say where it is: "
            f"loomwright rack move {one.label} {'quarantine' if one.alarms else 'rack'}",
        )
        for one in view.batteries
        if one.place == "charger" and one.label not in taken
    ]


def _taken(view: RackView) -> tuple[list[tuple[RackBattery, BatteryHealth]], list[Finding]]:
    """Return the batteries that a day may be played with; where none is fit, the others, and say so."""
    here = [
        (battery, known)
        for battery, known in zip(view.batteries, view.health, strict=True)
        if battery.place not in ("away", "quarantine") and battery.added
    ]
    good = [pair for pair in here if pair[1].verdict.state in _TAKEN]
    fallback = [pair for pair in here if pair[1].verdict.state in _ELSE]
    unmeasured = [battery.label for battery, known in good if known.verdict.state is State.UNMEASURED]
    findings = []
    if unmeasured:
        what = f"{listed(unmeasured, 'and')}: not measured yet; the day takes them for what their class usually is."
        fix = f"Measure: loomwright rack reading {unmeasured[0]} --resistance 13.2mohm --between 1A,18A --rest 12.8V"
        findings.append(
            Finding("battery-unmeasured", Severity.SHOULD, Place(thing=unmeasured[0]), what, fix, asks=True)
        )
    if good and fallback:
        words = listed([f"{battery.label} ({known.verdict.state})" for battery, known in fallback], "and")
        fix = "See `loomwright rack fit`: a reading may bring them back."
        findings.append(Finding("not-in-the-day", Severity.SHOULD, Place(thing="day"), f"Not planned: {words}.", fix))
    if not good and fallback:
        labels = listed([battery.label for battery, _ in fallback], "and")
        what = f"No battery is fit for a match. The day is planned with {labels}, which had better not be played."
        findings.append(_must("no-fit-battery", what, "Borrow or buy batteries, or re-test these after a full charge."))
    return good or fallback, findings


def _battery(
    battery: RackBattery,
    known: BatteryHealth,
    last_on: bool,  # noqa: FBT001  whether no other one was put on its charger after it
    view: RackView,
    chargers: Sequence[DayCharger],
    practice: DayPractice,
    midnight: float,
    now: int,
) -> DayBattery:
    cool = cool_of(battery, practice, view.day)
    ready, free = _minute(cool.use_from, midnight), _minute(cool.charge_from, midnight)
    if battery.place == "robot":
        free = max(free, now + practice.cool_before_min)
    if cool.hot:
        ready, free = (max(at, now + practice.cool_before_min) for at in (ready, free))
    return DayBattery(
        label=battery.label,
        health=min(1.0, max(_LEAST_WORTH, known.worth)),
        capacity_ah=battery.of.capacity_ah,
        charge=min(1.0, max(0.0, known.health.charge.middle)),
        free_min=free,
        ready_min=ready,
        on=_on(battery, chargers, now, midnight) if last_on else None,
    )


def _on(battery: RackBattery, chargers: Sequence[DayCharger], now: int, midnight: float) -> OnCharger | None:
    """Return the charger that a battery sits on, at the current that is nearest to the one it was put there with."""
    if battery.place != "charger" or battery.there_since is None:
        return None
    charger = next((one for one in chargers if plain_name(one.label) == plain_name(battery.charger)), None)
    if charger is None:
        return None
    wanted = battery.charging_a if battery.charging_a is not None else charger.gentle_a
    amps = min(charger.currents_a, key=lambda one: abs(one - wanted))
    since = min(now, _minute(battery.there_since, midnight))
    return OnCharger(charger=charger.label, amps=amps, from_min=since)


def _minute(day: float, midnight: float) -> int:
    """Return the minute since a midnight that a moment is in; one long ago counts as that midnight."""
    return int((day - midnight) * _DAY_MIN + _DUST) if day > midnight else 0


def _must(code: str, what: str, fix: str = "Put it right and plan the day again.") -> Finding:
    return Finding(code, Severity.MUST, Place(thing="day"), what, fix)
