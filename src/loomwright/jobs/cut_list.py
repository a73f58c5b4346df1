"""Which pieces are cut: from the planned wires to the cut list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.cutting import cut, still_right
from loomwright.cutting.result import CutPlan, Piece, SpoolCut
from loomwright.findings import Finding, Place, Severity
from loomwright.model.part import Polarity
from loomwright.model.stock import Spool
from loomwright.search import Effort
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from loomwright.jobs.deciding import Bound
    from loomwright.model.stock import Offer, Stock
    from loomwright.plan.memory import KeptCut, Memory
    from loomwright.plan.result import PlannedCircuit, PlannedWire
    from loomwright.search import Certificate

_SAME_M = 1e-6
_SHOWN = 6
_MM = 1e-3


def cut_list(
    stock: Stock, circuits: Iterable[PlannedCircuit], memory: Memory, bound: Bound, *, current: bool
) -> CutPlan | None:
    """Return what is cut from what; None where nothing is to cut.

    `current` tells that nothing has changed since the plan of `memory`, so that its cut list stands.
    """
    made = bound.lengths
    pieces = [piece for circuit in circuits for piece in pieces_of(w for w in circuit.wires if w.key not in made)]
    if not pieces:
        return None
    proof = memory.certificates.get("cut") if current else None
    if proof is not None and (proof.proved or bound.effort is not Effort.PROVE):
        kept = _kept(stock, pieces, memory.cuts, proof)
        stands = still_right(kept, pieces, stock) if kept is not None else None
        if stands is not None:
            return stands
    return cut(pieces, stock, effort=bound.effort, watch=bound.watch)


def _kept(stock: Stock, pieces: Sequence[Piece], cuts: Sequence[KeptCut], proof: Certificate) -> CutPlan | None:
    """Read the last cut list again; None where a spool, an offer or a piece of it is not there any more."""
    by_wires = {piece.wires: piece for whole in pieces for piece in (whole, *_parted(whole))}
    found: list[SpoolCut] = []
    for held in cuts:
        here = [by_wires[wires] for wires in held.wires if wires in by_wires]
        spool, offer = _spool(stock, held, here)
        if len(here) != len(held.wires) or spool is None:
            return None
        worth_keeping = held.left_m >= stock.habits.keep_m
        found.append(SpoolCut(spool, tuple(here), held.left_m, worth_keeping, offer))
    laid_out = {wire for one in found for piece in one.pieces for wire in piece.wires}
    missing = tuple(p for p in pieces if not laid_out.issuperset(p.wires) and not _is_free(stock, p))
    return CutPlan(cuts=tuple(found), missing=missing, certificate=proof)


def cut_findings(stock: Stock, cut: CutPlan | None) -> Iterator[Finding]:
    """Tell of wires that nothing on hand or on offer is long enough for."""
    missing = cut.missing if cut is not None else ()
    by_kind: dict[str, list[str]] = {}
    for piece in missing:
        by_kind.setdefault(f"{piece.gauge} {'/'.join(piece.colours)}", []).extend(piece.wires)
    for kind, wires in by_kind.items():
        shown = [*wires[:_SHOWN], *([f"{len(wires) - _SHOWN} more"] if len(wires) > _SHOWN else [])]
        yield Finding(
            "wire-missing",
            Severity.SHOULD,
            Place(stock.source, 1, 1, "wire"),
            f"There is not enough {kind} on hand or on offer, so {listed(shown, 'and')} can't be cut.",
            f"Write in {stock.source} what you have of it, `enough` if there is plenty, or what a shop sells (`buy:`).",
        )


def _parted(pair: Piece) -> Iterator[Piece]:
    """Give the two singles that a pair may be cut as."""
    if len(pair.wires) > 1:
        for wire, colour in zip(pair.wires, pair.colours, strict=True):
            yield Piece((wire,), pair.gauge, (colour,), pair.length_m)


def _spool(stock: Stock, held: KeptCut, pieces: Sequence[Piece]) -> tuple[Spool | None, Offer | None]:
    if not held.bought:
        return next((s for s in stock.spools if s.name == held.spool), None), None
    for offer in stock.offers:
        fits = all(p.gauge == offer.gauge and p.colours == (offer.colours or p.colours) for p in pieces)
        if fits and abs(offer.length_m - held.length_m) < _MM:
            colours = offer.colours or (pieces[0].colours if pieces else ())
            return Spool(held.spool, offer.gauge, colours, offer.length_m), offer
    return None, None


def _is_free(stock: Stock, piece: Piece) -> bool:
    """Tell whether there is enough of a piece's wire, so that it is cut from any spool."""
    return not stock.source or any(g == piece.gauge and c in ((), piece.colours) for g, c in stock.plenty)


def pieces_of(wires: Iterable[PlannedWire]) -> Iterator[Piece]:
    """Give the pieces of one circuit's wires: two that run together and are equally long make a pair.

    A part's own leads, ready-made cables, and wires of unknown gauge or length are not cut.
    """
    left = [wire for wire in wires if _is_cut(wire)]
    while left:
        wire = left.pop(0)
        twin = next((other for other in left if _pairs(wire, other)), None)
        if wire.gauge is None or wire.length_m is None:
            continue
        if twin is None:
            yield Piece((wire.id,), wire.gauge, (wire.colour,), wire.length_m)
            continue
        left.remove(twin)
        yield Piece((wire.id, twin.id), wire.gauge, (wire.colour, twin.colour), wire.length_m)


def _is_cut(wire: PlannedWire) -> bool:
    cable = wire.a.polarity is Polarity.CABLE
    return not wire.captive and not cable and wire.gauge is not None and bool(wire.length_m)


def _pairs(one: PlannedWire, other: PlannedWire) -> bool:
    """Tell whether two wires may be one bonded pair: the same way, gauge and length."""
    together = (one.a.device, one.a.socket, one.b.device) == (other.a.device, other.a.socket, other.b.device)
    same_length = abs((one.length_m or 0.0) - (other.length_m or 0.0)) < _SAME_M
    return together and one.gauge == other.gauge and same_length
