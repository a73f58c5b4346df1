"""All batteries of a team at once: readings made alike, levels with their doubt, verdicts."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp
from typing import TYPE_CHECKING

from loomwright.rack.health.asking import ask
from loomwright.rack.health.capacity import Discharged, tested
from loomwright.rack.health.case import Case
from loomwright.rack.health.charge import Held, charge_along
from loomwright.rack.health.levels import Level, Read, Track, levels
from loomwright.rack.health.limits import Limits, limits_of
from loomwright.rack.health.practice import practice
from loomwright.rack.health.replay import Evidence, replayed
from loomwright.rack.health.resistance import MEASURED, Observed, observed, seen_at, together
from loomwright.rack.health.result import BatteryHealth, Estimate, Health, SetAside, State, Verdict
from loomwright.rack.health.supposed import supposed_loss, supposed_ohm
from loomwright.rack.health.timeline import Moment, moments, wear_of
from loomwright.rack.health.words import notes, reasons
from loomwright.rack.health.worth import for_match, worth
from loomwright.records.event import Kind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.rack.battery import RackBattery


@dataclass(frozen=True, slots=True, kw_only=True)
class _Alike:
    """One battery: its readings made alike, those that tell nothing, its charge as if it held what it is rated."""

    battery: RackBattery
    limits: Limits
    happened: tuple[Moment, ...]
    charge: Estimate
    seen: tuple[Observed, ...]
    tests: tuple[Discharged, ...]
    set_aside: tuple[SetAside, ...]


def health_of(batteries: Sequence[RackBattery], now_day: float) -> tuple[BatteryHealth, ...]:
    """Return the health of every battery and what it may be used for, in the order given."""
    alike = [_alike(battery, now_day) for battery in batteries]
    ohms = levels([_ohm_track(one, now_day) for one in alike], supposed_ohm())
    losses = levels([_loss_track(one, now_day) for one in alike], supposed_loss())
    return tuple(_judged(*one, now_day) for one in zip(alike, ohms, losses, strict=True))


def _alike(battery: RackBattery, now_day: float) -> _Alike:
    happened = moments(battery)
    held, charge = charge_along(happened, now_day, battery.of.capacity_ah)
    both = tuple(zip(happened, held, strict=True))
    found = [(moment, _made_alike(moment, full, battery)) for moment, full in both]
    aside = [SetAside(one, one.rejected) for one in battery.readings if one.rejected]
    aside += [SetAside(moment.reading, one) for moment, one in found if isinstance(one, str)]
    return _Alike(
        battery=battery,
        limits=limits_of(battery.of),
        happened=happened,
        charge=charge,
        seen=together([one for _, one in found if isinstance(one, Observed)]),
        tests=tuple(one for _, one in found if isinstance(one, Discharged)),
        set_aside=tuple(sorted(aside, key=lambda one: (one.reading.day, one.reading.key))),
    )


def _made_alike(moment: Moment, held: Held, battery: RackBattery) -> Observed | Discharged | str | None:
    """Return a reading as the others are, or why it tells nothing; None of what tells neither of the two."""
    if moment.reading.kind is Kind.CAPACITY:
        return tested(moment, battery.of, held)
    if moment.reading.kind not in MEASURED:
        return None
    seen = seen_at(moment, battery.of)
    return seen if isinstance(seen, str) else observed(moment, seen, battery.of, held)


def _ohm_track(one: _Alike, now_day: float) -> Track:
    reads = tuple(_read(seen.moment, seen.log_share, seen.doubt) for seen in one.seen)
    return Track(reads=reads, wear=_wear(one, now_day), limits=one.limits.log_shares(one.battery.of))


def _loss_track(one: _Alike, now_day: float) -> Track:
    """Return capacity as a loss, which grows with wear as a resistance does."""
    reads = tuple(_read(test.moment, -test.log_share, test.doubt) for test in one.tests)
    return Track(reads=reads, wear=_wear(one, now_day), limits=(-one.limits.log_least,))


def _read(moment: Moment, log_share: float, doubt: float) -> Read:
    reading = moment.reading
    return Read(day=reading.day, key=reading.key, wear=moment.wear, log_share=log_share, doubt=doubt)


def _wear(one: _Alike, now_day: float) -> float:
    return wear_of(one.battery, now_day, one.battery.cycles - one.battery.cycles_before)


def _judged(one: _Alike, ohm: Level, loss: Level, now_day: float) -> BatteryHealth:
    battery, limits = one.battery, one.limits
    log_match, log_retire = limits.log_shares(battery.of)
    evidence = Evidence(
        log_match=log_match,
        log_retire=log_retire,
        log_least=limits.log_least,
        seen=one.seen,
        past=ohm.above,
        tests=one.tests,
        short=loss.above,
        rests=tuple(moment for moment in one.happened if moment.rest_v is not None),
    )
    case = Case(
        battery=battery,
        limits=limits,
        happened=one.happened,
        evidence=evidence,
        standing=replayed(evidence, limits),
        ohm=_scaled(ohm.now, battery.of.ohm),
        share=Estimate(exp(-loss.now.middle), exp(-loss.now.high), exp(-loss.now.low)),
        now_day=now_day,
    )
    health = _health(one, case, ohm)
    return BatteryHealth(
        health=health,
        verdict=_verdict(case, ohm),
        worth=worth(health, battery.of),
        for_match=for_match(health, battery, now_day),
    )


def _health(one: _Alike, case: Case, ohm: Level) -> Health:
    battery, most = one.battery, practice("most capacity")
    shares = [min(share, most) for share in (case.share.middle, case.share.low, case.share.high)]
    return Health(
        label=battery.label,
        resistance_ohm=case.ohm,
        capacity_ah=Estimate(*(battery.of.capacity_ah * share for share in shares)),
        charge=_charge(one, shares[0] * battery.of.capacity_ah, case.now_day),
        per_cycle=ohm.slope,
        cycles=battery.cycles,
        age_days=None if battery.bought is None else max(case.now_day - battery.bought, 0.0),
        tested=len(one.seen),
        capacity_tested=len(one.tests),
        set_aside=one.set_aside,
        notes=notes(case),
    )


def _charge(one: _Alike, held_ah: float, now_day: float) -> Estimate:
    """Return the charge now, in shares of what a battery really holds where a test has told it."""
    return charge_along(one.happened, now_day, held_ah)[1] if one.tests else one.charge


def _verdict(case: Case, ohm: Level) -> Verdict:
    alarms = case.battery.alarms
    return Verdict(
        state=State.QUARANTINE if alarms else case.standing.state,
        reasons=reasons(case),
        ask=ask(case, ohm),
        since=min(one.day for one in alarms) if alarms else case.standing.since,
    )


def _scaled(estimate: Estimate, by: float) -> Estimate:
    return Estimate(*(by * exp(value) for value in (estimate.middle, estimate.low, estimate.high)))
