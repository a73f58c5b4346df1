"""What can be recorded of batteries and chargers: units, the conditions that a reading needs, the words there are."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from loomwright.records.event import Kind

if TYPE_CHECKING:
    from loomwright.records.event import Event

#: Readings of a battery, each of them a value.
READINGS: Final = frozenset(
    {Kind.RESTED, Kind.LOADED, Kind.RESISTANCE, Kind.LOAD_TEST, Kind.CAPACITY, Kind.WARMTH, Kind.LOOKED_OVER}
)
#: Everything of the rack: it names a battery or a charger in `about`, and belongs to no build.
RACK: Final = READINGS | {Kind.BATTERY, Kind.CHARGER, Kind.CHARGED, Kind.MOVED, Kind.PLAYED, Kind.RELEASED}

#: What a value of each kind is in. A capacity test tells how long it took.
RACK_UNITS: Final = MappingProxyType(
    {
        Kind.RESTED: ("V",),
        Kind.LOADED: ("V",),
        Kind.RESISTANCE: ("ohm",),
        Kind.LOAD_TEST: ("V",),
        Kind.CAPACITY: ("h",),
        Kind.WARMTH: ("C",),
        Kind.CHARGED: ("V",),
    }
)
#: What is seen on a battery; all but the first put it aside.
LOOKS: Final = ("sound", "swollen", "leaking", "post loose", "dropped", "hot")
#: Where a battery is; on a charger, `tool` names which.
PLACES: Final = ("rack", "charger", "robot", "cooling", "quarantine", "away")

_AROUND: Final = ("temperature_c", "since_charge_h", "since_load_h")
_NEEDED: Final = MappingProxyType(
    {
        Kind.LOADED: ("load_a",),
        Kind.LOAD_TEST: ("load_a", "seconds"),
        Kind.CAPACITY: ("load_a", "cutoff_v"),
    }
)
_KNOWN: Final = MappingProxyType(
    {
        Kind.BATTERY: ("capacity_ah", "year", "month", "cycles"),
        Kind.CHARGER: ("gentle_a", "fast_a"),
        Kind.RESTED: _AROUND,
        Kind.LOADED: ("load_a", "other_load_a", "other_v", "seconds", *_AROUND),
        Kind.RESISTANCE: ("low_a", "high_a", "rest_v", *_AROUND),
        Kind.LOAD_TEST: ("load_a", "seconds", "rest_v", *_AROUND),
        Kind.CAPACITY: ("load_a", "cutoff_v", "temperature_c"),
        Kind.WARMTH: ("since_charge_h", "since_load_h"),
        Kind.CHARGED: ("hours", "amps", "charge_ah", "temperature_c"),
        Kind.MOVED: ("amps",),
        Kind.PLAYED: ("before_v", "after_v", "used_ah"),
    }
)
#: Kinds that need no value, though they may have one.
_FREE: Final = frozenset({Kind.CHARGED})


def rack_faults(event: Event) -> Iterator[str]:
    """Say what is wrong with what an event tells of a battery or a charger; any other event has no conditions."""
    if event.kind not in RACK:
        if event.conditions:
            yield f"`{event.kind}` has no conditions."
        return
    if any(unicodedata.category(sign) == "Cf" for sign in event.about):
        yield "A label has a sign that nobody sees; write it anew."
    if event.build or event.wire or event.end:
        yield "A battery belongs to no build and to no wire; leave out `build`, `wire` and `end`."
    yield from _misconditioned(event)
    if event.value is None and event.kind in RACK_UNITS and event.kind not in _FREE:
        yield f"A `{event.kind}` has a `value` in {RACK_UNITS[event.kind][0]}."
    if event.kind is Kind.LOOKED_OVER and event.words not in LOOKS:
        yield f"`words` of a look is one of {', '.join(LOOKS)}."
    if event.kind is Kind.MOVED and event.words not in PLACES:
        yield f"`words` of a move is one of {', '.join(PLACES)}."
    if (
        (event.kind is Kind.CHARGED or event.words == "charger")
        and event.kind is not Kind.LOOKED_OVER
        and not event.tool
    ):
        yield "`tool` names the charger."


def _misconditioned(event: Event) -> Iterator[str]:
    known = _KNOWN.get(event.kind, ())
    for name in event.conditions:
        if name not in known:
            listed = f"; known are {', '.join(known)}" if known else ""
            yield f"`{event.kind}` has no condition `{name[:40]}`{listed}."
    for name in _NEEDED.get(event.kind, ()):
        if name not in event.conditions:
            yield f"`conditions` of `{event.kind}` needs `{name}`."
    if event.kind is Kind.LOADED and ("other_load_a" in event.conditions) != ("other_v" in event.conditions):
        yield "A second load is told by `other_load_a` and `other_v` together."
    if event.kind is Kind.RESISTANCE and ("low_a" in event.conditions) != ("high_a" in event.conditions):
        yield "The test currents are told by `low_a` and `high_a` together."
