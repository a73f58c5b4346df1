"""Readings of resistance made alike: what the class's two test currents would have shown, charged and at 25 C."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from math import asinh, exp, hypot, log, sqrt
from typing import TYPE_CHECKING, Final

from loomwright.match.of_practice import practice as match_practice
from loomwright.rack.health.practice import limit, practice
from loomwright.rack.health.rest_curve import not_yet_rested, rest_voltage
from loomwright.records.event import Kind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.rack.battery import BatteryClass
    from loomwright.rack.health.charge import Held
    from loomwright.rack.health.timeline import Moment

MEASURED: Final = frozenset({Kind.RESISTANCE, Kind.LOADED, Kind.LOAD_TEST})
_AT_C: Final = 25.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One resistance as a battery showed it [ohm], between two currents [A], after the load was on for some seconds.

    `noise` is the doubt of the reading itself, as a share. `seconds` is None for a tester, which tells what a class's
    resistance means: all that builds up within a second and nothing of what comes later.
    """

    ohm: float
    low_a: float
    high_a: float
    noise: float
    seconds: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Observed:
    """A resistance at the class's test currents, 25 C and full, as the logarithm of its share of the class's own.

    `doubt` is one standard deviation of that, `far` the part of it that comes from carrying it over from other currents
    or a longer load: readings of one way of measuring have that in common. `as_it_was` is the same without what its
    charge at the time explains; `charged` tells whether it was surely charged enough, `charge` how much it held.
    """

    moment: Moment
    log_share: float
    doubt: float
    far: float
    as_it_was: float
    charged: bool
    charge: float
    way: tuple[float, float, float]

    @property
    def near(self) -> bool:
        """Whether it was taken near enough to the class's test currents to be judged by."""
        return self.far <= practice("near enough")

    @property
    def judged(self) -> bool:
        """Whether a verdict may rest on it."""
        return self.charged and self.near


def seen_at(moment: Moment, of: BatteryClass) -> Seen | str:
    """Return the resistance that a reading shows, or why it shows none."""
    reading = moment.reading
    if reading.kind is Kind.RESISTANCE:
        return _tester(moment)
    if reading.value is None:
        return "It has no voltage under load."
    if (load_a := reading.conditions["load_a"]) >= limit("hard load") and reading.value > limit("hard load voltage"):
        most = f"more than {limit('hard load voltage'):g} V"
        return f"{reading.value:.2f} V under {load_a:g} A: no battery shows {most} there. Read load and voltage again."
    if reading.kind is Kind.LOADED and reading.said("other_v") is not None:
        return _two_loads(moment)
    return _load_and_rest(moment, of)


def observed(moment: Moment, seen: Seen, of: BatteryClass, held: Held) -> Observed:
    """Carry a resistance over to the class's currents, to 25 C and to full charge; what is carried far is less sure."""
    at_once = log(shown_share(seen.low_a, seen.high_a, of))
    later = log(shown_share(seen.low_a, seen.high_a, of, seconds=seen.seconds)) - at_once
    far = hypot(practice("far doubt") * at_once, practice("later doubt") * later)
    told_c = moment.reading.said("temperature_c")
    warm = 0.0 if told_c is None else practice("ohm per kelvin") * (_AT_C - told_c)
    flat = log_flat(held.middle)
    doubts = (
        seen.noise,
        practice("climate doubt") * warm if told_c is not None else practice("untold temperature doubt"),
        practice("climate doubt") * flat,
        2 * practice("flat ohm") * (1 - held.middle) * held.doubt,
    )
    as_it_was = log(seen.ohm / of.ohm) - at_once - later - warm
    return Observed(
        moment=moment,
        log_share=as_it_was - flat,
        doubt=hypot(far, *doubts),
        far=far,
        as_it_was=as_it_was,
        charged=held.enough >= practice("surely charged"),
        charge=held.middle,
        way=(seen.low_a, seen.high_a, seen.seconds or 0.0),
    )


def together(seen: Sequence[Observed]) -> tuple[Observed, ...]:
    """Return one battery's readings with what those of one way of measuring have in common counted once.

    Ten readings at the same far currents are wrong together: each gets so much doubt that all of them say no more of
    it than one.
    """
    alike = Counter(one.way for one in seen)
    return tuple(replace(one, doubt=hypot(one.doubt, one.far * sqrt(alike[one.way] - 1))) for one in seen)


