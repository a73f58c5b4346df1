"""Wire on hand and wire that can be bought."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.model.mark import Mark
    from loomwright.units.gauge import Gauge


@dataclass(frozen=True, slots=True)
class Spool:
    """One length of wire on hand [m]: a spool, or an off-cut.

    `colours` has one code for a single wire and two for a bonded pair ("RD", "BK"), empty where any colour is meant.
    """

    name: str
    gauge: Gauge
    colours: tuple[str, ...]
    length_m: float
    offcut: bool = False
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class Offer:
    """What a shop sells: a wire by the purchase unit [m], with its price in the team's money where that is known.

    Without colours it is to be had in every one.
    """

    gauge: Gauge
    colours: tuple[str, ...]
    length_m: float
    price: float | None = None
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class CutHabits:
    """How a team cuts: what a cut loses, what is trimmed off a spool first, the shortest off-cut that is kept [m]."""

    kerf_m: float = 0.0
    trim_m: float = 0.01
    keep_m: float = 0.15


@dataclass(frozen=True, slots=True)
class Stock:
    """Wire on hand and on offer: the gauges that may be chosen, thinnest first, and where that was said.

    `source` is empty where nobody wrote a stock: then every common gauge may be chosen, and nothing is laid out.
    `plenty` holds gauges and colours of which there is enough, so that nothing has to be bought or laid out: an empty
    tuple of colours stands for every colour.
    """

    gauges: tuple[Gauge, ...]
    source: str = ""
    spools: tuple[Spool, ...] = ()
    offers: tuple[Offer, ...] = ()
    plenty: tuple[tuple[Gauge, tuple[str, ...]], ...] = ()
    habits: CutHabits = field(default_factory=CutHabits)
