"""The rows of the cut list, of what to buy, and of the wire that is needed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.cutting.assemble import wire_name
from loomwright.documents.tables.cells import (
    NOT_APPLICABLE,
    UNKNOWN,
    Amount,
    Cell,
    amount,
    length_words,
    text,
    together,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from loomwright.cutting.result import CutPlan, Piece, Purchase, SpoolCut
    from loomwright.plan.result import Plan
    from loomwright.units import Gauge

#: What is done with the rest of a spool.
KEEP, SCRAP, USED_UP = "keep", "scrap", "used up"
#: What a spool is, beside an off-cut or a spool on hand.
BOUGHT, UNCOUNTED, MISSING = "to buy", "not counted", "missing"
#: Where a piece is cut from that is in no spool's list.
_ANY, _NOTHING = "any spool", "nothing is long enough"

_LEAST_M = 0.0005

_Wire = tuple["Gauge", tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class _From:
    """Where pieces are cut from: in words, what it is, how long it is [m]; what is left and what is done with it."""

    spool: str
    stock: str
    spool_m: Amount = NOT_APPLICABLE
    left_m: Amount = NOT_APPLICABLE
    rest: str = NOT_APPLICABLE


def cut_rows(plan: Plan) -> tuple[dict[str, Cell], ...]:
    """Tell every piece in the order in which it is cut: what to lay out first, then what any spool serves for."""
    cut = plan.cut
    if cut is None:
        return ()
    circuits = {wire.id: wire.circuit for wire in plan.wires}
    return (
        *(row for one in cut.cuts for row in _of(_spool(one), one.pieces, circuits)),
        *(row for wire, pieces in _by_wire(cut.freely) for row in _of(_any(wire), pieces, circuits)),
        *(row for wire, pieces in _by_wire(cut.missing) for row in _of(_none(wire), pieces, circuits)),
    )


def buy_rows(plan: Plan) -> tuple[dict[str, Cell], ...]:
    """Tell what to buy: offers, and wire that is needed and that nothing on offer is long enough for."""
    cut = plan.cut
    if cut is None:
        return ()
    return (*map(_purchase, cut.buys), *(_wanted(wire, pieces) for wire, pieces in _by_wire(cut.missing)))


def needed_rows(plan: Plan) -> tuple[dict[str, Cell], ...]:
    """Tell how much wire of each gauge and colour is cut, the thinnest first."""
    cut = plan.cut
    if cut is None:
        return ()
    pieces = dict(_by_wire(_all(cut)))
    return tuple(
        _needed((gauge, colours), needed_m, pieces.get((gauge, colours), ())) for gauge, colours, needed_m in cut.metres
    )


def _needed(wire: _Wire, needed_m: float, pieces: Sequence[Piece]) -> dict[str, Cell]:
    gauge, colours = wire
    return {
        "gauge": str(gauge),
        "colour": _colours(colours),
        "needed_m": amount(needed_m, places=2),
        "pieces": float(len(pieces)),
        "longest_m": amount(max((one.length_m for one in pieces), default=None), places=2),
        "which": text(", ".join("+".join(one.wires) for one in pieces), applies=False),
    }


def _of(source: _From, pieces: Sequence[Piece], circuits: Mapping[str, str]) -> Iterator[dict[str, Cell]]:
    for order, piece in enumerate(pieces, 1):
        last = order == len(pieces)
        yield {
            "spool": source.spool,
            "stock": source.stock,
            "spool_m": source.spool_m,
            "order": float(order),
            "wires": ", ".join(piece.wires),
            "gauge": str(piece.gauge),
            "colour": _colours(piece.colours),
            "length_m": amount(piece.length_m, places=3),
            "circuit": text(together(circuits.get(wire, "") for wire in piece.wires), applies=False),
            "left_m": source.left_m if last else NOT_APPLICABLE,
            "rest": source.rest if last else NOT_APPLICABLE,
        }


def _spool(cut: SpoolCut) -> _From:
    stock = BOUGHT if cut.bought is not None else "off-cut" if cut.spool.offcut else "spool"
    return _From(
        cut.spool.name,
        stock,
        amount(cut.spool.length_m, places=3),
        amount(cut.left_m, places=3),
        _rest(cut),
    )


def _rest(cut: SpoolCut) -> str:
    if cut.kept:
        return KEEP
    return SCRAP if cut.left_m >= _LEAST_M else USED_UP


def _any(wire: _Wire) -> _From:
    return _From(f"{_ANY} of {wire_name(*wire)}", UNCOUNTED)


def _none(wire: _Wire) -> _From:
    return _From(f"{wire_name(*wire)}: {_NOTHING}", MISSING)


def _purchase(buy: Purchase) -> dict[str, Cell]:
    return {
        "gauge": str(buy.offer.gauge),
        "colour": _colours(buy.offer.colours),
        "length_m": amount(buy.offer.length_m, places=3),
        "count": float(buy.count),
        "cost": amount(buy.cost, places=2),
        "note": NOT_APPLICABLE,
    }


def _wanted(wire: _Wire, pieces: Sequence[Piece]) -> dict[str, Cell]:
    gauge, colours = wire
    told = ", ".join(f"{'+'.join(one.wires)} ({length_words(one.length_m)})" for one in pieces)
    return {
        "gauge": str(gauge),
        "colour": _colours(colours),
        "length_m": UNKNOWN,
        "count": UNKNOWN,
        "cost": UNKNOWN,
        "note": f"Nothing on hand or on offer is long enough for {told}.",
    }


def _by_wire(pieces: Iterable[Piece]) -> Iterator[tuple[_Wire, tuple[Piece, ...]]]:
    """Put pieces of one gauge and colour together, in the order in which the first of each comes."""
    groups: dict[_Wire, list[Piece]] = {}
    for piece in pieces:
        groups.setdefault((piece.gauge, piece.colours), []).append(piece)
    return ((wire, tuple(group)) for wire, group in groups.items())


def _all(cut: CutPlan) -> tuple[Piece, ...]:
    return (*cut.freely, *cut.missing, *(piece for one in cut.cuts for piece in one.pieces))


def _colours(colours: tuple[str, ...]) -> str:
    return ", ".join(code for code in colours if code) or NOT_APPLICABLE
