"""Time the slot search on made-up robots, and show what it gains on a plain greedy seating.

    python benchmarks/slots.py [COUNT [ITEMS [SLOTS_A_FACE]]]

For each of COUNT seeded robots (10) with ITEMS circuits (24) on two faces of SLOTS_A_FACE slots (12) and two in front,
two of them reserved, it prints: the plain greedy seating, the first answer and its time, the time until within 0.5 % of
the best, the time to the proof, the least cost, and what was gained on greedy. Greedy goes item by item in the order of
names, and takes the cheapest free seat; an item that finds none makes the others move on, once all have tried. Aims on
two cores with one worker: within 0.5 % in 2 s, proved in 30 s. Times are the processor's: other work on the machine
does not count. Nothing here fails: people read the numbers.
"""

from __future__ import annotations

import statistics
import sys
from collections.abc import Sequence
from time import process_time

from slot_instances import instance

from loomwright.layout.checker.slots import check_slots
from loomwright.layout.engine.slot_board import Board, Cost, board_of, cost_of
from loomwright.layout.engine.slot_clash import explain
from loomwright.layout.engine.slot_solver import seat
from loomwright.layout.slot_problem import SlotProblem, Wish
from loomwright.search import Effort, News

_NEAR = 1.005


class _Clock:
    """Hears when each better answer was found."""

    stopped = False

    def __init__(self) -> None:
        self._start = process_time()
        self.heard: list[tuple[float, float]] = []

    def tell(self, news: News) -> None:
        """Note the time of an answer."""
        if news.cost is not None:
            self.heard.append((process_time() - self._start, news.cost))


def main(words: Sequence[str]) -> None:
    """Measure and print."""
    count, items, a_face = (
        int(word) if word else usual for word, usual in zip([*words, "", "", ""], (10, 24, 12), strict=False)
    )
    print(f"{items} circuits on {2 * a_face} slots; costs in mm, times in seconds of processor, one worker")
    print("robot  greedy   first   (s)    best  status   0.5 % (s)  proof (s)  gain on greedy")
    near: list[float] = []
    proof: list[float] = []
    gains: list[float] = []
    for seed in range(count):
        problem = instance(seed, items=items, a_face=a_face)
        board = board_of(problem)
        greedy = _greedy(board)
        begun = process_time()
        first = seat(problem, effort=Effort.FIRST)
        first_s = process_time() - begun
        clock = _Clock()
        begun = process_time()
        best = seat(problem, effort=Effort.PROVE, watch=clock)
        proof.append(process_time() - begun)
        cost = best.certificate.cost
        near.append(min((at for at, mm in clock.heard if mm <= cost * _NEAR), default=proof[-1]))
        gains.append(1 - cost / greedy.mm)
        more = (
            f"({greedy.breaks - best.certificate.breaks:g} breaks fewer)"
            if greedy.breaks > best.certificate.breaks
            else ""
        )
        print(
            f"{seed:5}{greedy.mm:8}{first.certificate.cost:8.0f}{first_s:6.3f}{cost:8.0f}  {best.certificate.status:8}"
            f"{near[-1]:10.2f}{proof[-1]:11.2f}{100 * gains[-1]:13.1f} % {more}",
            flush=True,
        )
        check_slots(problem, best)
    print(f"within 0.5 %: median {statistics.median(near):.2f} s, most {max(near):.2f} s (aim 2)")
    print(f"proved: median {statistics.median(proof):.2f} s, most {max(proof):.2f} s (aim 30)")
    print(f"gain on greedy: median {100 * statistics.median(gains):.1f} %, least {100 * min(gains):.1f} %")
    print(f"a planted clash explained: most {max(_clash(instance(n, items=20)) for n in range(count)):.3f} s (aim 0.3)")


def _greedy(board: Board) -> Cost:
    """Seat item by item on its cheapest free seat; who finds none makes others move on."""
    held: dict[int, int] = {}
    late = []
    for item, here in enumerate(board.choices):
        free = [s for s in _by_price(board, item) if s not in held and here[s].breaks == 0]
        if free:
            held[free[0]] = item
        else:
            late.append(item)
    for item in late:
        _augment(board, item, held, set())
    seating: list[int | None] = [None] * len(board.names)
    for seat_number, item in held.items():
        seating[item] = seat_number
    return cost_of(board, seating)


def _by_price(board: Board, item: int) -> list[int]:
    here = board.choices[item]
    return sorted(here, key=lambda s: (here[s].breaks, here[s].rework, here[s].wire_mm, s))


def _augment(board: Board, item: int, held: dict[int, int], tried: set[int]) -> bool:
    for seat_number in _by_price(board, item):
        if seat_number not in tried:
            tried.add(seat_number)
            if seat_number not in held or _augment(board, held[seat_number], held, tried):
                held[seat_number] = item
                return True
    return False


def _clash(problem: SlotProblem) -> float:
    """Ask for seven heavy slots for ten circuits, and for what else they wish; return how long explaining takes."""
    heavy = tuple(s.spot for s in problem.seats if s.group == "heavy")[:7]
    wishes = [
        Wish(key=f"heavy {item.name}", item=item.name, spots=heavy, weight=5 + n)
        for n, item in enumerate(problem.items[:10])
    ]
    clashing = SlotProblem(
        items=problem.items, seats=problem.seats, prices=problem.prices, wishes=(*problem.wishes, *wishes)
    )
    seated = dict(seat(clashing, effort=Effort.FIRST).seats)
    begun = process_time()
    explain(clashing, seated)
    return process_time() - begun


if __name__ == "__main__":
    main(sys.argv[1:])