def shown_share(low_a: float, high_a: float, of: BatteryClass, *, seconds: float | None = None) -> float:
    """Return what shows between two currents over what shows between the class's own: the match's battery, closed form.

    Activation is a asinh(I/I0), so that small currents show more; a load that is held builds up the slow part too. The
    shares are those of the usual tester's currents: they belong to the cells, whatever a class's part was tested with.
    """
    quick, slow = match_practice("fast share"), match_practice("slow share")
    shown = _at_once(low_a, high_a)
    if seconds is not None:
        shown += quick * (1 - exp(-seconds / match_practice("fast time"))) - quick
        shown += slow * (1 - exp(-seconds / match_practice("slow time")))
    return shown / _at_once(of.low_a, of.high_a)


def class_share(of: BatteryClass) -> float:
    """Return what the class's own test currents show over what the limits' testers do."""
    return 1 / shown_share(limit("class low current"), limit("class high current"), of)


def log_flat(charge: float) -> float:
    """Return the logarithm of what a battery's resistance is higher at a charge than full."""
    return log(1 + practice("flat ohm") * (1 - charge) ** 2)


def _at_once(low_a: float, high_a: float) -> float:
    """Return what shows between two currents within a second, over what shows between the usual tester's."""
    share = match_practice("activation share")
    usual = _chord(match_practice("low test current"), match_practice("high test current"))
    return 1 - share + share * _chord(low_a, high_a) / usual


def _chord(low_a: float, high_a: float) -> float:
    level_a = match_practice("activation current")
    return (asinh(high_a / level_a) - asinh(low_a / level_a)) / (high_a - low_a)


def _tester(moment: Moment) -> Seen | str:
    reading = moment.reading
    low_a, high_a = reading.said("low_a"), reading.said("high_a")
    if low_a is None or high_a is None:
        return (
            "Without its two test currents a resistance tells nothing: the same cell shows 4 times as much at others."
        )
    return Seen(ohm=reading.value or 0.0, low_a=low_a, high_a=high_a, noise=practice("reading noise"))


def _two_loads(moment: Moment) -> Seen | str:
    said = moment.reading.conditions
    one = (said["load_a"], moment.reading.value or 0.0)
    (low_a, high_v), (high_a, low_v) = sorted((one, (said["other_load_a"], said["other_v"])))
    if low_a == high_a or high_v <= low_v:
        return "The two loads show no drop between them."
    return _dropped(high_v - low_v, low_a, high_a, said.get("seconds"), doubt_v=0.0)


def _load_and_rest(moment: Moment, of: BatteryClass) -> Seen | str:
    reading = moment.reading
    own = reading.said("rest_v")
    when = moment if own is not None else moment.rest
    if when is None or (rest_v := own if own is not None else when.reading.value) is None:
        return "A voltage under one load tells a resistance beside a rest voltage only, and none was taken before it."
    above, doubt_v = not_yet_rested(when.since_charge_h, when.since_load_h)
    if when.since_charge_h is None and when.since_load_h is None:
        doubt_v = 0.0  # whatever lay on the surface, nothing speaks for it
    load_a, lasted_s = reading.conditions["load_a"], reading.said("seconds")
    spent = _spent_v(load_a, lasted_s or practice("load seconds"), of.capacity_ah)
    drop_v = rest_v - above - spent - (reading.value or 0.0)
    if drop_v <= practice("voltage noise"):
        return f"{rest_v:.2f} V at rest and {reading.value:.2f} V under load: no drop is left to tell a resistance by."
    return _dropped(drop_v, 0.0, load_a, lasted_s, doubt_v=doubt_v)


def _dropped(drop_v: float, low_a: float, high_a: float, seconds: float | None, *, doubt_v: float) -> Seen:
    """Return the resistance of a drop between two currents that two readings of a meter tell."""
    lasted_s = practice("load seconds") if seconds is None else seconds
    read_v = practice("voltage noise")
    noise = hypot(practice("reading noise"), hypot(read_v, read_v, doubt_v) / drop_v)
    return Seen(ohm=drop_v / (high_a - low_a), low_a=low_a, high_a=high_a, noise=noise, seconds=lasted_s)


def _spent_v(load_a: float, seconds: float, capacity_ah: float) -> float:
    """Return how far a load lowers the rest voltage of a full battery by the charge that it takes [V]."""
    return rest_voltage(1.0) - rest_voltage(1.0 - load_a * seconds / 3600 / capacity_ah)
