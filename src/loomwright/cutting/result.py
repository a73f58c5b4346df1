"""What is cut from what: pieces, the spools they come from, what is left, and what has to be bought."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.model.stock import Offer, Spool
    from loomwright.search import Certificate
    from loomwright.units.gauge import Gauge


@dataclass(frozen=True, slots=True)
class Piece:
    """One cut: the wires it becomes (one, or the two of a bonded pair), their gauge and colours, its length [m]."""

    wires: tuple[str, ...]
    gauge: Gauge
    colours: tuple[str, ...]
    length_m: float


@dataclass(frozen=True, slots=True)
class SpoolCut:
    """The pieces from one spool in the order they are cut, and what is left of it [m].

    `bought` is the offer that a new spool comes from, None for one on hand; `kept` whether the rest is worth keeping.
    """

    spool: Spool
    pieces: tuple[Piece, ...]
    left_m: float
    kept: bool
    bought: Offer | None = None


@dataclass(frozen=True, slots=True)
class Purchase:
    """What to buy: an offer, how many of it, what they cost together (None: no price is known)."""

    offer: Offer
    count: int
    cost: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlan:
    """Every piece with its spool, what to buy, and how good that is proved to be.

    `freely` are pieces of wire that the stock says there is enough of, or that no stock file speaks of: they are
    cut from any spool. `missing` are pieces that nothing on hand or on offer is long enough for. `certificate`
    counts scrap [mm], after the fewest new spools (`breaks` and `least_breaks` count those). `metres` adds
    up what is needed of each gauge and colour [m].
    """

    cuts: tuple[SpoolCut, ...] = ()
    buys: tuple[Purchase, ...] = ()
    freely: tuple[Piece, ...] = ()
    missing: tuple[Piece, ...] = ()
    certificate: Certificate | None = None
    metres: tuple[tuple[Gauge, tuple[str, ...], float], ...] = ()
