"""A bench with something of every kind on it: ends of every standing, readings of every verdict, sample crimps."""

from __future__ import annotations

from datetime import UTC, datetime
from itertools import count
from math import inf
from pathlib import Path
from typing import Any

from loomwright.jobs.bench import Bench
from loomwright.jobs.current import planned
from loomwright.proof.as_built.samples import SAMPLES_FIRST, ways
from loomwright.proof.as_built.verdicts import bounds, unit_of
from loomwright.proof.wake_up_looks import MEASURING
from loomwright.records.event import Event, Kind, Role
from loomwright.store import Store, open_store

MORNING = "2026-02-07T09:30:00Z"
#: Ends by their standing, and one that is made and has another use; one that nobody touched is to do.
MADE, ALONE, DONE, REDO, TO_DO, SPARE = "W2 A", "W2 B", "W3 A", "W3 B", "W5 A", "W5 B"
_ON_POSTS = ("W1 A", "W4 A")


def mix(folder: Path) -> None:
    """Write records of every kind into a planned trainer's folder."""
    plan = planned(folder)
    store = open_store(folder / "bench.db", robot=plan.robot.name, now=MORNING, new_origin=lambda: "laptop-mixed")
    with store:
        desk = _Pen(store)
        _ends(desk)
        _readings(desk, Bench(folder, "", store, plan))
        _samples(desk, Bench(folder, "", store, plan))
        desk.write(Kind.SETTING, about=SAMPLES_FIRST, words="on", role=Role.MENTOR)
        desk.write(Kind.TRACED, about="block H1", words="as planned")
        desk.write(Kind.TRACED, about="block H2", words="the beacon")
        _rack(desk)


class _Pen:
    """Writes events, each with the next key."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._keys = count(1)

    def write(self, kind: Kind, *, who: str = "AB", role: Role = Role.STUDENT, **fields: Any) -> str:  # noqa: ANN401  fields of an event
        key = f"{next(self._keys):032x}"
        # A look grows old; the bench that is served has the clock of this machine.
        at = f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ}" if kind is Kind.CONFIRMED else MORNING
        event = Event(key=key, kind=kind, who=who, measured_at=at, **fields)
        self._store.append([event], role=role, received_at=at)
        return key


def _ends(pen: _Pen) -> None:
    for name in (MADE, ALONE, DONE, REDO, SPARE, *_ON_POSTS):
        wire, end = name.split()
        made = pen.write(Kind.MADE, wire=wire, end=end, tool="ratchet crimper")
        if name == ALONE:
            pen.write(Kind.PULLED, wire=wire, end=end, of=(made,))
        if name in (DONE, *_ON_POSTS):
            pen.write(Kind.PULLED, who="CD", wire=wire, end=end, of=(made,))
        if name == REDO:
            pen.write(Kind.FAILED, who="CD", wire=wire, end=end, of=(made,), words="strand outside")


def _readings(pen: _Pen, bench: Bench) -> None:
    """Answer the looks before measuring by two people, and read one row of each verdict."""
    wake = bench.view().wake_up
    for who in ("AB", "CD"):
        for look in wake.looks:
            if look.before == MEASURING:
                pen.write(Kind.CONFIRMED, who=who, about=look.key)
    failed = REDO.split(maxsplit=1)[0]
    sound = [row for row in wake.measurements if row.wires and failed not in row.wires]
    two_sided = [row for row in sound if bounds(row).low > -inf and bounds(row).high < inf]
    one_sided = [row for row in sound if bounds(row).low == -inf and bounds(row).above < inf]
    for row, verdict in zip((*two_sided[:3], one_sided[-1]), ("good", "explain", "stop", "signed"), strict=True):
        held = bounds(row)
        value = {
            "good": (held.low + held.high) / 2,
            "explain": (held.below + held.low) / 2,
            "stop": held.below / 2,
            "signed": (held.high + held.above) / 2,
        }[verdict]
        read = pen.write(Kind.MEASURED, about=row.key, value=value, unit=unit_of(row))
        if verdict == "signed":
            pen.write(
                Kind.APPROVED, who="Ada", role=Role.MENTOR, about=row.key, of=(read,), words="the lamp is unplugged"
            )


def _rack(pen: _Pen) -> None:
    """Put batteries of several verdicts on the rack, in every place, and chargers, one of which ends low."""
    pen.write(Kind.CHARGER, about="C1", conditions={"gentle_a": 2.0, "fast_a": 6.0})
    pen.write(Kind.CHARGER, about="C2", conditions={"gentle_a": 2.0})
    for label, ohm, place in (
        ("B1", 0.02, "rack"),
        ("B2", 0.06, "robot"),
        ("B3", 0.0, "away"),
        ("B4", 0.02, "charger"),
    ):
        pen.write(Kind.BATTERY, about=label, conditions={"cycles": 20.0})
        pen.write(
            Kind.MOVED, about=label, words=place, tool="C1" if place == "charger" else "", conditions=_AMPS[place]
        )
        for _ in range(3 if ohm else 0):
            pen.write(Kind.CHARGED, about=label, tool="C2", value=12.9, unit="V")
            pen.write(Kind.RESISTANCE, about=label, value=ohm, unit="ohm", conditions=_TESTED)
    pen.write(Kind.BATTERY, about="B5")
    pen.write(Kind.LOOKED_OVER, about="B5", words="dropped")
    pen.write(Kind.RESTED, about="B5", value=3.0, unit="V")


_AMPS: dict[str, dict[str, float]] = {"rack": {}, "robot": {}, "away": {}, "charger": {"amps": 6.0}}
_TESTED = {"low_a": 1.0, "high_a": 10.0, "rest_v": 13.0, "since_charge_h": 12.0}


def _samples(pen: _Pen, bench: Bench) -> None:
    """Pull one set that fails, and leave another one open."""
    first, second, *_ = ways(bench.plan, bench.view().state)
    failing = pen.write(Kind.SET_BEGUN, about=first.name, value=2.0)
    for force_n in (400.0, 100.0):
        pen.write(Kind.SAMPLE, about="held" if force_n > 300 else "slipped", value=force_n, unit="N", of=(failing,))
    begun = pen.write(Kind.SET_BEGUN, about=second.name, value=3.0)
    pen.write(Kind.SAMPLE, about="held", value=50.0, unit="N", of=(begun,))
