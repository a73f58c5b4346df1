"""Pieces and stock sorted into lots that hang together: one gauge, and the colours that share a spool."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from loomwright.cutting.batch import Batch, Need, Source
from loomwright.cutting.result import Piece
from loomwright.model.stock import Offer
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from loomwright.model.stock import Spool, Stock
    from loomwright.units.gauge import Gauge

_MM_PER_M = 1000
# Far below what anybody measures: 0.3 m is 300 mm, whatever binary fractions make of it.
_ROUNDING_MM = 1e-6
_PAIR = 2


@dataclass(frozen=True, slots=True)
class Lot:
    """One batch, with the pieces behind each of its needs and the spools or offers behind each source."""

    batch: Batch
    pieces: tuple[tuple[Piece, ...], ...]
    wires: tuple[tuple[Spool | Offer, ...], ...]


@dataclass(frozen=True, slots=True)
class Sorted:
    """Pieces of which there is wire enough, and lots of the others."""

    freely: tuple[Piece, ...]
    lots: tuple[Lot, ...]


def sort_out(pieces: Sequence[Piece], stock: Stock) -> Sorted:
    """Sort pieces into those that are cut freely and lots, in an order that doesn't depend on theirs.

    A bonded pair stays a pair where some wire of its gauge and colours is long enough for it; else it is two wires.
    """
    stock = _with_colours(pieces, stock)
    freely: list[Piece] = []
    counted: list[Piece] = []
    for piece in pieces:
        if not stock.source or _plenty(piece, stock):
            freely.append(piece)
        elif len(piece.colours) < _PAIR or any(_long_enough(wire, piece, stock) for wire in _wires(stock)):
            counted.append(piece)
        else:
            for single in _singles(piece):
                (freely if _plenty(single, stock) else counted).append(single)
    lots = tuple(_lot(group, stock) for group in _together(counted, stock))
    return Sorted(tuple(sorted(freely, key=in_order)), lots)


def _with_colours(pieces: Sequence[Piece], stock: Stock) -> Stock:
    """Turn an offer of every colour into one offer a colour: what is bought has one."""
    offers: list[Offer] = []
    for offer in stock.offers:
        if offer.colours:
            offers.append(offer)
        else:
            mine = {colour for piece in pieces if piece.gauge == offer.gauge for colour in piece.colours}
            offers += [replace(offer, colours=(colour,) if colour else ()) for colour in sorted(mine)]
    return replace(stock, offers=tuple(offers))


def in_order(piece: Piece) -> tuple[object, ...]:
    """Order pieces by gauge, colours, length (longest first) and wire."""
    return (-piece.gauge.number, piece.colours, -piece.length_m, [natural(wire) for wire in piece.wires])


def whole_mm(length_m: float, *, up: bool) -> int:
    """Round a length to whole millimetres, up or down."""
    exact = length_m * _MM_PER_M
    return math.ceil(exact - _ROUNDING_MM) if up else math.floor(exact + _ROUNDING_MM)


def _plenty(piece: Piece, stock: Stock) -> bool:
    return any(
        gauge == piece.gauge and (not colours or _alike(colours, piece.colours)) for gauge, colours in stock.plenty
    )


def _alike(one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    """Tell whether colours are the same; a pair has no first and second."""
    return sorted(one) == sorted(other)


def _wires(stock: Stock) -> tuple[Spool | Offer, ...]:
    return (*stock.spools, *stock.offers)


def _suits(wire: Spool | Offer, piece: Piece) -> bool:
    """Tell whether a wire has the gauge and colours of a piece; one without colours stands for any single one."""
    if wire.gauge != piece.gauge:
        return False
    if not wire.colours or not any(piece.colours):
        return len(piece.colours) < _PAIR and len(wire.colours) < _PAIR
    return _alike(wire.colours, piece.colours)


def _long_enough(wire: Spool | Offer, piece: Piece, stock: Stock) -> bool:
    weight = whole_mm(piece.length_m, up=True) + whole_mm(stock.habits.kerf_m, up=True)
    return _suits(wire, piece) and whole_mm(wire.length_m, up=False) - _trim_mm(wire, stock) >= weight


def _trim_mm(wire: Spool | Offer, stock: Stock) -> int:
    """Tell what is trimmed off [mm]: an off-cut has been cut clean already."""
    return 0 if getattr(wire, "offcut", False) else whole_mm(stock.habits.trim_m, up=True)


def _singles(piece: Piece) -> tuple[Piece, ...]:
    return tuple(
        Piece((wire,), piece.gauge, (colour,), piece.length_m)
        for wire, colour in zip(piece.wires, piece.colours, strict=True)
    )


def _together(pieces: Iterable[Piece], stock: Stock) -> list[list[Piece]]:
    """Group pieces that some wire could serve alike: by gauge and colours, and by spools of any colour."""
    groups: dict[tuple[Gauge, tuple[str, ...]], list[Piece]] = {}
    for piece in pieces:
        groups.setdefault((piece.gauge, tuple(sorted(piece.colours))), []).append(piece)
    merged: list[list[Piece]] = []
    for group in groups.values():
        hung = [
            other
            for other in merged
            if any(
                _suits(wire, other_piece) and _suits(wire, group[0]) for wire in _wires(stock) for other_piece in other
            )
        ]
        merged = [other for other in merged if other not in hung]
        merged.append([piece for other in (*hung, group) for piece in other])
    return [sorted(group, key=in_order) for group in sorted(merged, key=lambda group: min(map(in_order, group)))]


def _lot(pieces: list[Piece], stock: Stock) -> Lot:
    """Make the batch of one group: alike pieces become one need, alike spools one source."""
    needs: dict[tuple[int, tuple[str, ...]], list[Piece]] = {}
    for piece in pieces:
        needs.setdefault((whole_mm(piece.length_m, up=True), tuple(sorted(piece.colours))), []).append(piece)
    keys = sorted(needs, key=lambda key: (-key[0], key[1]))
    groups = tuple(tuple(needs[key]) for key in keys)
    sources: dict[Source, list[Spool | Offer]] = {}
    for wire in sorted(_wires(stock), key=_wire_order):
        takes = tuple(n for n, group in enumerate(groups) if _long_enough(wire, group[0], stock))
        if takes:
            sources.setdefault(_source(wire, takes, stock), []).append(wire)
    batch = Batch(
        tuple(Need(length, colours, len(needs[length, colours])) for length, colours in keys),
        tuple(replace(source, count=None if source.new else len(wires)) for source, wires in sources.items()),
        whole_mm(stock.habits.kerf_m, up=True),
        whole_mm(stock.habits.keep_m, up=True),
    )
    return Lot(batch, groups, tuple(tuple(wires) for wires in sources.values()))


def _source(wire: Spool | Offer, takes: tuple[int, ...], stock: Stock) -> Source:
    length_mm, trim_mm = whole_mm(wire.length_m, up=False), _trim_mm(wire, stock)
    if isinstance(wire, Offer):
        return Source(length_mm, trim_mm, None, takes, cents=_cents(wire, stock))
    return Source(length_mm, trim_mm, 1, takes, offcut=wire.offcut)


def _cents(offer: Offer, stock: Stock) -> int:
    """Tell a price in hundredths; 0 where not every offer of this wire has one, because then none can be compared."""
    rivals = [o.price for o in stock.offers if o.gauge == offer.gauge and _alike(o.colours, offer.colours)]
    return round(100 * (offer.price or 0)) if None not in rivals else 0


def _wire_order(wire: Spool | Offer) -> tuple[object, ...]:
    """Off-cuts first, then spools, then offers; the shorter first."""
    if isinstance(wire, Offer):
        return (2, wire.length_m, wire.price is None, wire.price or 0, wire.colours, [])
    return (0 if wire.offcut else 1, wire.length_m, False, 0, wire.colours, natural(wire.name))
