"""Solve G v = i on one island: places are taken out one by one, those with the fewest neighbours first.

Taking a place out puts a conductance between each two of its neighbours (star-mesh). Every step adds and multiplies
numbers of one sign and never subtracts, so milliohms beside megohms lose no digits; a robot's network is nearly a
tree, so hardly anything is filled in.
"""

from __future__ import annotations

import heapq
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence


def potentials(
    conductance_s: Sequence[Mapping[int, float]], places: Iterable[int], ground: int, into_a: Mapping[int, float]
) -> dict[int, float]:
    """Return the voltage [V] of each place of an island over its ground, for currents [A] driven into the places."""
    meshed = {place: dict(conductance_s[place]) for place in places}
    driven = {place: into_a.get(place, 0.0) for place in meshed}
    waiting = [(len(around), place) for place, around in meshed.items() if place != ground]
    heapq.heapify(waiting)
    gone: list[tuple[int, dict[int, float], float]] = []
    while waiting:
        count, place = heapq.heappop(waiting)
        around = meshed.get(place)
        if around is None or len(around) != count:
            continue  # told again since, with as many neighbours as it has now
        total_s = sum(around.values())
        gone.append((place, around, total_s))
        del meshed[place]
        _mesh(meshed, driven, place, around, total_s)
        for neighbour in around:
            if neighbour != ground:
                heapq.heappush(waiting, (len(meshed[neighbour]), neighbour))
    voltage_v = {ground: 0.0}
    for place, around, total_s in reversed(gone):
        flows = sum(siemens * voltage_v[neighbour] for neighbour, siemens in around.items())
        voltage_v[place] = (driven[place] + flows) / total_s
    return voltage_v


def _mesh(
    meshed: dict[int, dict[int, float]],
    driven: dict[int, float],
    place: int,
    around: dict[int, float],
    total_s: float,
) -> None:
    """Join the neighbours of a place that is taken out, and share out what was driven into it."""
    rest = list(around.items())
    for count, (one, one_s) in enumerate(rest):
        mine, share = meshed[one], one_s / total_s
        del mine[place]
        driven[one] += driven[place] * share
        for other, other_s in rest[count + 1 :]:
            added_s = share * other_s
            mine[other] = meshed[other][one] = mine.get(other, 0.0) + added_s
