"""stock.yaml: the wire on hand, what can be bought, and how the team cuts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.findings import UnreadableInputError
from loomwright.model.stock import CutHabits, Stock
from loomwright.robotfile.forms.leaves import Faults
from loomwright.robotfile.marked.tree import Mapping, Scalar
from loomwright.robotfile.marked.yaml_tree import read_tree
from loomwright.robotfile.stock_amounts import amounts, note_unknown_key
from loomwright.robotfile.stock_offers import offers
from loomwright.sizing import DEFAULT_STOCK
from loomwright.units import Dimension, QuantityError, read
from loomwright.wording import listed

if TYPE_CHECKING:
    from loomwright.robotfile.marked.tree import Node

_KEYS = ("wire", "buy", "cutting")
_HABITS = {"kerf": "kerf_m", "trim": "trim_m", "keep": "keep_m"}
_HABITS_FORM = "Write `cutting: {kerf: 0 mm, trim: 10 mm, keep: 15 cm}`."


def read_stock(data: bytes | None, *, file: str = "stock.yaml") -> Stock:
    """Read what is on hand and on offer; without a file every common gauge counts as stocked.

    A gauge may be chosen if some of it is on hand or on offer; they come thinnest first.

    Raises
    ------
    UnreadableInputError
        With the first fault of YAML, or with every fault of the content.
    """
    if data is None:
        return Stock(DEFAULT_STOCK)
    faults = Faults()
    tree = read_tree(data, file=file)
    for entry in tree.items:
        if entry.key not in _KEYS:
            note_unknown_key(entry, "a stock", _KEYS, faults, path=entry.key)
    held = amounts(tree.get("wire"), faults)
    shop = offers(tree.get("buy"), faults)
    habits = _habits(tree.get("cutting"), faults)
    gauges = (*(spool.gauge for spool in held.spools), *(offer.gauge for offer in shop), *(g for g, _ in held.plenty))
    if not gauges and not faults.found:
        faults.add(
            "empty-stock", None, "This stock has no wire.", "Write `wire: {12 AWG: enough, 18 AWG: {red: 10 m}}`.",
            mark=tree.where("wire"), path="wire",
        )  # fmt: skip
    if faults.found:
        raise UnreadableInputError(faults.in_order())
    thinnest_first = tuple(sorted(dict.fromkeys(gauges), key=lambda gauge: -gauge.number))
    return Stock(thinnest_first, file, held.spools, shop, held.plenty, habits)


def _habits(node: Node | None, faults: Faults) -> CutHabits:
    """Read what a cut loses, what is trimmed off and the shortest rest that is kept."""
    if node is None:
        return CutHabits()
    if not isinstance(node, Mapping):
        faults.add(
            "bad-form", None, f"`cutting` holds {listed(list(_HABITS), 'and')}.", _HABITS_FORM,
            mark=node.mark, path="cutting",
        )  # fmt: skip
        return CutHabits()
    said: dict[str, float] = {}
    for entry in node.items:
        path = f"cutting.{entry.key}"
        if entry.key not in _HABITS:
            note_unknown_key(entry, "`cutting`", tuple(_HABITS), faults, path=path)
        elif not isinstance(entry.value, Scalar):
            faults.add(
                "bad-form", None, f"`{entry.key}` wants one length.", _HABITS_FORM, mark=entry.value.mark, path=path
            )
        else:
            try:
                said[_HABITS[entry.key]] = read(entry.value.text, Dimension.LENGTH)
            except QuantityError as error:
                faults.add("bad-value", None, error.what, error.fix, mark=entry.value.mark, path=path)
    return CutHabits(**said)
