"""The ends that people make, and the cards of their kinds: a card tells how one kind of end is made."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from loomwright.plan.result import Plan, PlannedEnd, PlannedWire
from loomwright.units import Gauge
from loomwright.wiring.made import made_ends
from loomwright.wiring.treatment import Treatment
from loomwright.wording import natural

_MM, _HUNDREDTHS = 1000, 2
#: What makes two ends of one gauge the same to the hands; whether a port may be pulled at does not.
_Key: TypeAlias = tuple[str, Gauge | None, float, str, str, str, str, float]
_NONE = -1.0


@dataclass(frozen=True, slots=True)
class Card:
    """One kind of end in a plan: its number, the wire's gauge (None: a ready-made cable), how it is made, how many."""

    number: int
    gauge: Gauge | None
    treatment: Treatment
    ends: int


@dataclass(frozen=True, slots=True)
class MadeEnd:
    """One end that somebody makes or plugs in, with its wire; `card` is None while nobody knows its terminal."""

    wire: PlannedWire
    end: PlannedEnd
    card: int | None

    @property
    def name(self) -> tuple[str, str]:
        """The wire's id and the end's letter: what stands on its flag."""
        return (self.wire.id, self.end.letter)


def ends_of(wire: PlannedWire) -> tuple[PlannedEnd, ...]:
    """Return the ends of a wire that somebody makes or plugs in, A before B; none that a part brings finished."""
    made_a, made_b = made_ends(wire.a.port, wire.b.port, captive=wire.captive)
    told = ((wire.a, made_a), (wire.b, made_b))
    return tuple(end for end, made in told if made or end.treatment is not None)


def all_ends(plan: Plan) -> tuple[MadeEnd, ...]:
    """Return every end that somebody makes or plugs in, wire by wire."""
    numbers = {key: n for n, (key, _) in enumerate(_kinds(plan), 1)}
    return tuple(
        MadeEnd(wire, end, numbers[_key(wire, end.treatment)] if end.treatment is not None else None)
        for wire in plan.wires
        for end in ends_of(wire)
    )


def cards(plan: Plan) -> tuple[Card, ...]:
    """Return every kind of end once, numbered from 1 in the order of terminal and gauge."""
    many = Counter(end.card for end in all_ends(plan))
    return tuple(Card(n, key[1], treatment, many[n]) for n, (key, treatment) in enumerate(_kinds(plan), 1))


def _kinds(plan: Plan) -> list[tuple[_Key, Treatment]]:
    """Sort the kinds of ends by terminal and gauge; an end that waits for an answer is of no kind yet."""
    found: dict[_Key, Treatment] = {}
    for wire, treatment in _treated(plan):
        found.setdefault(_key(wire, treatment), treatment)
    return sorted(found.items(), key=lambda item: (item[0][0], natural(str(item[0][1] or "none")), *item[0][2:]))


def _treated(plan: Plan) -> Iterator[tuple[PlannedWire, Treatment]]:
    for wire in plan.wires:
        for end in ends_of(wire):
            if end.treatment is not None:
                yield wire, end.treatment


def _key(wire: PlannedWire, held: Treatment) -> _Key:
    """Return what two ends on one card share; lengths and forces count as far as a sheet tells them."""
    strip_mm = _NONE if held.strip_m is None else round(held.strip_m * _MM, _HUNDREDTHS)
    pull_n = _NONE if held.pull_n is None else round(held.pull_n, 1)
    return (held.terminal, wire.gauge, strip_mm, held.tool, held.insulation, held.good, held.pull_standard, pull_n)
