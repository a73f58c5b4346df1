"""Breakers and fuses: the two numbers of a hot strip, fitted to the opening times that a part states."""

from __future__ import annotations

from dataclasses import dataclass
from math import log, sqrt
from typing import TYPE_CHECKING

from loomwright.match.machine import Trip
from loomwright.match.of_practice import practice

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.match.of_notes import Notes
    from loomwright.model.part import Part, TripPoint
    from loomwright.plan.result import PlannedCircuit

_FOR_EVER_S = 3600.0
"""A point that holds for an hour and states no time to open is one that must never open."""
_STEP = 0.01


@dataclass(frozen=True, slots=True)
class Fit:
    """Hold as a multiple of the rating, the least and most time constant [s], whether the points agree on them."""

    hold: float
    least_s: float
    most_s: float
    agrees: bool

    @property
    def tau_s(self) -> float:
        """The middle of the time constants [s]."""
        return sqrt(self.least_s * self.most_s)


def trip_of(circuit: PlannedCircuit, part: Part | None, notes: Notes) -> Trip | None:
    """Return how a circuit's breaker or fuse gets hot; None where it has none, or none with a curve, which is asked.

    `part` is what protects, None where it is known by its id alone: then a breaker closes again by itself.
    """
    rating_a = circuit.protection_a.value
    if rating_a is None or "/" not in circuit.protection:
        return None
    fitted = fit(circuit.trip_curve)
    if fitted is None:
        _ask(circuit, notes)
        return None
    name = circuit.protection
    if circuit.curve_assumed:
        notes.assume("opening curves are assumed", name)
    if not fitted.agrees:
        notes.assume("no one strip opens as all points of the curve say, so its band is wide", name)
    if part is None and name.startswith("breaker/"):
        notes.assume("breakers in slots are taken to close again by themselves", name)
    closes = part.word("reset") == "automatic" if part is not None else name.startswith("breaker/")
    band = (fitted.least_s / fitted.tau_s, fitted.most_s / fitted.tau_s)
    return Trip(rating_a, fitted.hold * rating_a, fitted.tau_s, band, closes, circuit.curve_assumed)


def fit(points: Sequence[TripPoint]) -> Fit | None:
    """Fit t = -tau ln(1 - (hold/I)^2) to opening times over multiples of the rating; None where they leave it open.

    Points that must never open bound the hold from below. It is the least hold at which one range of tau keeps every
    point between its two times; where none does, the one at which the points contradict each other least. Points
    above what a match asks for are left out where others remain.
    """
    asked = [point for point in points if point.multiple <= practice("trip fit up to")] or list(points)
    held = max((p.multiple for p in asked if p.max_s is None and (p.min_s or 0) >= _FOR_EVER_S), default=1.0)
    opens = min((p.multiple for p in asked if p.max_s is not None and p.multiple > held), default=held + _STEP)
    found = []
    for step in range(max(1, int((opens - held) / _STEP))):
        hold = held + step * _STEP
        fitted = _at(asked, hold)
        if fitted is not None and fitted.agrees:
            return fitted
        if fitted is not None:
            found.append(fitted)
    return min(found, key=lambda fitted: fitted.most_s / fitted.least_s, default=None)


def _at(points: Sequence[TripPoint], hold: float) -> Fit | None:
    above = [(point, _shape(point.multiple / hold)) for point in points if point.multiple > hold]
    least = max((p.min_s / shape for p, shape in above if p.min_s), default=None)
    most = min((p.max_s / shape for p, shape in above if p.max_s), default=None)
    if least is None and most is None:
        return None
    least = most / practice("open band") if least is None and most is not None else least
    most = least * practice("open band") if most is None and least is not None else most
    if least is None or most is None:
        return None
    return Fit(hold, min(least, most), max(least, most), agrees=least <= most)


def _shape(over_hold: float) -> float:
    return -log(1 - 1 / over_hold**2)


def _ask(circuit: PlannedCircuit, notes: Notes) -> None:
    notes.ask(
        "no-trip-curve",
        circuit.circuit.mark,
        circuit.circuit.path,
        f"{circuit.protection} before {circuit.id} has no opening curve, so there is no verdict on whether it opens.",
        "Give its part a `trip curve` from its data sheet: "
        "`points: [{at: 100 %, at least: 1 h}, {at: 200 %, at least: 5 s, at most: 30 s}]`.",
    )
