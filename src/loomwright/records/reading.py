"""From plain data that somebody sent to an event or a record, with every fault told at once."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from types import MappingProxyType
from typing import Final

from loomwright.records.event import NOTHING_BEFORE, Event, Kind, Record, Role
from loomwright.records.hunts import HUNT_UNITS, HUNTS, hunt_faults
from loomwright.records.people import misnamed
from loomwright.records.rack_kinds import RACK, RACK_UNITS, rack_faults

#: How long each text may be [characters].
LONGEST: Final = MappingProxyType(
    {"who": 24, "build": 80, "wire": 12, "end": 1, "about": 120, "tool": 80, "revision": 64, "unit": 8, "words": 600}
)
_LARGEST: Final = 1e12
#: Every end of a robot, or every row of its Wake-up list, and then some.
MOST_NAMED: Final = 1000
MOST_AS_PLANNED: Final = 12
MOST_CONDITIONS: Final = 12
_KEY: Final = re.compile(r"[0-9a-f]{32}")
_HASH: Final = re.compile(r"[0-9a-f]{64}")
_ORIGIN: Final = re.compile(r"[a-z0-9-]{4,40}")
_TIME: Final = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,6})?Z")
_WIRE: Final = re.compile(r"W[1-9]\d{0,8}")
_EVENT: Final = frozenset(
    {"key", "kind", "who", "measured_at", "build", "wire", "end", "about", "tool", "revision", "value", "unit", "words"}
    | {"as_planned", "of", "conditions"}
)
_RECORD: Final = _EVENT | {"origin", "sequence", "before", "received_at", "role"}

#: What each kind has to name: a wire's end, something else ("about"), other events ("of"), a value.
_END_KINDS: Final = frozenset({Kind.MADE, Kind.REDONE, Kind.PULLED, Kind.FAILED})
_ABOUT_KINDS: Final = frozenset(
    {Kind.SETTING, Kind.SET_BEGUN, Kind.SAMPLE, Kind.MEASURED, Kind.APPROVED, Kind.CONFIRMED, Kind.TRACED}
    | {Kind.OBSERVED, Kind.MENDED}
    | RACK
)
_OF_KINDS: Final = frozenset(
    {Kind.REDONE, Kind.PULLED, Kind.FAILED, Kind.SAMPLE, Kind.APPROVED, Kind.TAKEN_BACK, Kind.RELEASED}
)
_UNITS: Final = MappingProxyType(
    {Kind.SET_BEGUN: ("",), Kind.SAMPLE: ("N",), Kind.MEASURED: ("ohm", "V"), **RACK_UNITS, **HUNT_UNITS}
)
#: How a sample ended: it stood its force, it slipped or broke, or it was no crimp at all.
OUTCOMES: Final = ("held", "slipped", "blunder")
#: What a reading without a number says.
OPEN: Final = "open"


class EventRefusedError(ValueError):
    """An event that can't be taken; `faults` are sentences, all that were found."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        """Keep the faults."""
        self.faults = faults
        super().__init__(" ".join(faults))


def read_event(told: object) -> Event:
    """Return the event that plain data tells.

    Raises
    ------
    EventRefusedError
        With every fault in a sentence that says which field, what and how to put it right.
    """
    faults: list[str] = []
    event = _event(told, _EVENT, faults)
    # Of a new event alone: what was written down before anybody minded has to stay readable.
    faults += [why for why in [misnamed(event.who) if event is not None and event.who else ""] if why]
    if event is None or faults:
        raise EventRefusedError(tuple(faults))
    return event


def read_record(told: object) -> Record:
    """Return the record that plain data tells; see `read_event`. Its hash is not compared with anything here."""
    faults: list[str] = []
    event = _event(told, _RECORD, faults)
    held: Mapping[str, object] = told if isinstance(told, Mapping) else {}
    origin = _matching(held, "origin", _ORIGIN, "4 to 40 of a-z, 0-9 and -", faults)
    before = _matching({"before": NOTHING_BEFORE} | dict(held), "before", _HASH, "64 hexadecimal digits", faults)
    received = _time(held, "received_at", faults)
    sequence = held.get("sequence")
    if not isinstance(sequence, int) or isinstance(sequence, bool) or not 1 <= sequence <= 2**53:
        faults.append("`sequence` is the number of the record with its origin, from 1.")
    role = held.get("role")
    if not isinstance(role, str) or role not in set(Role):
        faults.append(f"`role` is one of {', '.join(Role)}.")
    if event is None or faults:
        raise EventRefusedError(tuple(faults))
    return Record(
        event=event,
        role=Role(str(role)),
        origin=origin,
        sequence=int(str(sequence)),
        received_at=received,
        before=before,
    )


def _event(told: object, known: frozenset[str], faults: list[str]) -> Event | None:
    if not isinstance(told, Mapping):
        faults.append("An event is an object with named fields.")
        return None
    held: dict[str, object] = {str(name): value for name, value in told.items()}
    if strange := sorted(held.keys() - known):
        faults.append(f"Nobody knows the field `{strange[0][:40]}`; leave it out.")
    kind = held.get("kind")
    if not isinstance(kind, str) or kind not in set(Kind):
        faults.append(f"`kind` is one of {', '.join(Kind)}.")
        return None
    texts = {name: _text(held, name, faults) for name in LONGEST}
    event = Event(
        key=_matching(held, "key", _KEY, "32 hexadecimal digits, made anew for each event", faults),
        kind=Kind(kind),
        measured_at=_time(held, "measured_at", faults),
        value=_value(held, faults),
        as_planned=_as_planned(held, faults),
        of=_of(held, faults),
        conditions=_conditions(held, faults),
        **texts,
    )
    faults += [*_missing(event), *_misvalued(event), *rack_faults(event), *hunt_faults(event)]
    return event


