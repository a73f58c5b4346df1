"""Whether a cut list is right: every piece once, from wire of its kind, with rests, purchases and proof that are true.

Written against the question, not against the engine: it shares no code with it.
"""

from __future__ import annotations

from collections import Counter
from itertools import chain
from math import inf, isclose
from typing import TYPE_CHECKING

from loomwright.cutting.checker.measure import down_mm, holds, measured, of_a_kind, up_mm

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from loomwright.cutting.result import CutPlan, Piece, SpoolCut
    from loomwright.model.stock import Offer, Spool, Stock

_HAIR = 1e-6


def faults(plan: CutPlan, pieces: Sequence[Piece], stock: Stock) -> list[str]:
    """Return everything that is wrong with a cut list, empty where nothing is."""
    return [
        *_pieces(plan, pieces, stock),
        *_spools(plan, stock),
        *_purchases(plan, stock),
        *_elsewhere(plan, stock),
        *_metres(plan),
        *_certificate(plan, stock),
    ]


def standing(plan: CutPlan, pieces: Sequence[Piece], stock: Stock) -> tuple[float, ...]:
    """Tell how good a cut list is: missing, new spools, price, scrap [mm], not from off-cuts [mm]; less is better.

    A list that doesn't answer the question stands behind every one that does.
    """
    if [*_pieces(plan, pieces, stock), *_spools(plan, stock), *_purchases(plan, stock), *_elsewhere(plan, stock)]:
        return (inf,) * 5
    told = [measured(cut, stock.habits) for cut in plan.cuts]
    cost = sum(buy.count * round(100 * (buy.offer.price or 0)) for buy in plan.buys if _comparable(buy.offer, stock))
    scrap, fresh = sum(one.scrap_mm for one in told), sum(one.fresh_mm for one in told)
    return (len(plan.missing), sum(buy.count for buy in plan.buys), cost, scrap, fresh)


def _comparable(bought: Offer, stock: Stock) -> bool:
    """Tell whether every offer of the same wire has a price: else the cheapest can't be told."""
    rivals = [
        o for o in stock.offers if o.gauge == bought.gauge and set(o.colours or bought.colours) == set(bought.colours)
    ]
    return all(rival.price is not None for rival in rivals)


def _pieces(plan: CutPlan, pieces: Sequence[Piece], stock: Stock) -> Iterator[str]:
    """Find wires that are cut never, twice or wrongly, and pairs that were parted without need."""
    wanted = Counter(_wires(pieces))
    found = Counter(_wires(_all(plan)))
    for wire in sorted((wanted - found) + (found - wanted)):
        yield f"wire {wire[0]} is cut {found[wire]} times, not {wanted[wire]} times"
    whole = {piece.wires for piece in _all(plan)}
    for piece in pieces:
        parted = len(piece.colours) > 1 and piece.wires not in whole
        if parted and _held(piece, stock.spools, stock):
            yield f"the pair {'/'.join(piece.wires)} is parted, and there is bonded pair for it"


def _wires(pieces: Sequence[Piece]) -> list[tuple[str, int, str, float]]:
    return [
        (wire, piece.gauge.number, colour, piece.length_m)
        for piece in pieces
        for wire, colour in zip(piece.wires, piece.colours, strict=True)
    ]


def _all(plan: CutPlan) -> list[Piece]:
    return [*chain.from_iterable(cut.pieces for cut in plan.cuts), *plan.freely, *plan.missing]


def _spools(plan: CutPlan, stock: Stock) -> Iterator[str]:
    """Find spools that are not there, that are cut of the wrong wire, or that come out shorter than told."""
    over = Counter(cut.spool for cut in plan.cuts if cut.bought is None) - Counter(stock.spools)
    for spool in over:
        yield f"{spool.name} is cut more often than it is on hand"
    for cut in plan.cuts:
        told = measured(cut, stock.habits)
        if not cut.pieces:
            yield f"nothing is cut from {cut.spool.name}"
        if told.left_mm < 0:
            yield f"the pieces from {cut.spool.name} are {-told.left_mm} mm too long for it"
        if abs(told.left_mm - 1000 * cut.left_m) > _HAIR:
            yield f"{told.left_mm} mm are left of {cut.spool.name}, not {1000 * cut.left_m:g}"
        if told.kept is not cut.kept:
            yield f"the rest of {cut.spool.name} is {'worth' if told.kept else 'not worth'} keeping"
        for piece in cut.pieces:
            if not of_a_kind(cut.spool, piece):
                yield f"{'/'.join(piece.wires)} is not of the wire on {cut.spool.name}"


