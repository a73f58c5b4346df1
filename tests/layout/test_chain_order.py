"""Chain order: the shortest one is found and proved, and pinned ends stay ends."""

from __future__ import annotations

import random
from itertools import combinations, pairwise, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.layout.checker.chain import check_chain
from loomwright.layout.engine import chain_solver
from loomwright.layout.engine.chain_solver import shortest_chain
from loomwright.search import SILENT, Certificate, Effort

Table = list[list[int]]


def table(seed: int, devices: int) -> Table:
    """Put devices on a plate, and measure along its edges [mm]."""
    chance = random.Random(seed)  # noqa: S311  # made-up problems, no secrets
    at = [(chance.randint(0, 800), chance.randint(0, 700)) for _ in range(devices)]
    return [[abs(a - c) + abs(b - d) for c, d in at] for a, b in at]


def shortest(distance: Table, ends: tuple[int, ...]) -> int:
    """Try every order."""
    middle = [n for n in range(len(distance)) if n not in ends]
    orders = ((*ends[:1], *order, *ends[1:]) for order in permutations(middle))
    return min(sum(distance[a][b] for a, b in pairwise(order)) for order in orders)


def by_subsets(distance: Table, ends: tuple[int, ...]) -> int:
    """Find the least length by dynamic programming over (devices passed, where one stands), forwards."""
    count = len(distance)
    reach = {(1 << n, n): 0 for n in (ends[:1] or range(count))}
    for _ in range(count - 1):
        longer: dict[tuple[int, int], int] = {}
        for (passed, at), length in reach.items():
            for to in range(count):
                if not passed >> to & 1:
                    key = (passed | 1 << to, to)
                    longer[key] = min(longer.get(key, 10**9), length + distance[at][to])
        reach = longer
    return min(length for (_, at), length in reach.items() if len(ends) < 2 or at == ends[1])


@given(st.integers(0, 100_000), st.integers(2, 7), st.integers(0, 2))
@settings(max_examples=30, deadline=None)
def test_no_order_of_a_few_devices_is_shorter(seed: int, devices: int, pinned: int) -> None:
    """Every order is tried, with ends free and pinned."""
    distance = table(seed, devices)
    ends = tuple(range(devices))[devices - pinned :][:: (-1) ** seed]
    answer = shortest_chain(distance, ends=ends, effort=Effort.USUAL)
    assert answer.certificate.proved
    assert answer.certificate.cost == shortest(distance, ends)


@pytest.mark.parametrize("seed", range(6))
def test_solver_and_subsets_agree(seed: int) -> None:
    """From eleven devices on the solver proves what dynamic programming finds."""
    distance, ends = table(seed, 11 + seed % 2), ((), (3,), (3, 7))[seed % 3]
    answer = shortest_chain(distance, ends=ends, effort=Effort.PROVE)
    assert answer.certificate.proved
    assert answer.certificate.cost == by_subsets(distance, ends)


def test_the_solver_alone_finds_what_exchanges_miss(monkeypatch: pytest.MonkeyPatch) -> None:
    """Started from a bad chain, the solver still proves the best one."""
    monkeypatch.setattr(chain_solver, "turned", lambda _distance, _order, _ends: tuple(range(12)))
    monkeypatch.setattr(chain_solver, "nearest_first", lambda _distance, _ends: tuple(range(12)))
    distance = table(1, 12)
    answer = shortest_chain(distance, effort=Effort.USUAL)
    assert answer.certificate.proved
    assert answer.certificate.cost == by_subsets(distance, ()) < (answer.certificate.baseline or 0)


def test_a_chain_of_24_devices_is_proved() -> None:
    """The usual budget is enough for the largest bus of a robot."""
    answer = shortest_chain(table(7, 24), effort=Effort.USUAL)
    assert answer.certificate.proved
    first = shortest_chain(table(7, 24), effort=Effort.FIRST).certificate
    assert answer.certificate.bound <= first.cost <= (first.baseline or 0)


@pytest.mark.parametrize("seed", range(8))
def test_no_stretch_turned_round_makes_the_first_answer_shorter(seed: int) -> None:
    """The answer without a solver has at least no loop in it, and starts at its lower end where ends are free."""
    distance = table(seed, 20)
    order = shortest_chain(distance, effort=Effort.FIRST).order
    length = sum(distance[a][b] for a, b in pairwise(order))
    assert order[0] < order[-1]
    for i, j in combinations(range(len(order) + 1), 2):
        turned = order[:i] + order[i:j][::-1] + order[j:]
        assert sum(distance[a][b] for a, b in pairwise(turned)) >= length


