"""The pieces that ends are made with, as they are sold: one contact serves a housing, a joint, a row of three."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from loomwright.catalogue.tables import table
from loomwright.proof.ends import MadeEnd
from loomwright.units import Gauge
from loomwright.wording import natural


@dataclass(frozen=True, slots=True)
class Sold:
    """How a terminal is sold: by which name, how many an end takes (0: nothing is bought), and what a bag holds.

    `by_gauge` marks what is sold for one gauge only. `also` names what belongs to it, `also_per` what each of those
    serves: a "piece", or a "socket" with all of its wires; "" for words that nobody counts.
    """

    item: str
    pieces: int
    by_gauge: bool
    bag: float
    also: str
    also_per: str
    source: str


@dataclass(frozen=True, slots=True)
class Piece:
    """One thing to buy for ends: its name, the gauge it is sold for ("" where one serves several), who uses it.

    `also` tells with numbers what else the ends take: "12 locking housings".
    """

    item: str
    gauge: str
    gauges: tuple[str, ...]
    count: int
    bag: float
    also: str
    source: str

    @property
    def key(self) -> tuple[str, str]:
        """What tells it from other pieces: its name and the gauge it is sold for."""
        return (self.item, self.gauge)


@lru_cache(maxsize=64)
def sold(terminal: str) -> Sold:
    """Return how a terminal is sold: by the row whose name it begins with.

    Raises
    ------
    KeyError
        For a terminal that no row speaks of; a test holds both tables together.
    """
    row = next((row for row in table("terminal_bag") if terminal.startswith(row["terminal"])), None)
    if row is None:
        raise KeyError(terminal)
    return Sold(
        item=row["item"] or terminal,
        pieces=int(row["pieces"]),
        by_gauge=row["by_gauge"] == "yes",
        bag=float(row["bag"] or 0.0),
        also=row["also"],
        also_per=row["also_per"],
        source=row["source"],
    )


def pieces(ends: Iterable[MadeEnd]) -> tuple[Piece, ...]:
    """Return what these ends are made with, by name and gauge; ends of no known terminal are left out."""
    found: dict[tuple[str, str], list[tuple[Sold, MadeEnd]]] = {}
    for end in ends:
        if end.end.treatment is not None and (held := sold(end.end.treatment.terminal)).pieces:
            found.setdefault(piece_key(end.end.treatment.terminal, end.wire.gauge), []).append((held, end))
    return tuple(_piece(key, found[key]) for key in sorted(found, key=lambda key: (key[0], natural(key[1]))))


def piece_key(terminal: str, gauge: Gauge | None) -> tuple[str, str]:
    """Return the key of the piece that an end of this terminal takes."""
    held = sold(terminal)
    return held.item, str(gauge or "") if held.by_gauge else ""


def _piece(key: tuple[str, str], used: list[tuple[Sold, MadeEnd]]) -> Piece:
    sources: Mapping[str, None] = dict.fromkeys(held.source for held, _ in used)
    return Piece(
        item=key[0],
        gauge=key[1],
        gauges=tuple(sorted({str(end.wire.gauge) for _, end in used if end.wire.gauge is not None}, key=natural)),
        count=sum(held.pieces for held, _ in used),
        bag=used[0][0].bag,
        also=", ".join(_also(used)),
        source=", ".join(sources),
    )


def _also(used: list[tuple[Sold, MadeEnd]]) -> Iterator[str]:
    """Tell what belongs to the pieces: the wires of one socket share a housing."""
    counted: dict[tuple[str, str], set[tuple[str, ...]]] = {}
    for held, end in used:
        of_end = (end.end.device, end.end.socket)
        one = counted.setdefault((held.also, held.also_per), set())
        one |= {of_end} if held.also_per == "socket" else {(*end.name, str(n)) for n in range(held.pieces)}
    for (also, per), found in sorted(counted.items()):
        if also:
            yield f"{len(found)} {also}" if per else also
