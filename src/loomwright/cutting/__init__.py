"""Pieces of wire to spools: what is cut from what, with the least waste."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from loomwright.cutting.assemble import cuts_of, in_order, metres, purchases
from loomwright.cutting.batch import Score, score
from loomwright.cutting.checker.check import faults, standing
from loomwright.cutting.engine.first_fit import first_fit
from loomwright.cutting.engine.plain_bound import plain_bound
from loomwright.cutting.lots import sort_out
from loomwright.cutting.result import CutPlan, Piece, Purchase, SpoolCut
from loomwright.search import SILENT, Certificate, Effort

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.cutting.batch import Pattern
    from loomwright.cutting.lots import Lot
    from loomwright.model.stock import Stock
    from loomwright.search import Watch

__all__ = ["CutPlan", "Piece", "Purchase", "SpoolCut", "cut", "still_right"]


def cut(
    pieces: Sequence[Piece],
    stock: Stock,
    *,
    effort: Effort = Effort.USUAL,
    watch: Watch = SILENT,
    kept: CutPlan | None = None,
) -> CutPlan:
    """Lay pieces out on the spools of a stock.

    First as few pieces as possible stay without a spool, then as few spools as possible are bought, then they cost as
    little as possible, then as little as possible is scrap: wire of started spools that becomes neither a piece nor an
    off-cut worth keeping. Among equals, one that takes much from
    off-cuts. The answer doesn't depend on the order of the
    pieces. `kept` is an earlier answer: where it is still right and no worse, its layout stays.

    Raises
    ------
    AssertionError
        Where the independent checker refuses the answer: a fault of this program, never of the input.
    """
    sorted_out = sort_out(pieces, stock)
    answers = [(lot, *_answer(lot, effort, watch)) for lot in sorted_out.lots]
    made = [cuts_of(lot, patterns) for lot, patterns, _, _ in answers]
    cuts = in_order(one for spools, _ in made for one in spools)
    missing = tuple(piece for _, left in made for piece in left)
    plan = CutPlan(
        cuts=cuts,
        buys=purchases(cuts),
        freely=sorted_out.freely,
        missing=missing,
        certificate=_certificate([(score(lot.batch, p), least, base) for lot, p, least, base in answers]),
        metres=metres((*sorted_out.freely, *missing, *(piece for one in cuts for piece in one.pieces))),
    )
    if kept is not None:
        plan = _kept(kept, plan, pieces, stock)
    wrong = faults(plan, pieces, stock)
    if wrong:
        raise AssertionError("the cut list is wrong: " + "; ".join(wrong))
    return plan


def still_right(kept: CutPlan, pieces: Sequence[Piece], stock: Stock) -> CutPlan | None:
    """Return an earlier answer with its own proof where the checker passes it, None where it does not."""
    sorted_out = sort_out(pieces, stock)
    laid_out = (piece for one in kept.cuts for piece in one.pieces)
    cuts = in_order(kept.cuts)
    plan = replace(
        kept,
        cuts=cuts,
        buys=purchases(cuts),
        freely=sorted_out.freely,
        metres=metres((*sorted_out.freely, *kept.missing, *laid_out)),
    )
    return None if faults(plan, pieces, stock) else plan


def _kept(kept: CutPlan, found: CutPlan, pieces: Sequence[Piece], stock: Stock) -> CutPlan:
    """Return the earlier layout with the new proof where it is right and no worse, else the one just found."""
    before, now = standing(kept, pieces, stock), standing(found, pieces, stock)
    proof = found.certificate
    if proof is None or before > now:
        return found
    missing, bought, _, scrap_mm, _ = before
    # With fewer spools bought, the bound on scrap that was found says nothing.
    bound = proof.bound if before[:3] == now[:3] else 0
    proof = replace(proof, cost=scrap_mm, bound=bound, breaks=missing + bought)
    return replace(kept, certificate=proof, metres=found.metres)


def _answer(lot: Lot, effort: Effort, watch: Watch) -> tuple[tuple[Pattern, ...], Score, Score]:
    """Return the patterns of a lot, a bound for every number of their score, and the score of the plain answer."""
    first = first_fit(lot.batch)
    plain = score(lot.batch, first)
    if effort is Effort.FIRST:
        return first, plain_bound(lot.batch, missing=plain.missing), plain
    # The solvers are loaded when something is laid out, not when the program starts.
    from loomwright.cutting.engine.solve import budget_of, improve  # noqa: PLC0415

    patterns, least = improve(lot.batch, first, budget=budget_of(effort), watch=watch)
    return patterns, least, plain


def _certificate(lots: list[tuple[Score, Score, Score]]) -> Certificate | None:
    """Add up what was reached, what is proved and what the plain answer came to; None where nothing was laid out."""
    if not lots:
        return None
    return Certificate(
        cost=sum(reached.scrap_mm for reached, _, _ in lots),
        # A scrap bound holds for answers that are as good before: it says nothing while those may be better.
        bound=sum(least.scrap_mm if reached[:3] == least[:3] else 0 for reached, least, _ in lots),
        unit="mm",
        baseline=sum(plain.scrap_mm for _, _, plain in lots),
        breaks=sum(reached.missing + reached.bought for reached, _, _ in lots),
        least_breaks=sum(least.missing + least.bought for _, least, _ in lots),
        baseline_breaks=sum(plain.missing + plain.bought for _, _, plain in lots),
    )
