"""One thing that somebody did or saw, as it is sent, and as a laptop has written it down."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Mapping

#: The hash that stands before the first record of an origin.
NOTHING_BEFORE: Final = "0" * 64


class Kind(StrEnum):
    """What happened."""

    MADE = "made"
    REDONE = "redone"
    PULLED = "pulled"
    FAILED = "failed"
    SET_BEGUN = "set begun"
    SAMPLE = "sample"
    MEASURED = "measured"
    APPROVED = "approved"
    CONFIRMED = "confirmed"
    POWER_ON = "power on"
    POWER_OFF = "power off"
    TRACED = "traced"
    NOTED = "noted"
    SETTING = "setting"
    TAKEN_BACK = "taken back"
    # Of the rack: what belongs to a battery or a charger, and to no build of a robot.
    BATTERY = "battery"
    CHARGER = "charger"
    RESTED = "rested"
    LOADED = "loaded"
    RESISTANCE = "resistance"
    LOAD_TEST = "load test"
    CAPACITY = "capacity"
    WARMTH = "warmth"
    LOOKED_OVER = "looked over"
    CHARGED = "charged"
    MOVED = "moved"
    PLAYED = "played"
    RELEASED = "released"
    # Of a hunt for a fault at the robot.
    HUNT = "hunt"
    OBSERVED = "observed"
    MENDED = "mended"
    DANGER = "danger"
    CLEARED = "cleared"
    HUNT_ENDED = "hunt ended"


class Role(StrEnum):
    """What the one who sent an event was let in as: anybody who signs, or a mentor."""

    STUDENT = "student"
    MENTOR = "mentor"


#: What only a mentor may do; sent by anybody else it is kept and does not count.
MENTORS_ONLY: Final = frozenset({Kind.APPROVED, Kind.SETTING, Kind.TAKEN_BACK, Kind.RELEASED, Kind.CLEARED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One event as a phone or a script sends it.

    `key` is made by the sender, 32 hexadecimal digits; the same key is the same event, however often it arrives.
    `wire` and `end` ("A", "B") name a wire's end of one `build` ("" for the robot without one); `about` names what
    else it is about: a row of the Wake-up list, a look, a slot, a set of samples, a check of a hunt. `as_planned` holds
    what the sender saw of an end when it was signed (gauge, terminal, device, slot), so that a later plan can tell
    whether it fits. `of` are the keys of the events that this one judges, replaces, takes back or belongs to: all that
    its sender knew of. That, and no clock, says what came before. `value` is in `unit`; `measured_at` is the sender's
    clock, in UTC. `conditions` are numbers that a reading means nothing without, each with its unit in its name:
    `low_a`, `since_charge_h`.
    """

    key: str
    kind: Kind
    who: str
    measured_at: str
    build: str = ""
    wire: str = ""
    end: str = ""
    about: str = ""
    tool: str = ""
    revision: str = ""
    value: float | None = None
    unit: str = ""
    words: str = ""
    as_planned: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    of: tuple[str, ...] = ()
    conditions: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """An event as a laptop wrote it down, the `sequence`-th (from 1) of its `origin`.

    `before` is the hash of the record before it, so that a later edit shows. `role` is what the sender was let in as;
    `received_at` is the laptop's clock, in UTC.
    """

    event: Event
    role: Role
    origin: str
    sequence: int
    received_at: str
    before: str = NOTHING_BEFORE

    @property
    def hash(self) -> str:
        """SHA-256 of everything else of the record, as 64 hexadecimal digits (source: fips-180-4-memory)."""
        return hashlib.sha256(as_line(self).encode()).hexdigest()


def as_data(record: Record) -> dict[str, object]:
    """Return a record as plain data, empty fields left out; the same keys as in the export."""
    event = record.event
    told: dict[str, object] = {
        "origin": record.origin,
        "sequence": record.sequence,
        "before": record.before,
        "received_at": record.received_at,
        "role": str(record.role),
        "key": event.key,
        "kind": str(event.kind),
        "who": event.who,
        "measured_at": event.measured_at,
    }
    for name in ("build", "wire", "end", "about", "tool", "revision", "unit", "words"):
        if text := getattr(event, name):
            told[name] = text
    if event.value is not None:
        told["value"] = event.value
    if event.as_planned:
        told["as_planned"] = dict(event.as_planned)
    if event.of:
        told["of"] = list(event.of)
    if event.conditions:
        told["conditions"] = dict(event.conditions)
    return told


def as_line(record: Record) -> str:
    """Return a record as one line of JSON, the same for the same record: keys in order, no spaces."""
    return json.dumps(as_data(record), sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
