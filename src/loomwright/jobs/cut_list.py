"""Which pieces are cut: from the planned wires to the cut list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.cutting import cut
from loomwright.cutting.result import CutPlan, Piece
from loomwright.model.part import Polarity

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from loomwright.jobs.deciding import Bound
    from loomwright.model.stock import Stock
    from loomwright.plan.result import PlannedCircuit, PlannedWire

_SAME_M = 1e-6


def cut_list(stock: Stock, circuits: Iterable[PlannedCircuit], bound: Bound) -> CutPlan | None:
    """Return what is cut from what; None where nothing is to cut."""
    made = bound.lengths
    pieces = [piece for circuit in circuits for piece in pieces_of(w for w in circuit.wires if w.key not in made)]
    if not pieces:
        return None
    return cut(pieces, stock, effort=bound.effort, watch=bound.watch)


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
