"""The packet's cut list, spool by spool, with a box for each cut; and what has to be bought."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Final

from loomwright.documents.packet.blocks import Chapter, Column, Look, Para, Rows, Table
from loomwright.documents.tables.cells import NOT_APPLICABLE, UNKNOWN, Cell, as_words
from loomwright.documents.tables.cuts import BOUGHT, MISSING, UNCOUNTED, buy_rows, cut_rows, needed_rows
from loomwright.documents.tables.how_good import how_good
from loomwright.units import Dimension, show
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from loomwright.plan.result import Plan

_CUT: Final = (
    Column("cut", 0, Look.TICK),
    Column("cm", 0, Look.NUMBER),
    Column("wires", 2.4, Look.STRONG),
    Column("gauge"),
    Column("colour", 2.6, Look.WIRE),
    Column("for", 4),
    Column("by", 1.2, Look.WRITE),
)
_BUY: Final = (
    Column("got", 0, Look.TICK),
    Column("wire", 2, Look.STRONG),
    Column("colour", 1.6),
    Column("how many", 0, Look.NUMBER),
    Column("each, m", 0, Look.NUMBER),
    Column("cost", 0, Look.NUMBER),
    Column("note", 3),
)
_NEED: Final = (
    Column("gauge", 0, Look.STRONG),
    Column("colour", 1),
    Column("metres", 0, Look.NUMBER),
    Column("pieces", 0, Look.NUMBER),
    Column("longest, m", 0, Look.NUMBER),
    Column("wires", 6),
)

_NOT_COUNTED: Final = "Nobody told which wire is on hand: compare what is on your spools with what is needed below."


def cut_list(plan: Plan) -> Chapter:
    """Return the cut list: which piece from which spool, the longest first."""
    told = [
        "Cut spool by spool, in this order: if a cut goes wrong, the rest still gives the shorter pieces.",
        "Two wires in a row are a bonded pair, or one wire of each colour. Put both flags on before you put it down.",
    ]
    if plan.cut is not None and plan.cut.certificate is not None:
        told.append(f"This list is {dict(how_good(plan))['cut list']}.")
    waiting = [wire.id for wire in plan.wires if wire.length_m is None and not wire.captive]
    if waiting:
        told.append(f"Not in this list, as the length is unknown: {', '.join(sorted(waiting, key=natural))}.")
    groups = [
        _spool(name, list(rows)) for name, rows in groupby(cut_rows(plan), key=lambda row: as_words(row["spool"]))
    ]
    return Chapter(
        "Cut list",
        (Para(" ".join(told)), Table(_CUT, tuple(groups), empty="No wire has to be cut.")),
        work=True,
    )


def buy_table(plan: Plan) -> Table:
    """Return what wire to buy, offer by offer."""
    rows = [
        (
            "",
            _cell(row["gauge"]),
            _cell(row["colour"]),
            *(_cell(row[key]) for key in ("count", "length_m", "cost", "note")),
        )
        for row in buy_rows(plan)
    ]
    counted = plan.cut is None or not plan.cut.freely
    empty = "No wire has to be bought." if counted else _NOT_COUNTED
    return Table(_BUY, (Rows(tuple(rows)),), empty=empty)


def need_table(plan: Plan) -> Table:
    """Return how much wire of each kind is cut."""
    keys = ("gauge", "colour", "needed_m", "pieces", "longest_m", "which")
    rows = [tuple(_cell(row[key]) for key in keys) for row in needed_rows(plan)]
    return Table(_NEED, (Rows(tuple(rows)),), empty="No wire has to be cut.")


def _spool(name: str, rows: Sequence[Mapping[str, Cell]]) -> Rows:
    first, last = rows[0], rows[-1]
    stock = as_words(first["stock"])
    needs_m = sum(row["length_m"] for row in rows if isinstance(row["length_m"], float))
    uncounted = f"{show(needs_m, Dimension.LENGTH)} in all: see that there is enough on it"
    told = [{BOUGHT: "a new one to buy", UNCOUNTED: uncounted}.get(stock, stock)]
    if isinstance(first["spool_m"], float):
        told.append(f"{show(first['spool_m'], Dimension.LENGTH)} long")
    if isinstance(last["left_m"], float) and last["left_m"]:
        told.append(f"{show(last['left_m'], Dimension.LENGTH)} left: {as_words(last['rest'])}")
    missing = stock == MISSING
    return Rows(tuple(_piece(row, missing=missing) for row in rows), name, ", ".join(told))


def _piece(row: Mapping[str, Cell], *, missing: bool) -> tuple[str, ...]:
    length_m = row["length_m"]
    cm = f"{length_m * 100:.1f}".removesuffix(".0") if isinstance(length_m, float) else UNKNOWN
    box = NOT_APPLICABLE if missing else ""
    return (box, cm, *(as_words(row[key]) for key in ("wires", "gauge", "colour", "circuit")), box)


def _cell(cell: Cell) -> str:
    return as_words(cell)
