"""The shortest order of a chain of devices, its ends free or pinned: an open travelling-salesman path."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.layout.checker.chain import check_chain
from loomwright.layout.engine.chain_exact import by_subsets
from loomwright.layout.engine.chain_first import Distance, Order, least_length, length_of, nearest_first, turned
from loomwright.search import SILENT, Certificate, Effort, News, Watch

# So many devices are solved by dynamic programming at once; more need the solver, which takes half a second to load.
_SMALL = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainAnswer:
    """The devices by number in the order of the chain, and how good that is proved to be [mm]."""

    order: Order
    certificate: Certificate


def shortest_chain(
    distance_mm: Distance, *, ends: tuple[int, ...] = (), effort: Effort, watch: Watch = SILENT
) -> ChainAnswer:
    """Find the order in which a chain from device to device is shortest.

    Parameters
    ----------
    distance_mm
        Length of a hop between each two devices [mm, whole], symmetric.
    ends
        None, one or two devices that stand at an end. The chain starts at the first of them and ends at the second;
        without any, it starts at the lower number.

    Raises
    ------
    ValueError
        The distances are not symmetric, or `ends` names no devices or one twice; or the answer failed its check, an
        error of this program.
    """
    _refuse(distance_mm, ends)
    if len(distance_mm) <= 1:
        order = tuple(range(len(distance_mm)))
        return ChainAnswer(order=order, certificate=Certificate(cost=0, bound=0, unit="mm", baseline=0))
    plain = nearest_first(distance_mm, ends)
    order, bound = turned(distance_mm, plain, ends), least_length(distance_mm)
    if len(distance_mm) <= _SMALL and effort is not Effort.FIRST:
        order = by_subsets(distance_mm, ends)
        bound = length_of(distance_mm, order)
    elif effort is not Effort.FIRST and length_of(distance_mm, order) > bound:
        watch.tell(News(stage="chain", cost=length_of(distance_mm, order), bound=bound, used=0.0))
        order, bound = _by_solver(distance_mm, ends, order, bound, effort=effort, watch=watch)
    if not ends and order[0] > order[-1]:
        order = order[::-1]
    baseline = length_of(distance_mm, plain)
    cost = length_of(distance_mm, order)
    answer = ChainAnswer(order=order, certificate=Certificate(cost=cost, bound=bound, unit="mm", baseline=baseline))
    check_chain(distance_mm, ends, answer.order, answer.certificate)
    return answer


def _by_solver(
    distance_mm: Distance, ends: Order, order: Order, bound: int, *, effort: Effort, watch: Watch
) -> tuple[Order, int]:
    # CP-SAT takes half a second to load: only a chain that needs it pays for it.
    from loomwright.layout.engine.chain_proof import prove  # noqa: PLC0415

    return prove(distance_mm, ends, order, bound, effort=effort, watch=watch)


def _refuse(distance_mm: Distance, ends: tuple[int, ...]) -> None:
    devices = range(len(distance_mm))
    if any(len(row) != len(devices) for row in distance_mm):
        raise ValueError("the distances are no square table")
    if any(distance_mm[i][j] != distance_mm[j][i] or distance_mm[i][j] < 0 for i in devices for j in devices):
        raise ValueError("the distances are not the same in both directions, or one is below zero")
    if len(set(ends)) != len(ends) or len(ends) > 2 or not set(ends) <= set(devices):  # noqa: PLR2004  # a chain has two ends
        raise ValueError("the ends are not up to two different devices")
