"""What the rack has to tell by itself: what must not go on, what does not fit, what counts for nothing."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Final

from loomwright.findings import Finding, Place, Severity, by_weight
from loomwright.rack.chargers import ChargerVerdict
from loomwright.rack.charging import most_charge_a
from loomwright.rack.cooling import cool_of
from loomwright.rack.day.practice import usual_practice
from loomwright.rack.fleet import standing
from loomwright.rack.health.result import State as Fitness
from loomwright.rack.physics import rejected
from loomwright.rack.readings import readings_of
from loomwright.records.event import Kind
from loomwright.records.people import plain_name
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.rack.battery import RackBattery
    from loomwright.rack.chargers import ChargerHealth
    from loomwright.rack.health.result import BatteryHealth
    from loomwright.records.batteries import ChargerRecord
    from loomwright.records.fold import State

_IN_USE: Final = ("robot", "charger")


def rack_findings(
    state: State,
    batteries: Sequence[RackBattery],
    health: Sequence[BatteryHealth],
    chargers: Sequence[ChargerHealth],
    unknown_parts: Sequence[str],
    day: float,
) -> tuple[Finding, ...]:
    """Return what is to be told of a rack, the gravest first."""
    pairs = list(zip(batteries, health, strict=True))
    found = [finding for battery, known in pairs for finding in _of_one(battery, known, state, day)]
    found += [finding for charger in state.chargers.values() for finding in _of_charger(charger)]
    found += [*_crowded(batteries), *_chargers(chargers)]
    found += [
        _told("unknown-part", Severity.SHOULD, part, f"There is no part class {part}.", "Describe the battery anew.")
        for part in unknown_parts
    ]
    return tuple(by_weight(found))


def _of_one(battery: RackBattery, known: BatteryHealth, state: State, day: float) -> Iterator[Finding]:
    label, record = battery.label, state.batteries[plain_name(battery.label)]
    where = "in the robot" if battery.place == "robot" else f"on {battery.charger or 'a charger'}"
    if known.verdict.state is Fitness.QUARANTINE and battery.place in _IN_USE:
        what = f"{label} is put aside ({listed([one.words for one in battery.alarms], 'and')}) and is {where}."
        fix = "Stop. Breaker off or charger off, unplug if that is safe, stand clear, fetch the mentor."
        yield _told("quarantined-in-use", Severity.MUST, label, what, fix)
    elif known.verdict.state is Fitness.RETIRE and battery.place in _IN_USE:
        fix = "Take out another one, and hand this one back."
        yield _told("retired-in-use", Severity.SHOULD, label, f"{label} is to be retired and is {where}.", fix)
    if not record.described:
        fix = f"Describe it: loomwright rack add {label} --cycles 0; or take back what was told under a wrong label."
        yield _told("not-added", Severity.SHOULD, label, f"{label} has readings, and nobody put it on the rack.", fix)
    if len({(one.words, one.tool) for one in record.moves}) > 1:
        places = listed([f"{one.words} ({one.who})" for one in record.moves], "and")
        fix = "Look where it is, and say so."
        yield _told(
            "two-places", Severity.SHOULD, label, f"{label} was said to be in two places at once: {places}.", fix
        )
    told = readings_of(record.described)
    for one in (*told, *battery.readings, *battery.charges, *battery.matches):
        if one.rejected:
            what = f"{label}: {one.rejected} It stays in the records and counts for nothing."
            fix = "Describe it anew." if one.kind is Kind.BATTERY else "Measure again and tell the new reading."
            yield _told("reading-rejected", Severity.SHOULD, label, what, fix)
    yield from _too_much(battery, where, day)


def _too_much(battery: RackBattery, where: str, day: float) -> Iterator[Finding]:
    """Tell of heat, and of a charger that is set to more than such a battery takes."""
    label, practice = battery.label, usual_practice()
    if cool_of(battery, practice, day).hot:
        what = f"{label} was hot when it was last read" + (f", and is {where}." if battery.place in _IN_USE else ".")
        severity = Severity.MUST if battery.place in _IN_USE else Severity.SHOULD
        fix = "Breaker off or charger off, let it cool where it harms nobody, read it again; fetch the mentor."
        yield _told("battery-hot", severity, label, what, fix)
    most_a = most_charge_a(battery.of.capacity_ah, practice)
    if battery.place == "charger" and (battery.charging_a or 0.0) > most_a:
        rated = f"{most_a:.2g} A are the most for {battery.of.capacity_ah:g} Ah"
        what = f"{label} is charged at {battery.charging_a:g} A; {rated}."
        yield _told("charged-too-fast", Severity.MUST, label, what, "Charger off, and set it lower.")


def _of_charger(charger: ChargerRecord) -> Iterator[Finding]:
    """Tell of a charger that is too strong, and of descriptions of it that can't be true."""
    for event in charger.described:
        if why := rejected(event):
            fix = f"Describe it anew: loomwright rack add {charger.label} --charger --gentle 2A --fast 6A"
            yield _told("charger-rejected", Severity.SHOULD, charger.label, f"{charger.label}: {why}", fix)
    told, most_a = standing(charger.described), usual_practice().most_a
    if told is not None and told.conditions.get("gentle_a", 0.0) > most_a:
        what = f"{charger.label} gives no less than {told.conditions['gentle_a']:g} A; {most_a:g} A are the most here."
        yield _told("charger-too-strong", Severity.MUST, charger.label, what, "Do not use it for these batteries.")


def _crowded(batteries: Sequence[RackBattery]) -> Iterator[Finding]:
    """Tell where more than one battery was said to be in the robot, or on one charger."""
    spots = Counter(spot for one in batteries if (spot := _spot(one)))
    for spot, count in spots.items():
        if count > 1:
            labels = [one.label for one in batteries if _spot(one) == spot]
            what = f"{listed(labels, 'and')} are said to be {spot}, which holds one."
            yield _told("one-too-many", Severity.SHOULD, labels[0], what, "Look which one it is, and move the others.")


def _spot(battery: RackBattery) -> str:
    if battery.place == "robot":
        return "in the robot"
    return f"on charger {battery.charger}" if battery.place == "charger" else ""


def _chargers(chargers: Sequence[ChargerHealth]) -> Iterator[Finding]:
    for one in chargers:
        if one.verdict is ChargerVerdict.LOW:
            fix = "Check its mode (sealed lead-acid), its plug and its leads, and measure its end voltage with a meter."
            yield _told("charger-ends-low", Severity.SHOULD, one.label, f"{one.label}: {' '.join(one.reasons)}", fix)


def _told(code: str, severity: Severity, label: str, what: str, fix: str) -> Finding:
    return Finding(code, severity, Place(thing=label), what, fix)
