"""Which chargers end low: by the charges that ended on each, the battery's own part taken out."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import erf, sqrt
from typing import TYPE_CHECKING

from loomwright.rack.health.practice import limit, limit_source, practice
from loomwright.rack.health.result import Estimate
from loomwright.records.event import Kind
from loomwright.records.people import plain_name

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from loomwright.rack.battery import RackBattery
    from loomwright.rack.fleet import RackCharger
    from loomwright.rack.health.two_ways import Part

_90 = 1.645


class ChargerVerdict(StrEnum):
    """What is to be thought of a charger."""

    LOW = "ends low"
    USUAL = "nothing unusual"
    UNKNOWN = "too little known"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargerHealth:
    """One charger: the voltage at which it ends with a usual battery (None: never told), verdict, reasons.

    `charges` counts those with a told end voltage, `batteries` the different ones among them.
    """

    label: str
    verdict: ChargerVerdict
    reasons: tuple[str, ...]
    ends_v: Estimate | None
    charges: int
    batteries: int


@dataclass(frozen=True, slots=True)
class _Ended:
    """One charge: which charger and which battery by their place in the team's lists, and the end voltage [V]."""

    charger: int
    battery: int
    volts: float


def charger_health(chargers: Sequence[RackCharger], batteries: Sequence[RackBattery]) -> tuple[ChargerHealth, ...]:
    """Return what the charges tell of each charger, in the order given.

    A battery that ends low on every charger is not the chargers' fault: both are fitted at once.
    """
    places = {plain_name(charger.label): n for n, charger in enumerate(chargers)}
    ended = _ended(places, batteries)
    if not ended:
        return tuple(_unknown(charger.label, ()) for charger in chargers)
    parts = _parts(ended)
    return tuple(
        _judged(charger.label, [one for one in ended if one.charger == n], parts.get(n), len(parts))
        for n, charger in enumerate(chargers)
    )


def _ended(places: Mapping[str, int], batteries: Sequence[RackBattery]) -> list[_Ended]:
    return [
        _Ended(places[plain_name(one.tool)], n, one.value)
        for n, battery in enumerate(batteries)
        for one in battery.charges
        if one.kind is Kind.CHARGED and one.value is not None and not one.rejected and plain_name(one.tool) in places
    ]


def _parts(ended: Sequence[_Ended]) -> dict[int, Part]:
    """Return the part of every charger that charges ended on, by its place."""
    from loomwright.rack.health.two_ways import Spread, parts_of  # noqa: PLC0415  arrays are heavy

    used = sorted({one.charger for one in ended})
    spread = Spread(
        level=practice("charger level"),
        level_doubt=practice("charger level doubt"),
        first_doubt=practice("charger doubt"),
        second_doubt=practice("battery doubt"),
        noise=practice("end noise"),
        tail=practice("tail"),
    )
    found = parts_of([(used.index(one.charger), one.battery, one.volts) for one in ended], len(used), spread)
    return dict(zip(used, found, strict=True))


def _judged(label: str, ended: Sequence[_Ended], part: Part | None, known: int) -> ChargerHealth:
    if part is None:
        return _unknown(label, ended)
    ends_v = Estimate(part.level, part.level - _90 * part.doubt, part.level + _90 * part.doubt)
    counted, on = len(ended), len({one.battery for one in ended})
    if counted < practice("charges needed") or on < practice("batteries needed"):
        return _unknown(label, ended, ends_v)
    told = f"Ends at {ends_v.middle:.2f} V ({ends_v.low:.2f} to {ends_v.high:.2f})"
    told = f"{told} with a usual battery: {counted} charges on {on} batteries."
    reasons = (told, *_low(part, known))
    return ChargerHealth(
        label=label,
        verdict=ChargerVerdict.LOW if len(reasons) > 1 else ChargerVerdict.USUAL,
        reasons=reasons,
        ends_v=ends_v,
        charges=counted,
        batteries=on,
    )


def _low(part: Part, known: int) -> list[str]:
    """Return why a charger ends low: where chargers are known to, or below the team's others; surely enough."""
    sure, found = practice("sure to retire"), []
    if _below(limit("charger low"), part.level, part.doubt) >= sure:
        known_low = f"ending at {limit('charger low'):g} V or less leaves batteries short of full"
        found.append(f"Of chargers it is known that {known_low} ({limit_source('charger low')}).")
    if known > 1 and _below(-practice("charger gap"), part.beside, part.beside_doubt) >= sure:
        found.append(f"That is {-part.beside:.2f} V below the team's other chargers.")
    return found


def _unknown(label: str, ended: Sequence[_Ended], ends_v: Estimate | None = None) -> ChargerHealth:
    counted, on = len(ended), len({one.battery for one in ended})
    needed = f"at least {practice('charges needed'):.0f} charges on {practice('batteries needed'):.0f} batteries tell"
    return ChargerHealth(
        label=label,
        verdict=ChargerVerdict.UNKNOWN,
        reasons=(f"{counted} charges with an end voltage on {on} batteries: {needed} a charger from a battery.",),
        ends_v=ends_v,
        charges=counted,
        batteries=on,
    )


def _below(bound: float, middle: float, doubt: float) -> float:
    """Return how sure it is that something lies below a bound."""
    return 0.5 * (1 + erf((bound - middle) / (doubt * sqrt(2))))