def _purchases(plan: CutPlan, stock: Stock) -> Iterator[str]:
    """Find purchases that nobody offers, that are not cut, or that are added up wrongly."""
    cut = Counter(one.bought for one in plan.cuts if one.bought is not None)
    for offer, count in ((cut - _told(plan)) + (_told(plan) - cut)).items():
        yield f"{count} of {offer.length_m:g} m {offer.gauge} are bought or cut, not both"
    for buy in plan.buys:
        if not any(_same_offer(buy.offer, offer) for offer in stock.offers):
            yield f"nobody offers {buy.offer.length_m:g} m of {buy.offer.gauge}"
        cost = None if buy.offer.price is None else buy.count * buy.offer.price
        if (cost is None) is not (buy.cost is None) or (cost is not None and not isclose(cost, buy.cost or 0.0)):
            yield f"{buy.count} at {buy.offer.price} do not cost {buy.cost}"
    for one in plan.cuts:
        if one.bought is not None and not _is_new(one, one.bought):
            yield f"{one.spool.name} is not what is bought for it"


def _told(plan: CutPlan) -> Counter[Offer]:
    return Counter({buy.offer: buy.count for buy in plan.buys})


def _same_offer(bought: Offer, offer: Offer) -> bool:
    """Tell whether a purchase is an offer, in a colour of its own where the offer is of every colour."""
    alike = (bought.gauge, bought.length_m, bought.price) == (offer.gauge, offer.length_m, offer.price)
    return alike and (bought.colours == offer.colours or (not offer.colours and len(bought.colours) == 1))


def _is_new(cut: SpoolCut, offer: Offer) -> bool:
    spool = cut.spool
    return not spool.offcut and (spool.gauge, spool.colours, spool.length_m) == (
        offer.gauge, offer.colours, offer.length_m,
    )  # fmt: skip


def _elsewhere(plan: CutPlan, stock: Stock) -> Iterator[str]:
    """Find pieces that are cut freely without plenty, and pieces that are called missing while something holds them."""
    for piece in plan.freely:
        if stock.source and not any(
            gauge == piece.gauge and (not colours or sorted(colours) == sorted(piece.colours))
            for gauge, colours in stock.plenty
        ):
            yield f"{'/'.join(piece.wires)} is cut freely, and nothing says that there is enough"
    unused = list((Counter(stock.spools) - Counter(cut.spool for cut in plan.cuts if cut.bought is None)).elements())
    for piece in plan.missing:
        if _held(piece, unused, stock):
            yield f"{'/'.join(piece.wires)} is missing, and there is wire for it"
        need_mm = up_mm(piece.length_m) + up_mm(stock.habits.kerf_m)
        if any(of_a_kind(cut.spool, piece) and down_mm(cut.left_m) >= need_mm for cut in plan.cuts):
            yield f"{'/'.join(piece.wires)} is missing, and a rest is long enough for it"


def _held(piece: Piece, spools: Iterable[Spool], stock: Stock) -> bool:
    """Tell whether one of some spools, or of the offers, is long enough for a piece."""
    habits = stock.habits
    return any(holds(spool, piece, habits) for spool in spools) or any(
        holds(offer, piece, habits) for offer in stock.offers
    )


def _metres(plan: CutPlan) -> Iterator[str]:
    sums: dict[tuple[int, tuple[str, ...]], float] = {}
    for piece in _all(plan):
        key = (piece.gauge.number, piece.colours)
        sums[key] = sums.get(key, 0.0) + piece.length_m
    told = {(gauge.number, colours): length for gauge, colours, length in plan.metres}
    if set(sums) != set(told) or any(abs(sums[key] - told[key]) > _HAIR for key in sums):
        yield "the metres needed are added up wrongly"


def _certificate(plan: CutPlan, stock: Stock) -> Iterator[str]:
    """Find a proof that claims more than the list holds."""
    proof = plan.certificate
    if proof is None:
        if plan.cuts or plan.missing:
            yield "there is no certificate"
        return
    scrap = sum(measured(cut, stock.habits).scrap_mm for cut in plan.cuts)
    breaks = len(plan.missing) + sum(1 for cut in plan.cuts if cut.bought is not None)
    if (proof.cost, proof.unit) != (scrap, "mm"):
        yield f"{scrap} mm are scrap, not {proof.cost:g} {proof.unit}"
    if proof.breaks != breaks:
        yield f"{breaks} pieces are missing or spools bought, not {proof.breaks:g}"
    if proof.bound > proof.cost or proof.least_breaks > proof.breaks:
        yield "the bound is above the answer"
