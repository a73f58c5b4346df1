"""What can be bought of each gauge and colour: the length sold, and its price in the team's money."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.model.stock import Offer
from loomwright.robotfile.marked.tree import Mapping, Scalar, Sequence
from loomwright.robotfile.stock_amounts import colours_of, gauge_of, note_unknown_key
from loomwright.units import Dimension, QuantityError, read
from loomwright.wording import quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.robotfile.forms.leaves import Faults
    from loomwright.robotfile.marked.tree import Node
    from loomwright.units import Gauge

_KEYS = ("length", "price")
_FORM = "Write `buy: {12 AWG: {red/black: {length: 10 m, price: 14}}}`."


def offers(node: Node | None, faults: Faults) -> tuple[Offer, ...]:
    """Read the offers, by gauge and colour; an offer without a colour is to be had in every colour."""
    if node is None:
        return ()
    if not isinstance(node, Mapping):
        faults.add("bad-form", None, "What can be bought is written by gauge.", _FORM, mark=node.mark, path="buy")
        return ()
    return tuple(
        offer
        for entry in node.items
        for offer in _of_gauge(
            gauge_of(entry.key, entry.key_mark, faults, path=f"buy.{entry.key}"),
            entry.value,
            f"buy.{entry.key}",
            faults,
        )
    )


def _of_gauge(gauge: Gauge | None, node: Node, path: str, faults: Faults) -> Iterator[Offer]:
    if not isinstance(node, Mapping) or any(entry.key in _KEYS for entry in node.items):
        yield from _of_colour(gauge, (), node, path, faults)
        return
    for entry in node.items:
        here = f"{path}.{entry.key}"
        yield from _of_colour(gauge, colours_of(entry, faults, path=here), entry.value, here, faults)


def _of_colour(
    gauge: Gauge | None, colours: tuple[str, ...] | None, node: Node, path: str, faults: Faults
) -> Iterator[Offer]:
    """Give one offer, or each of a list: a bare length, or a length with its price."""
    if isinstance(node, Sequence):
        for item in node.items:
            yield from _of_colour(gauge, colours, item, path, faults)
        return
    if isinstance(node, Scalar):
        length_m, price = _length(node, path, faults), None
    else:
        for entry in node.items:
            if entry.key not in _KEYS:
                note_unknown_key(entry, "an offer", _KEYS, faults, path=f"{path}.{entry.key}")
        said = node.get("length")
        if said is None:
            faults.add("no-length", None, "This offer has no length.", _FORM, mark=node.mark, path=path)
        length_m = None if said is None else _length(said, f"{path}.length", faults)
        price = _price(node.get("price"), f"{path}.price", faults)
    if gauge is not None and colours is not None and length_m is not None:
        yield Offer(gauge, colours, length_m, price, node.mark)


def _length(node: Node, path: str, faults: Faults) -> float | None:
    """Read the length sold at once [m]; note a fault where it is none."""
    what, fix = "An offer has one length.", _FORM
    if isinstance(node, Scalar):
        try:
            length_m = read(node.text, Dimension.LENGTH)
        except QuantityError as error:
            what, fix = error.what, error.fix
        else:
            if length_m > 0:
                return length_m
            what, fix = (
                f"{quoted(node.text)} is nothing, and nobody sells that.",
                "Write `10 m`, or leave the offer out.",
            )
    faults.add("bad-value", None, what, fix, mark=node.mark, path=path)
    return None


def _price(node: Node | None, path: str, faults: Faults) -> float | None:
    """Read a price, a plain number; note a fault where it is none."""
    if node is None:
        return None
    what = "An offer has one price."
    if isinstance(node, Scalar):
        try:
            return read(node.text, Dimension.NUMBER)
        except QuantityError as error:
            what = error.what
    fix = "Write a number of the team's money, such as `price: 14`."
    faults.add("bad-value", None, what, fix, mark=node.mark, path=path)
    return None