def _missing(event: Event) -> Iterator[str]:
    """Say what an event of its kind has to name and this one does not."""
    if not event.who:
        yield "`who` is the initials or the nickname of the one who did it."
    if event.kind in _END_KINDS and not (_WIRE.fullmatch(event.wire) and event.end in ("A", "B")):
        yield "`wire` and `end` name the end, as `W12` and `A`."
    if event.kind in HUNTS and (event.wire or event.end) and not _is_seat(event):
        yield "`wire` and `end` name the end that it is about, as `W12` and `A`, or `wire` alone the whole wire."
    if event.kind in _ABOUT_KINDS and not event.about:
        yield "`about` names what it is about."
    if event.kind in _OF_KINDS and not event.of:
        yield "`of` names the events that it judges, replaces or takes back."
    if event.kind is Kind.SAMPLE and event.about not in OUTCOMES:
        yield f"`about` of a sample is how it ended: {', '.join(OUTCOMES)}."
    if event.key in event.of:
        yield "An event can't name itself in `of`."


def _is_seat(event: Event) -> bool:
    return bool(_WIRE.fullmatch(event.wire)) and event.end in ("", "A", "B")


def _misvalued(event: Event) -> Iterator[str]:
    """Say what is wrong with the value of an event of its kind."""
    units = _UNITS.get(event.kind)
    if event.value is not None and units is None:
        yield f"`{event.kind}` has no value."
    elif event.value is not None and event.unit not in (units or ()):
        yield f"A value of the kind `{event.kind}` is in {' or '.join(units or ()) or 'no unit'}."
    if event.kind is Kind.SET_BEGUN and not (event.value and event.value == int(event.value) and event.value >= 1):
        yield "`value` of a set is how many samples it will have, a whole number from 1."
    if event.kind is Kind.MEASURED and event.value is None and event.words != OPEN:
        yield f"A reading has a `value`, or the words `{OPEN}` where the meter shows no end of ohms."


def _text(held: Mapping[str, object], name: str, faults: list[str]) -> str:
    value = held.get(name, "")
    if not isinstance(value, str):
        faults.append(f"`{name}` is text.")
        return ""
    text = unicodedata.normalize("NFC", value).strip()
    if len(text) > LONGEST[name]:
        faults.append(f"`{name}` has {len(text)} characters; {LONGEST[name]} are the most.")
    if not _is_printable(text):
        faults.append(f"`{name}` has characters that can't be printed.")
    return text


def _matching(held: Mapping[str, object], name: str, form: re.Pattern[str], words: str, faults: list[str]) -> str:
    value = held.get(name)
    if not isinstance(value, str) or not form.fullmatch(value):
        faults.append(f"`{name}` is {words}.")
        return ""
    return value


def _time(held: Mapping[str, object], name: str, faults: list[str]) -> str:
    value = held.get(name)
    if isinstance(value, str) and _TIME.fullmatch(value):
        try:
            datetime.fromisoformat(value.removesuffix("Z")).replace(tzinfo=UTC)
        except ValueError:
            pass
        else:
            return value
    faults.append(f"`{name}` is a time in UTC, as 2026-02-07T09:30:00Z.")
    return ""


def _value(held: Mapping[str, object], faults: list[str]) -> float | None:
    value = held.get("value")
    if value is None:
        return None
    if not _is_number(value):
        faults.append("`value` is a number.")
        return None
    return float(str(value))


def _conditions(held: Mapping[str, object], faults: list[str]) -> Mapping[str, float]:
    told = held.get("conditions", {})
    if not isinstance(told, Mapping) or len(told) > MOST_CONDITIONS:
        faults.append(f"`conditions` holds up to {MOST_CONDITIONS} numbers by name.")
        return MappingProxyType({})
    for name, value in told.items():
        if not _is_number(value):
            faults.append(f"`conditions` holds numbers; `{str(name)[:40]}` is none.")
            return MappingProxyType({})
    return MappingProxyType({str(name): float(str(value)) for name, value in sorted(told.items())})


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and -_LARGEST <= value <= _LARGEST


def _as_planned(held: Mapping[str, object], faults: list[str]) -> Mapping[str, str]:
    told = held.get("as_planned", {})
    if not isinstance(told, Mapping) or len(told) > MOST_AS_PLANNED:
        faults.append(f"`as_planned` holds up to {MOST_AS_PLANNED} texts by name.")
        return MappingProxyType({})
    found: dict[str, str] = {}
    for name, value in told.items():
        if not isinstance(value, str) or len(str(name)) > LONGEST["tool"] or len(value) > LONGEST["about"]:
            faults.append(f"`as_planned` holds texts of up to {LONGEST['about']} characters.")
            break
        if not _is_printable(f"{name}{value}"):
            faults.append("`as_planned` has characters that can't be printed.")
            break
        found[str(name)] = value
    return MappingProxyType(found)


def _is_printable(text: str) -> bool:
    return not any(unicodedata.category(sign) in ("Cc", "Cs", "Co", "Cn") for sign in text)


def _of(held: Mapping[str, object], faults: list[str]) -> tuple[str, ...]:
    told = held.get("of", ())
    if not isinstance(told, list | tuple) or len(told) > MOST_NAMED:
        faults.append(f"`of` is a list of up to {MOST_NAMED} keys.")
        return ()
    if not all(isinstance(key, str) and _KEY.fullmatch(key) for key in told):
        faults.append("`of` holds keys of 32 hexadecimal digits.")
        return ()
    return tuple(sorted(set(told)))
