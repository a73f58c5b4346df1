"""Current limits that can't work: nothing, more than the breaker bears, the wrong side, switched off, absent."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.rulebook.check import Check
from loomwright.rulebook.holding import holds_s
from loomwright.rulebook.lookup import drives, feeds, told_as
from loomwright.rulebook.parameters import Amount, amount
from loomwright.rulebook.telling import at_device, fault, fault_or_question, guessed, lasting, names
from loomwright.units import Dimension, show

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.device import Device, Limit
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan, PlannedCircuit

_SAME = 1e-6


def _zero(plan: Plan, rule: Rule) -> Iterator[Finding]:
    for device in plan.robot:
        for side in ("supply", "motor"):
            limit = getattr(device.limits, side)
            if limit.value is None or limit.value.hold_a > 0 or device.limits.enabled.value is False:
                continue
            yield fault_or_question(
                rule,
                "limit-zero",
                at_device(device, f"limit.{side}", limit),
                f"The {side}-side limit of {told_as(device)} is 0 A: it would never move, "
                "unless its controller reads 0 A as no limit at all.",
                "Write the limit that is meant, or leave it out if there is none.",
                doubtful=guessed(limit),
            )


def _above_protection(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Find supply-side limits that would open the branch's protection within the time they last."""
    for device, limit, circuit, rating_a in _limited(plan):
        for load in _loads(limit, amount(rule, "hold lasts"), amount(rule, "peak lasts")):
            held = holds_s(
                circuit,
                load.current_a / rating_a,
                bare=amount(rule, "without curve holds"),
                bare_s=amount(rule, "without curve for"),
            )
            if held.seconds >= load.seconds - _SAME:
                continue
            yield fault_or_question(
                rule,
                "limit-above-protection",
                at_device(device, "limit.supply", device.limits.supply),
                f"{told_as(device)} may take {load.words} from the battery, and its {_amps(rating_a)} protection "
                f"holds that for {lasting(held.seconds)}.",
                f"Lower the supply-side limit, or shorten the peak; {_amps(rating_a)} can be held for ever.",
                doubtful=guessed(device.limits.supply),
                rests_on=(*held.rests_on, *load.rests_on),
            )
            break


