"""What is on hand of each gauge and colour: lengths, spools and off-cuts, or enough of it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from loomwright.catalogue.colours import colour_code, colour_names, colour_words
from loomwright.model.stock import Spool
from loomwright.robotfile.forms.readers import read_gauge
from loomwright.robotfile.marked.tree import Mapping, Scalar, Sequence
from loomwright.units import Dimension, QuantityError, read
from loomwright.wording import nearest, quoted

if TYPE_CHECKING:
    from loomwright.model.mark import Mark
    from loomwright.robotfile.forms.leaves import Faults
    from loomwright.robotfile.marked.tree import Entry, Node
    from loomwright.units import Gauge

_ENOUGH = ("enough", "plenty", "some")
_NOTHING = ("0", "none", "nothing")
_KINDS = {"spools": False, "offcuts": True, "off-cuts": True}
_FORM = "Write `wire: {12 AWG: enough, 18 AWG: {red: 10 m}}`."
_PAIR = 2


@dataclass(slots=True)
class Held:
    """Spools and off-cuts, and wire of which there is enough."""

    spools: tuple[Spool, ...] = ()
    plenty: tuple[tuple[Gauge, tuple[str, ...]], ...] = ()


def amounts(node: Node | None, faults: Faults) -> Held:
    """Read a list of gauges, or a mapping from gauge, and colour, to what is on hand; an empty spool does not count."""
    reader = _Reader(faults)
    if isinstance(node, Sequence):
        for item in node.items:
            if isinstance(item, Scalar):
                gauge = gauge_of(item.text, item.mark, faults, path=f"wire.{item.text}")
                reader.note_plenty(gauge, ())
            else:
                _wrong_form(item, faults)
    elif isinstance(node, Mapping):
        for entry in node.items:
            gauge = gauge_of(entry.key, entry.key_mark, faults, path=f"wire.{entry.key}")
            reader.of_gauge(gauge, entry.value, f"wire.{entry.key}")
    elif node is not None:
        _wrong_form(node, faults)
    return Held(tuple(reader.spools), tuple(dict.fromkeys(reader.plenty)))


def gauge_of(text: str, mark: Mark, faults: Faults, *, path: str) -> Gauge | None:
    """Read a gauge; note a fault and return None where it is none."""
    try:
        return read_gauge(text)
    except QuantityError as error:
        faults.add("bad-value", None, error.what, error.fix, mark=mark, path=path)
        return None


def colours_of(entry: Entry, faults: Faults, *, path: str) -> tuple[str, ...] | None:
    """Read a colour, or the two of a bonded pair ("red/black"); note a fault and return None where it is none."""
    words = entry.key.split("/")
    codes = [colour_code(word) for word in words]
    for word, code in zip(words, codes, strict=True):
        if code is None:
            close = nearest(word, (*colour_names(), *_KINDS), limit=1)
            hint = f"Did you mean `{close[0]}`? " if close else ""
            faults.add(
                "unknown-colour", None, f"{quoted(word.strip())} is not a wire colour.",
                f"{hint}Use a word such as `red`, a code such as `RD`, or `red/black` for a bonded pair.",
                mark=entry.key_mark, path=path,
            )  # fmt: skip
    known = tuple(code for code in codes if code is not None)
    if len(known) < len(words):
        return None
    if len(known) > _PAIR or (len(known) == _PAIR and known[0] == known[1]):
        faults.add(
            "bad-pair", None, f"{quoted(entry.key)} is not a pair of two colours.",
            "Write `red/black` for a bonded pair, and single wires one by one.", mark=entry.key_mark, path=path,
        )  # fmt: skip
        return None
    return known


def note_unknown_key(entry: Entry, holder: str, keys: tuple[str, ...], faults: Faults, *, path: str) -> None:
    """Tell that a key has no place here, and which have."""
    close = nearest(entry.key, keys, limit=1)
    hint = f"Did you mean `{close[0]}`? " if close else ""
    has = ", ".join(f"`{key}`" for key in keys[:-1]) + f" and `{keys[-1]}`"
    faults.add(
        "unknown-key", None, f"{quoted(entry.key)} is not something that {holder} has.", f"{hint}It has {has}.",
        mark=entry.key_mark, path=path,
    )  # fmt: skip


@dataclass(slots=True)
class _Reader:
    """Collects spools; what can't be read goes to the faults, and a gauge or colour of None holds nothing."""

    faults: Faults
    spools: list[Spool] = field(default_factory=list)
    plenty: list[tuple[Gauge, tuple[str, ...]]] = field(default_factory=list)
    numbers: Counter[tuple[Gauge, tuple[str, ...], bool]] = field(default_factory=Counter)

    def of_gauge(self, gauge: Gauge | None, node: Node, path: str) -> None:
        """Read what is on hand of a gauge: by colour, or of any colour."""
        if not isinstance(node, Mapping) or any(entry.key in _KINDS for entry in node.items):
            self.of_colour(gauge, (), node, path)
            return
        for entry in node.items:
            here = f"{path}.{entry.key}"
            self.of_colour(gauge, colours_of(entry, self.faults, path=here), entry.value, here)

    def of_colour(self, gauge: Gauge | None, colours: tuple[str, ...] | None, node: Node, path: str) -> None:
        """Read one amount, several, or spools and off-cuts apart."""
        if not isinstance(node, Mapping):
            self.lengths(gauge, colours, node, path, offcut=False)
            return
        for entry in node.items:
            here = f"{path}.{entry.key}"
            if entry.key in _KINDS:
                self.lengths(gauge, colours, entry.value, here, offcut=_KINDS[entry.key])
            else:
                note_unknown_key(entry, "an amount of wire", ("spools", "offcuts"), self.faults, path=here)

    def lengths(
        self, gauge: Gauge | None, colours: tuple[str, ...] | None, node: Node, path: str, *, offcut: bool
    ) -> None:
        """Read one length, or a list of them."""
        if isinstance(node, Sequence):
            for item in node.items:
                self.lengths(gauge, colours, item, path, offcut=offcut)
            return
        if isinstance(node, Mapping):
            self.faults.add(
                "bad-form", None, "An amount is a length, a list of lengths, `enough` or `none`.",
                "Write `{spools: [30 m], offcuts: [1.2 m, 80 cm]}`.", mark=node.mark, path=path,
            )  # fmt: skip
            return
        text = node.text.strip().casefold()
        if text in _ENOUGH:
            self.note_plenty(gauge, colours)
            return
        try:
            length_m = 0.0 if text in _NOTHING else read(node.text, Dimension.LENGTH)
        except QuantityError as error:
            fix = f"{error.fix[:-1]}, or `enough` or `none`."
            self.faults.add("bad-value", None, error.what, fix, mark=node.mark, path=path)
            return
        if length_m > 0 and gauge is not None and colours is not None:
            self.numbers[gauge, colours, offcut] += 1
            name = _name(gauge, colours, self.numbers[gauge, colours, offcut], offcut=offcut)
            self.spools.append(Spool(name, gauge, colours, length_m, offcut, node.mark))

    def note_plenty(self, gauge: Gauge | None, colours: tuple[str, ...] | None) -> None:
        """Note that there is enough of a wire."""
        if gauge is not None and colours is not None:
            self.plenty.append((gauge, colours))


def _name(gauge: Gauge, colours: tuple[str, ...], number: int, *, offcut: bool) -> str:
    words = "/".join(map(colour_words, colours))
    return f"{f'{gauge} {words}'.strip()}, {'off-cut' if offcut else 'spool'} {number}"


def _wrong_form(node: Node, faults: Faults) -> None:
    faults.add("bad-form", None, "Wire is written by gauge.", _FORM, mark=node.mark, path="wire")