def test_of_equally_short_chains_the_lower_numbers_come_first() -> None:
    """Devices at one place, and a line that can be walked from both ends."""
    assert shortest_chain([[0] * 5 for _ in range(5)], effort=Effort.USUAL).order == (0, 1, 2, 3, 4)
    line = [[abs(a - b) for b in (2, 0, 1)] for a in (2, 0, 1)]
    assert shortest_chain(line, effort=Effort.USUAL).order == (0, 2, 1)


def test_ends_stay_ends() -> None:
    """The first pinned device starts the chain, the second ends it, whatever that costs."""
    line = [[abs(a - b) for b in range(4)] for a in range(4)]
    assert shortest_chain(line, ends=(2,), effort=Effort.USUAL).order[0] == 2
    assert shortest_chain(line, ends=(1, 2), effort=Effort.USUAL).order == (1, 0, 3, 2)
    assert shortest_chain(line, ends=(1, 2), effort=Effort.FIRST).order[::3] == (1, 2)


@pytest.mark.parametrize("devices", [0, 1])
def test_no_hop_is_a_chain_too(devices: int) -> None:
    """No device, or one: nothing to lay."""
    answer = shortest_chain([[0] * devices] * devices, effort=Effort.PROVE)
    assert (answer.order, answer.certificate.proved) == (tuple(range(devices)), True)


def test_who_stops_it_gets_the_best_so_far() -> None:
    """A stopped search has an answer with an honest gap, no worse than the plain one."""

    class Stopper:
        stopped = True

        def tell(self, news: object) -> None:
            """Hear nothing."""

    answer = shortest_chain(table(3, 24), effort=Effort.PROVE, watch=Stopper())
    assert answer.certificate.cost <= (answer.certificate.baseline or 0)
    assert SILENT.stopped is False


@pytest.mark.parametrize(
    ("distance", "ends", "words"),
    [
        ([[0, 1], [2, 0]], (), "not the same in both directions"),
        ([[0, -1], [-1, 0]], (), "below zero"),
        ([[0, 1]], (), "no square table"),
        ([[0, 1], [1, 0]], (0, 0), "two different devices"),
        ([[0, 1], [1, 0]], (2,), "two different devices"),
        ([[0] * 3] * 3, (0, 1, 2), "two different devices"),
    ],
)
def test_what_is_no_chain_is_refused(distance: Table, ends: tuple[int, ...], words: str) -> None:
    """A table that is no table of distances, and ends that are none."""
    with pytest.raises(ValueError, match=words):
        shortest_chain(distance, ends=ends, effort=Effort.FIRST)


LINE = [[abs(a - b) for b in range(4)] for a in range(4)]
GOOD = Certificate(cost=3, bound=3, unit="mm", baseline=3)


@pytest.mark.parametrize(
    ("order", "ends", "certificate", "words"),
    [
        ((0, 1, 2), (), GOOD, "each device once"),
        ((0, 1, 2, 2), (), GOOD, "each device once"),
        ((0, 1, 2, 3), (3,), GOOD, "not at its end"),
        ((0, 1, 2, 3), (0, 2), GOOD, "not at its end"),
        ((1, 0, 2, 3), (), GOOD, "another length"),
        ((0, 1, 2, 3), (), Certificate(cost=3, bound=3, unit="m"), "another length"),
        ((0, 1, 2, 3), (), Certificate(cost=3, bound=4, unit="mm"), "no chain is as short"),
        ((0, 1, 2, 3), (), Certificate(cost=3, bound=3, unit="mm", baseline=2), "longer than the plain one"),
    ],
)
def test_a_wrong_chain_is_refused(
    order: tuple[int, ...], ends: tuple[int, ...], certificate: Certificate, words: str
) -> None:
    """One thing wrong at a time."""
    assert check_chain(LINE, (0, 3), (0, 1, 2, 3), GOOD) == 3
    with pytest.raises(ValueError, match=words):
        check_chain(LINE, ends, order, certificate)
