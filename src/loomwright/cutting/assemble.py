"""Patterns back to pieces and spools: who is cut from what, in which order, and what has to be bought."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from loomwright.catalogue.colours import colour_words
from loomwright.cutting.result import Purchase, SpoolCut
from loomwright.model.stock import Offer, Spool
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.cutting.batch import Pattern
    from loomwright.cutting.lots import Lot
    from loomwright.cutting.result import Piece
    from loomwright.units.gauge import Gauge

_M_PER_MM = 1e-3


def cuts_of(lot: Lot, patterns: tuple[Pattern, ...]) -> tuple[tuple[SpoolCut, ...], tuple[Piece, ...]]:
    """Give every pattern its spool and its pieces, the longest first; return also the pieces that no pattern has."""
    waiting = [list(pieces) for pieces in lot.pieces]
    used: Counter[int] = Counter()
    bought: Counter[tuple[str, ...]] = Counter()
    cuts: list[SpoolCut] = []
    for pattern in patterns:
        index, counts = pattern
        pieces = tuple(waiting[need].pop(0) for need, count in enumerate(counts) for _ in range(count))
        wire = lot.wires[index][0 if lot.batch.sources[index].new else used[index]]
        used[index] += 1
        rest_mm = lot.batch.sources[index].room_mm - lot.batch.taken_mm(pattern)
        kept = rest_mm >= lot.batch.keep_mm
        if isinstance(wire, Offer):
            bought[wire.colours] += 1
            spool = _new_spool(wire, bought[wire.colours])
            cuts.append(SpoolCut(spool, pieces, rest_mm * _M_PER_MM, kept, wire))
        else:
            cuts.append(SpoolCut(wire, pieces, rest_mm * _M_PER_MM, kept))
    return tuple(cuts), tuple(piece for left in waiting for piece in left)


def in_order(cuts: Iterable[SpoolCut]) -> tuple[SpoolCut, ...]:
    """Put cuts in the order that people work in: thin wire first, then by colour, new spools last, then by name.

    A cut list that was read back from plan.yaml comes in the same order as when it was found.
    """
    return tuple(
        sorted(cuts, key=lambda cut: (-cut.spool.gauge.number, cut.spool.colours, cut.bought is not None, _name(cut)))
    )


def _name(cut: SpoolCut) -> tuple[object, ...]:
    return (natural(cut.spool.name), cut.spool.name)


def purchases(cuts: Iterable[SpoolCut]) -> tuple[Purchase, ...]:
    """Add up what to buy, by offer in the order that they are cut."""
    counts = Counter(cut.bought for cut in cuts if cut.bought is not None)
    return tuple(
        Purchase(offer, count, None if offer.price is None else count * offer.price) for offer, count in counts.items()
    )


def metres(pieces: Iterable[Piece]) -> tuple[tuple[Gauge, tuple[str, ...], float], ...]:
    """Add up what is needed of each gauge and colour [m], the thinnest first."""
    sums: dict[tuple[Gauge, tuple[str, ...]], list[float]] = {}
    for piece in pieces:
        sums.setdefault((piece.gauge, piece.colours), []).append(piece.length_m)
    ordered = sorted(sums, key=lambda key: (-key[0].number, key[1]))
    return tuple((gauge, colours, round(sum(sorted(sums[gauge, colours])), 6)) for gauge, colours in ordered)


def wire_name(gauge: Gauge, colours: tuple[str, ...]) -> str:
    """Write a wire as people say it: "12 AWG red/black"."""
    words = "/".join(colour_words(code) for code in colours if code)
    return f"{gauge} {words}".strip()


def _new_spool(offer: Offer, number: int) -> Spool:
    name = f"{wire_name(offer.gauge, offer.colours)}, new spool {number}"
    return Spool(name, offer.gauge, offer.colours, offer.length_m)