def _above_rating(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Point out held limits above the rating that the protection bears for a while, but not for ever."""
    for device, limit, circuit, rating_a in _limited(plan):
        if limit.hold_a <= rating_a + _SAME:
            continue
        held = holds_s(
            circuit,
            limit.hold_a / rating_a,
            bare=amount(rule, "without curve holds"),
            bare_s=amount(rule, "without curve for"),
        )
        if held.seconds >= amount(rule, "hold lasts") - _SAME:
            yield fault(
                rule,
                "limit-above-rating",
                at_device(device, "limit.supply", device.limits.supply),
                f"{told_as(device)} may hold {_amps(limit.hold_a)}, above the {_amps(rating_a)} of its protection. "
                f"That opens some time after {lasting(held.seconds)}, sooner when it is hot from the last match.",
                f"Nothing to do if it never pushes that long; else hold {_amps(rating_a)}, and more as a peak.",
                rests_on=held.rests_on,
            )


@dataclass(frozen=True, slots=True)
class _Load:
    """A current [A] that lasts a time [s], in words, with what had to be assumed."""

    current_a: float
    seconds: float
    words: str
    rests_on: tuple[str, ...] = ()


def _loads(limit: Limit, hold_s: float, peak_s: float) -> Iterator[_Load]:
    if limit.peak_a is not None:
        told = limit.peak_s is not None
        lasts_s = limit.peak_s if limit.peak_s is not None else peak_s
        assumed = () if told else (f"a peak whose time is not written, taken as {lasting(peak_s)}",)
        yield _Load(limit.peak_a, lasts_s, f"{_amps(limit.peak_a)} for {lasting(lasts_s)}", assumed)
    yield _Load(limit.hold_a, hold_s, f"{_amps(limit.hold_a)} for as long as it pushes (judged at {lasting(hold_s)})")


def _limited(plan: Plan) -> Iterator[tuple[Device, Limit, PlannedCircuit, float]]:
    """Give the devices with a supply-side limit that is switched on, with their branch and its rating [A]."""
    for device in plan.robot:
        limit = device.limits.supply.value
        if limit is None or device.limits.enabled.value is False:
            continue
        for circuit in feeds(plan, device.id):
            if circuit.protection_a.value:
                yield device, limit, circuit, circuit.protection_a.value


def _sides(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Find a supply-side limit above the motor-side one: supply current is never the larger in steady running."""
    for device in plan.robot:
        supply, motor = device.limits.supply.value, device.limits.motor.value
        if supply is None or motor is None or device.limits.enabled.value is False:
            continue
        if motor.hold_a > 0 and supply.hold_a > motor.highest_a + _SAME:
            yield fault(
                rule,
                "limit-sides-swapped",
                at_device(device, "limit", device.limits.supply, device.limits.motor),
                f"{told_as(device)} has a limit of {_amps(supply.hold_a)} on the supply side and "
                f"{_amps(motor.highest_a)} on the motor side. Supply current never gets above motor current, so "
                "the two look mixed up.",
                "Look in the code which is which; the motor-side limit is usually the larger one.",
            )


def _switched_off(plan: Plan, rule: Rule) -> Iterator[Finding]:
    for device in plan.robot:
        said = [side for side in ("supply", "motor") if getattr(device.limits, side).said]
        if device.limits.enabled.value is False and said:
            yield fault(
                rule,
                "limit-switched-off",
                at_device(device, "limit.enabled", device.limits.enabled),
                f"{told_as(device)} has a {' and a '.join(said)}-side limit that is written but not switched on.",
                "Switch it on in the code, or take the numbers out.",
            )


def _none_at_all(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Tell in one line which drives have no limit on either side; a robot that asks is asked elsewhere."""
    bare = [d for d in plan.robot if drives(d) and _no_limit(d) and feeds(plan, d.id)]
    if bare and not plan.robot.asks:
        yield fault(
            rule,
            "no-limit",
            at_device(bare[0]),
            f"No current limit is written for {names([told_as(d) for d in bare])}.",
            "A supply-side limit spares battery and breaker: `limit: {supply: 40 A, motor: 80 A}`.",
        )


def _no_limit(device: Device) -> bool:
    return device.limits.supply.open_to_decide and device.limits.motor.open_to_decide


def _ramp(plan: Plan, rule: Rule) -> Iterator[Finding]:
    most = amount(rule, "at most")
    for device in plan.robot:
        longest = max((high for _, high in device.ramp.values), default=0.0)
        if longest > most:
            yield fault_or_question(
                rule,
                "ramp-too-long",
                at_device(device, "ramp", device.ramp),
                f"{told_as(device)} takes {lasting(longest)} to reach full output, longer than any mechanism can use.",
                "Look at the unit in the code (seconds, or steps a second?) and write the time that is meant.",
                doubtful=guessed(device.ramp) or device.ramp.asks,
            )


def _amps(current_a: float) -> str:
    return show(current_a, Dimension.CURRENT)


_BARE = {"without curve holds": Amount(Dimension.NUMBER), "without curve for": Amount(Dimension.TIME)}
_LASTS = {"hold lasts": Amount(Dimension.TIME)}
CHECKS = (
    Check("limit not zero", "Whether a current limit is 0 A and switched on.", _zero),
    Check(
        "limit within protection",
        "Whether a supply-side limit opens the branch's own protection within the time it lasts.",
        _above_protection,
        {**_LASTS, "peak lasts": Amount(Dimension.TIME), **_BARE},
    ),
    Check(
        "limit within rating",
        "Whether a held supply-side limit is above the rating, though the protection bears it for a while.",
        _above_rating,
        {**_LASTS, **_BARE},
    ),
    Check("limit sides", "Whether the supply-side and the motor-side limit look mixed up.", _sides),
    Check("limit switched on", "Whether a limit is written but switched off.", _switched_off),
    Check("limit present", "Which drives have no limit at all; one line for the whole robot.", _none_at_all),
    Check(
        "ramp in reason",
        "Whether a ramp is longer than any mechanism can use.",
        _ramp,
        {"at most": Amount(Dimension.TIME)},
    ),
)
