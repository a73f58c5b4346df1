"""stock.yaml: the wire on hand. Only its gauges are read so far; lengths are kept for the cut list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.findings import UnreadableInputError
from loomwright.model.stock import Stock
from loomwright.robotfile.forms.leaves import Faults
from loomwright.robotfile.forms.readers import read_gauge
from loomwright.robotfile.marked.tree import Mapping, Scalar, Sequence
from loomwright.robotfile.marked.yaml_tree import read_tree
from loomwright.sizing import DEFAULT_STOCK
from loomwright.units import Dimension, QuantityError, read
from loomwright.wording import quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.mark import Mark
    from loomwright.robotfile.marked.tree import Node
    from loomwright.units import Gauge

_ENOUGH = ("enough", "plenty", "some")
_NOTHING = ("0", "none", "nothing")


def read_stock(data: bytes | None, *, file: str = "stock.yaml") -> Stock:
    """Read the gauges on hand, thinnest first; without a file every common gauge counts as stocked.

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
        if entry.key != "wire":
            faults.add(
                "unknown-key", None, f"{quoted(entry.key)} is not something that a stock has.", "It has `wire`.",
                mark=entry.key_mark, path=entry.key,
            )  # fmt: skip
    gauges = list(_gauges(tree.get("wire"), faults))
    if not gauges and not faults.found:
        faults.add(
            "empty-stock", None, "This stock has no wire.", "Write `wire: {12 AWG: enough, 18 AWG: {red: 10 m}}`.",
            mark=tree.where("wire"), path="wire",
        )  # fmt: skip
    if faults.found:
        raise UnreadableInputError(faults.in_order())
    return Stock(tuple(sorted(dict.fromkeys(gauges), key=lambda g: -g.number)), file)


def _gauges(node: Node | None, faults: Faults) -> Iterator[Gauge]:
    """Give the gauges of a list, or of a mapping from gauge to what is on hand; an empty spool does not count."""
    if isinstance(node, Sequence):
        for item in node.items:
            if isinstance(item, Scalar):
                yield from _gauge(item.text, item.mark, faults)
            else:
                _wrong_form(item, faults)
    elif isinstance(node, Mapping):
        for entry in node.items:
            amount = _amount(entry.value, faults, f"wire.{entry.key}")
            found = list(_gauge(entry.key, entry.key_mark, faults))
            yield from found if amount > 0 else ()
    elif node is not None:
        _wrong_form(node, faults)


def _wrong_form(node: Node, faults: Faults) -> None:
    faults.add(
        "bad-form", None, "Wire is written by gauge.", "Write `wire: {12 AWG: enough, 18 AWG: {red: 10 m}}`.",
        mark=node.mark, path="wire",
    )  # fmt: skip


def _gauge(text: str, mark: Mark, faults: Faults) -> Iterator[Gauge]:
    try:
        yield read_gauge(text)
    except QuantityError as error:
        faults.add("bad-value", None, error.what, error.fix, mark=mark, path=f"wire.{text}")


def _amount(node: Node, faults: Faults, path: str) -> float:
    """Add up what is on hand [m]; "enough" counts as more than nothing."""
    if isinstance(node, Mapping):
        return sum(_amount(entry.value, faults, f"{path}.{entry.key}") for entry in node.items)
    if isinstance(node, Sequence):
        return sum(_amount(item, faults, path) for item in node.items)
    text = node.text.strip().casefold()
    if text in _ENOUGH:
        return 1.0
    try:
        return 0.0 if text in _NOTHING else read(node.text, Dimension.LENGTH)
    except QuantityError as error:
        fix = f"{error.fix[:-1]}, or `enough` or `none`."
        faults.add("bad-value", None, error.what, fix, mark=node.mark, path=path)
        return 0.0
