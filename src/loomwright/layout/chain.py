"""The order in which a chain from device to device takes the least wire."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.search import SILENT, Effort

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.layout.result import Point
    from loomwright.search import Certificate, Watch

_MM_PER_M = 1000


def chain_order(
    places: Sequence[Point], *, ends: tuple[int, ...] = (), effort: Effort = Effort.USUAL, watch: Watch = SILENT
) -> tuple[tuple[int, ...], Certificate]:
    """Return the places by number in the order with the least wire, and how good that is proved to be [mm].

    Hops run along the plate's edges from place to place, up and down too. `ends` are at most two that stand at an end.

    Raises
    ------
    ValueError
        For ends that are no places, or more than two.
    """
    from loomwright.layout.engine.chain_solver import shortest_chain  # noqa: PLC0415  heavy, and seldom asked for

    distance = [
        [round(sum(abs(a - b) for a, b in zip(one, two, strict=True)) * _MM_PER_M) for two in places] for one in places
    ]
    answer = shortest_chain(distance, ends=ends, effort=effort, watch=watch)
    return answer.order, answer.certificate
