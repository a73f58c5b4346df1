"""Time the cut list and print how near to the best possible it is, beside first fit (longest first).

    python benchmarks/cutting.py [INSTANCES]

Two parts. Classes of bin packing, made anew by their published recipes with seeds of our own: the same kind of
question, not the same numbers, so each optimum is what the bound proves here.

- Falkenauer (1996), uniform: bins of 150, items from 20 to 100, 120 or 250 of them.
- Schwerin and Waescher (1997): bins of 1000, items from 150 to 200, 100 of them.
- Scholl, Klein and Juergens (1997), second set: bins of 1000, items of an average size of 1/3, 1/5, 1/7 or 1/9 of that,
  within 20, 50 or 90 % of it, 50 or 100 of them.

And teams: 24 bonded pairs and 20 singles, with spools, off-cuts and offers; lengths in steps of 1 cm, 5 mm and 1 mm.
"""

from __future__ import annotations

import random
import statistics
import sys
from collections.abc import Sequence
from time import perf_counter

from loomwright.cutting import CutPlan, Piece, cut
from loomwright.model.stock import CutHabits, Offer, Spool, Stock
from loomwright.search import Certificate
from loomwright.units import Gauge

_RED, _PAIR = ("RD",), ("RD", "BK")
_NEAR_MM = 150


def main(words: Sequence[str]) -> None:
    """Measure and print."""
    count = int(words[0]) if words else 10
    print(
        f"{'class':34}{'median s':>9}{'most s':>9}{'proved':>9}{'widest gap':>11}{'spools':>8}{'first fit':>10} scrap"
    )
    for name, questions in {**_bins(count), **_teams(count)}.items():
        _line(name, questions)


def _line(name: str, questions: list[tuple[list[Piece], Stock]]) -> None:
    """Solve every question of a class; print times, proofs, the widest gap, and what first fit would need more."""
    seconds, proofs = [], []
    for pieces, stock in questions:
        start = perf_counter()
        plan = cut(pieces, stock)
        seconds.append(perf_counter() - start)
        proofs.append(_proof(plan))
    widest = max(p.cost - p.bound if p.breaks == p.least_breaks else float("inf") for p in proofs)
    proved = sum(p.proved for p in proofs)
    more = sum((p.baseline_breaks or 0) - p.breaks for p in proofs)
    alike = [p for p in proofs if p.baseline_breaks == p.breaks]
    scrap = f"{sum(p.cost for p in alike) / max(1.0, sum(p.baseline or 0 for p in alike)) - 1:+.0%}" if alike else "-"
    print(
        f"{name:34}{statistics.median(seconds):9.2f}{max(seconds):9.2f}{proved:5}/{len(proofs):<3}{widest:8.0f} mm"
        f"{sum(p.breaks for p in proofs):8.0f}{more:+10.0f} {scrap:>5}",
        flush=True,
    )


def _proof(plan: CutPlan) -> Certificate:
    if plan.certificate is None:
        raise AssertionError("nothing was laid out")
    return plan.certificate


def _bins(count: int) -> dict[str, list[tuple[list[Piece], Stock]]]:
    """Make the classes of bin packing."""
    classes: dict[str, tuple[int, int, int, int]] = {
        "Falkenauer uniform, 120": (150, 20, 100, 120),
        "Falkenauer uniform, 250": (150, 20, 100, 250),
        "Schwerin, 100": (1000, 150, 200, 100),
    }
    for share in (3, 5, 7, 9):
        for spread in (20, 50, 90):
            middle = 1000 / share
            low, high = round(middle * (1 - spread / 100)), round(middle * (1 + spread / 100))
            classes[f"Scholl 2, 1/{share} within {spread} %, 50"] = (1000, max(1, low), high, 50)
            classes[f"Scholl 2, 1/{share} within {spread} %, 100"] = (1000, max(1, low), high, 100)
    return {name: [_packing(f"{name} {n}", *numbers) for n in range(count)] for name, numbers in classes.items()}


def _packing(seed: str, size: int, low: int, high: int, items: int) -> tuple[list[Piece], Stock]:
    chance = _dice(seed)
    gauge = Gauge(18)
    pieces = [Piece((f"W{n}",), gauge, _RED, chance.randint(low, high) / 1000) for n in range(items)]
    habits = CutHabits(trim_m=0.0, keep_m=float(size))
    return pieces, Stock((gauge,), "stock.yaml", (), (Offer(gauge, _RED, size / 1000),), (), habits)


def _teams(count: int) -> dict[str, list[tuple[list[Piece], Stock]]]:
    """Make cut lists as teams have them, with much and with little wire to spare."""
    return {
        f"team, steps of {step} mm, {many} lots": [_team(f"{step} {many} {n}", step, many) for n in range(count)]
        for step in (10, 5, 1)
        for many in ("few", "many")
    }


def _team(seed: str, step_mm: int, lots: str) -> tuple[list[Piece], Stock]:
    """Make 24 pairs and 20 singles: all of one gauge and colour (few lots, large), or of several."""
    chance = _dice(seed)

    def metres(low_mm: int, high_mm: int) -> float:
        return chance.randrange(low_mm, high_mm, step_mm) / 1000

    pair_gauges = [Gauge(12)] if lots == "few" else [Gauge(12), Gauge(12), Gauge(14), Gauge(18)]
    colours = ["RD"] if lots == "few" else ["RD", "BK", "WH"]
    pieces = [
        Piece((f"W{2 * n}", f"W{2 * n + 1}"), chance.choice(pair_gauges), _PAIR, metres(300, 2200)) for n in range(24)
    ]
    pieces += [Piece((f"S{n}",), Gauge(18), (chance.choice(colours),), metres(200, 1800)) for n in range(20)]
    spools, offers = list[Spool](), list[Offer]()
    kinds = [(gauge, _PAIR) for gauge in dict.fromkeys(pair_gauges)] + [(Gauge(18), (colour,)) for colour in colours]
    for gauge, codes in kinds:
        name = f"{gauge} {'/'.join(codes)}"
        spools += [Spool(f"{name} off-cut {n}", gauge, codes, metres(300, 2500), offcut=True) for n in range(8)]
        spools += [Spool(f"{name} spool", gauge, codes, metres(2000, 6000))]
        offers += [Offer(gauge, codes, 5.0, 8.0), Offer(gauge, codes, 3.0, 5.5)]
    return pieces, Stock(tuple(dict.fromkeys(g for g, _ in kinds)), "stock.yaml", tuple(spools), tuple(offers))


def _dice(seed: str) -> random.Random:
    return random.Random(seed)  # noqa: S311  made-up lengths


if __name__ == "__main__":
    main(sys.argv[1:])
