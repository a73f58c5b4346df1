"""The Rack screen: which battery is next, the chargers, and every battery with what is known of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, Final

from loomwright.documents.json.rack import batteries_data, charging_data, next_data
from loomwright.rack.cautions import cautions
from loomwright.rack.charging import charging_now
from loomwright.rack.cooling import cool_of
from loomwright.rack.day.practice import usual_practice
from loomwright.rack.next_up import next_up
from loomwright.records.people import plain_name
from loomwright.records.rack_kinds import LOOKS
from loomwright.web.views.frame import version_of

if TYPE_CHECKING:
    from loomwright.jobs.rack.view import RackView
    from loomwright.rack.battery import RackBattery
    from loomwright.rack.chargers import ChargerHealth
    from loomwright.rack.fleet import RackCharger
    from loomwright.records.fold import State

#: The shape of each verdict, and the sign in it: shapes first, colour second.
_SIGNS: Final = {
    "fit": "\N{CHECK MARK}",
    "practice only": "P",
    "re-test": "?",
    "retire": "\N{MULTIPLICATION SIGN}",
    "quarantine": "!",
    "unmeasured": "\N{HORIZONTAL ELLIPSIS}",
}
#: What is told of each place.
_PLACES: Final = {
    "rack": "on the rack",
    "robot": "in the robot",
    "cooling": "cooling",
    "quarantine": "in quarantine",
    "away": "away",
    "": "nobody said where",
}
#: Where a battery may be put with a tap; one that was put aside goes nowhere near a robot.
_MOVES: Final = (("robot", "In the robot"), ("cooling", "Out, cooling"), ("rack", "On the rack"), ("away", "Away"))
_MOVES_ASIDE: Final = (("quarantine", "In quarantine"), ("away", "Away"))
_DAY_S: Final = 86400.0


def rack_screen(view: RackView, steps: Sequence[tuple[int, str]] = ()) -> dict[str, Any]:
    """Return what the template of the Rack screen needs; moments are told in UTC, the phone shows its own clock.

    `steps` are what the cart does today, each with its minute of the laptop's day.
    """
    practice, state = usual_practice(), view.state
    candidates = next_data(next_up(view.batteries, view.health, practice, view.day))
    charging = charging_data(
        charging_now(view.batteries, view.health, view.chargers, practice, view.day), cautions("charging")
    )
    batteries = batteries_data(view.batteries, view.health)
    for told, battery in zip(batteries, view.batteries, strict=True):
        _dress(told, battery, view)
    chargers = [
        _charger(one, known, view, charging, state)
        for one, known in zip(view.chargers, view.charger_health, strict=True)
    ]
    alarm = [one["label"] for one in batteries if one["alarms"] or one["place"] == "quarantine"]
    first = candidates[0] if candidates else None
    return {
        "first": first,
        "first_of": next((one["of"] for one in batteries if first and one["label"] == first["label"]), ""),
        "after": candidates[1:4],
        "steps": [{"at": at_min, "clock": _clock(at_min), "words": words} for at_min, words in steps],
        "steps_version": version_of(list(steps)),
        "batteries": batteries,
        "chargers": chargers,
        "leave": charging["leave"],
        "cautions": {name: cautions(name) for name in ("charging", "handling", "quarantine")},
        "alarm": alarm,
        "urgent": [one.as_dict() for one in view.urgent],
        "counts": list(Counter(one["verdict"] for one in batteries).items()),
        "looks": LOOKS,
        "version": version_of(
            [candidates, alarm, [one.what for one in view.findings], [one["of"] for one in batteries]]
        ),
    }


def _dress(told: dict[str, Any], battery: RackBattery, view: RackView) -> None:
    """Add to a battery what only a screen needs."""
    record = view.state.batteries[plain_name(battery.label)]
    cool = cool_of(battery, usual_practice(), view.day)
    until = max(at for at in (cool.charge_from, cool.use_from))
    told["places"] = _MOVES_ASIDE if battery.alarms or battery.place == "quarantine" else _MOVES
    told["id"] = version_of(battery.label)
    told["sign"] = _SIGNS.get(told["verdict"], "")
    told["css"] = told["verdict"].replace(" ", "-")
    told["where"] = f"on {battery.charger}" if battery.place == "charger" else _PLACES.get(battery.place, battery.place)
    told["of"] = " ".join(event.key for event in record.moves)
    told["since"] = record.place.measured_at if record.place is not None else ""
    told["who"] = record.place.who if record.place is not None else ""
    told["cool_until"] = _stamp(until) if until > view.day else ""
    told["alarm_keys"] = " ".join(event.key for event in record.alarms)
    told["twice"] = len(record.moves) > 1
    told["ohm_words"] = _ohm(told)
    told["ah_words"] = _ah(told)
    told["percent"] = round(told["charge"]["middle"] * 100)
    told["charge_words"] = f"{told['charge']['low']:.0%} to {told['charge']['high']:.0%}"
    told["rejected"] = [{"words": one.rejected, "at": _stamp(one.day)} for one in battery.readings if one.rejected][-3:]
    told["version"] = version_of(told)


def _charger(
    charger: RackCharger,
    known: ChargerHealth,
    view: RackView,
    charging: dict[str, Any],
    state: State,
) -> dict[str, Any]:
    name = plain_name(charger.label)
    on = next((one for one in view.batteries if one.place == "charger" and plain_name(one.charger) == name), None)
    put = next((one for one in charging["put"] if plain_name(one["charger"]) == name), None)
    label = on.label if on else put["battery"] if put else ""
    record = state.batteries.get(plain_name(label))
    told: dict[str, Any] = {
        "label": charger.label,
        "amps": [one for one in (charger.gentle_a, charger.fast_a) if one is not None],
        "on": on.label if on else "",
        "on_a": on.charging_a if on else None,
        "then": "cooling" if on and usual_practice().is_fast(on.charging_a or 0.0) else "rack",
        "since": record.place.measured_at if on and record is not None and record.place is not None else "",
        "of": " ".join(event.key for event in record.moves) if record is not None else "",
        "put": put,
        "verdict": str(known.verdict),
        "reasons": list(known.reasons),
    }
    return {**told, "version": version_of(told)}


def _ohm(told: dict[str, Any]) -> str:
    ohm = told["resistance_ohm"]
    if not told["readings"]["resistance"]:
        return "not read yet"
    return (
        f"{ohm['middle'] * 1e3:.1f} m\N{GREEK CAPITAL LETTER OMEGA} ({ohm['low'] * 1e3:.1f} to {ohm['high'] * 1e3:.1f})"
    )


def _ah(told: dict[str, Any]) -> str:
    held = told["capacity_ah"]
    if not told["readings"]["capacity"]:
        return "not tested yet"
    return f"{held['middle']:.1f} Ah ({held['low']:.1f} to {held['high']:.1f})"


def _clock(at_min: int) -> str:
    return f"{at_min // 60 % 24}:{at_min % 60:02}"


def _stamp(day: float) -> str:
    return datetime.fromtimestamp(day * _DAY_S, UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
