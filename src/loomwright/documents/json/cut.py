"""The cut list as JSON: what is cut from which spool, what is left, what to buy, what is needed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.documents.json.numbers import mm, number, standing

if TYPE_CHECKING:
    from loomwright.cutting.result import CutPlan, Piece, Purchase, SpoolCut
    from loomwright.plan.result import Plan


def cut_told(plan: Plan) -> dict[str, object]:
    """Tell the whole cut list; nothing but empty lists where nothing is to cut."""
    cut = plan.cut
    held = cut.certificate if cut else None
    return {
        **standing(held),
        "scrap_mm": number(held.cost) if held else None,
        "bound_mm": number(held.bound) if held else None,
        "baseline_mm": number(held.baseline) if held else None,
        "spools_bought": sum(buy.count for buy in cut.buys) if cut else 0,
        "least_bought": _least_bought(cut) if cut else 0,
        "spools": [_spool(one) for one in cut.cuts] if cut else [],
        "buy": [_buy(buy) for buy in cut.buys] if cut else [],
        "freely": [_whole(piece) for piece in cut.freely] if cut else [],
        "missing": [_whole(piece) for piece in cut.missing] if cut else [],
        "metres": [
            {"gauge": str(gauge), "colours": list(colours), "metres": number(needed_m)}
            for gauge, colours, needed_m in (cut.metres if cut else ())
        ],
    }


def _least_bought(cut: CutPlan) -> int:
    """Tell how many spools any list buys at least that leaves as few pieces without wire.

    The proof counts those pieces and the spools together.
    """
    held = cut.certificate
    return max(0, round(held.least_breaks) - len(cut.missing)) if held else 0


def _spool(cut: SpoolCut) -> dict[str, object]:
    spool = cut.spool
    return {
        "name": spool.name,
        "gauge": str(spool.gauge),
        "colours": list(spool.colours),
        "length_mm": mm(spool.length_m),
        "bought": cut.bought is not None,
        "left_mm": mm(cut.left_m),
        "kept": cut.kept,
        "pieces": [_piece(piece) for piece in cut.pieces],
    }


def _piece(piece: Piece) -> dict[str, object]:
    return {"wires": list(piece.wires), "length_mm": mm(piece.length_m)}


def _whole(piece: Piece) -> dict[str, object]:
    return {"gauge": str(piece.gauge), "colours": list(piece.colours), **_piece(piece)}


def _buy(buy: Purchase) -> dict[str, object]:
    return {
        "gauge": str(buy.offer.gauge),
        "colours": list(buy.offer.colours),
        "length_mm": mm(buy.offer.length_m),
        "count": buy.count,
        "cost": number(buy.cost),
    }
