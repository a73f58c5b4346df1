"""stock.yaml: the wire on hand. Only its gauges are read so far; lengths are kept for the cut list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.findings import UnreadableInputError
from loomwright.model.robot import Stock
from loomwright.robotfile.leaves import Faults
from loomwright.robotfile.tree import Mapping, Scalar, Sequence
from loomwright.robotfile.yaml_tree import read_tree
from loomwright.sizing import DEFAULT_STOCK
from loomwright.units import Dimension, Gauge, QuantityError, read
from loomwright.wording import quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.robotfile.tree import Node

_ENOUGH = ("enough", "plenty", "some")


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
            mark=tree.mark, path="wire",
        )  # fmt: skip
    if faults.found:
        raise UnreadableInputError(faults.found)
    return Stock(tuple(sorted(dict.fromkeys(gauges), key=lambda g: -g.number)), file)


def _gauges(node: Node | None, faults: Faults) -> Iterator[Gauge]:
    """Give the gauges of a list, or of a mapping from gauge to what is on hand; an empty spool does not count."""
    if isinstance(node, Sequence):
        for item in node.items:
            if isinstance(item, Scalar):
                yield from _gauge(item.text, item, faults)
    elif isinstance(node, Mapping):
        for entry in node.items:
            if _amount(entry.value, faults, f"wire.{entry.key}") > 0:
                yield from _gauge(entry.key, Scalar(entry.key, entry.key_mark), faults)
    elif node is not None:
        faults.add(
            "bad-form",
            None,
            "Wire is written by gauge.",
            "Write `wire: {12 AWG: enough}`.",
            mark=node.mark,
            path="wire",
        )


def _gauge(text: str, spot: Scalar, faults: Faults) -> Iterator[Gauge]:
    try:
        yield Gauge.parse(text)
    except ValueError:
        faults.add(
            "bad-value", None, f"{quoted(text)} is not a wire gauge.", "Write a gauge such as `12 AWG`.",
            mark=spot.mark, path=f"wire.{text}",
        )  # fmt: skip


def _amount(node: Node, faults: Faults, path: str) -> float:
    """Add up what is on hand [m]; "enough" counts as more than nothing."""
    if isinstance(node, Mapping):
        return sum(_amount(entry.value, faults, f"{path}.{entry.key}") for entry in node.items)
    if isinstance(node, Sequence):
        return sum(_amount(item, faults, path) for item in node.items)
    if node.text.strip().casefold() in _ENOUGH:
        return 1.0
    try:
        return 0.0 if node.text.strip() == "0" else read(node.text, Dimension.LENGTH)
    except QuantityError as error:
        faults.add("bad-value", None, error.what, error.fix, mark=node.mark, path=path)
        return 0.0
