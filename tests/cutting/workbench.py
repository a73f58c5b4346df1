"""Pieces and stocks for the tests of the cutting room, and the slow plain twin of its search."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from hypothesis import strategies as st

from loomwright.cutting import CutPlan, Piece
from loomwright.cutting.checker.check import standing
from loomwright.model.stock import CutHabits, Offer, Spool, Stock
from loomwright.units import Gauge

G12, G18 = Gauge(12), Gauge(18)
PAIR, RED = ("RD", "BK"), ("RD",)


def single(wire: str, length_mm: int, colour: str = "RD", gauge: Gauge = G18) -> Piece:
    """Make a piece of single wire."""
    return Piece((wire,), gauge, (colour,), length_mm / 1000)


def pair(first: str, second: str, length_mm: int, gauge: Gauge = G12) -> Piece:
    """Make a piece of bonded pair."""
    return Piece((first, second), gauge, PAIR, length_mm / 1000)


def red(*lengths_mm: int) -> tuple[Piece, ...]:
    """Make red pieces named W1, W2 ... of these lengths."""
    return tuple(single(f"W{number}", length) for number, length in enumerate(lengths_mm, 1))


def spool(length_mm: int, *, offcut: bool = False, name: str = "", colours: tuple[str, ...] = RED) -> Spool:
    """Make a spool or off-cut of 18 AWG, or of 12 AWG for a pair."""
    gauge = G12 if colours == PAIR else G18
    return Spool(name or f"{'off-cut' if offcut else 'spool'} {length_mm}", gauge, colours, length_mm / 1000, offcut)


def offer(length_mm: int, price: float | None = None, colours: tuple[str, ...] = RED) -> Offer:
    """Make an offer of 18 AWG, or of 12 AWG for a pair."""
    return Offer(G12 if colours == PAIR else G18, colours, length_mm / 1000, price)


def stock(
    *spools: Spool,
    offers: Sequence[Offer] = (),
    plenty: Sequence[tuple[Gauge, tuple[str, ...]]] = (),
    kerf_mm: int = 0,
    trim_mm: int = 0,
    keep_mm: int = 150,
) -> Stock:
    """Make a stock of 12 and 18 AWG."""
    habits = CutHabits(kerf_mm / 1000, trim_mm / 1000, keep_mm / 1000)
    return Stock((G18, G12), "stock.yaml", spools, tuple(offers), tuple(plenty), habits)


def reached(plan: CutPlan, pieces: Sequence[Piece], store: Stock) -> tuple[float, ...]:
    """Tell what an answer comes to: missing, bought, cents, scrap [mm]."""
    return standing(plan, pieces, store)[:4]


def laid_out(plan: CutPlan) -> list[tuple[str, list[str], int]]:
    """Write a plan down: each spool, its wires in the order they are cut, what is left [mm]."""
    return [
        (cut.spool.name, [wire for piece in cut.pieces for wire in piece.wires], round(1000 * cut.left_m))
        for cut in plan.cuts
    ]


@dataclass(slots=True, eq=False)
class _Bin:
    whole_mm: int
    left_mm: int
    new: bool
    cents: int
    pieces: list[int] = field(default_factory=list)


def best_by_trying(lengths_mm: Sequence[int], store: Stock) -> tuple[int, ...]:
    """Try every way to cut pieces of one wire; return the least missing, bought, cents and scrap, in this order."""
    mm = {name: round(1000 * getattr(store.habits, f"{name}_m")) for name in ("kerf", "trim", "keep")}
    hand = [
        _Bin(length := round(1000 * one.length_m), length - (0 if one.offcut else mm["trim"]), new=False, cents=0)
        for one in store.spools
    ]
    priced = all(one.price is not None for one in store.offers)
    shop = [(round(1000 * one.length_m), round(100 * (one.price or 0)) if priced else 0) for one in store.offers]

    def ways(number: int, bins: list[_Bin], missing: int) -> Iterator[tuple[int, ...]]:
        if number == len(lengths_mm):
            used = [one for one in bins if one.pieces]
            kept = sum(one.left_mm for one in used if one.left_mm >= mm["keep"])
            scrap = sum(one.whole_mm - sum(one.pieces) for one in used) - kept
            yield missing, sum(one.new for one in used), sum(one.cents for one in used), scrap
            return
        length = lengths_mm[number]
        fresh = [_Bin(whole, whole - mm["trim"], new=True, cents=cents) for whole, cents in shop]
        for one in (*bins, *fresh):
            if one.left_mm >= length + mm["kerf"]:
                one.left_mm -= length + mm["kerf"]
                one.pieces.append(length)
                yield from ways(number + 1, bins if one in bins else [*bins, one], missing)
                one.pieces.pop()
                one.left_mm += length + mm["kerf"]
        yield from ways(number + 1, bins, missing + 1)

    return min(ways(0, hand, 0))


@st.composite
def small_questions(draw: st.DrawFn, most: int = 5) -> tuple[tuple[int, ...], Stock]:
    """Draw a few red pieces [mm] and a stock that is now and then too small."""
    lengths = draw(st.lists(st.integers(3, 60), min_size=1, max_size=most))
    hand = draw(st.lists(st.tuples(st.integers(5, 120), st.booleans()), max_size=3))
    shop = draw(st.lists(st.tuples(st.integers(30, 130), st.sampled_from([None, 1.0, 2.5, 4.0])), max_size=2))
    spools = [spool(10 * length, offcut=offcut, name=f"{n}") for n, (length, offcut) in enumerate(hand)]
    return tuple(10 * length for length in lengths), stock(
        *spools,
        offers=[offer(10 * length, price) for length, price in shop],
        kerf_mm=draw(st.sampled_from([0, 0, 3])),
        trim_mm=draw(st.sampled_from([0, 10])),
        keep_mm=draw(st.sampled_from([50, 150, 400])),
    )
