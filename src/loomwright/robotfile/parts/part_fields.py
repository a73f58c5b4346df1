"""One mapping of a part file: its keys looked at, its values read, every fault noted and none raised."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from typing import TypeVar

from loomwright.model.mark import Mark
from loomwright.robotfile.forms.facts import NotReadableError, Reader
from loomwright.robotfile.forms.leaves import Branch, Faults, Leaf, Raw, Row, Spot
from loomwright.robotfile.forms.readers import GAUGE, YES_NO
from loomwright.units.gauge import Gauge
from loomwright.units.quantity import Dimension, QuantityError, read
from loomwright.wording import listed, nearest, quoted

T = TypeVar("T")

_GAUGES = re.compile(r"(?P<thin>\S+)\s*(?:awg)?\s+to\s+(?P<thick>\S+)\s*awg", re.IGNORECASE)
_LONGEST_TEXT = 400
_FEW = 12


class Fields:
    """The keys and values of one mapping; `what` names the mapping in faults ("a socket")."""

    def __init__(self, raw: Raw, faults: Faults, *, what: str, keys: Sequence[str]) -> None:
        self.faults = faults
        self.what = what
        self.spot: Spot = raw
        self._raw: Branch | None = raw if isinstance(raw, Branch) else None
        if self._raw is None:
            self.fault("bad-form", raw, f"{what.capitalize()} has keys and values.", f"Write `{{{keys[0]}: ...}}`.")
            return
        for key in self._raw:
            if key not in keys:
                self.fault_at_key(key, "unknown-key", f"{quoted(key)} is no key of {what}.", did_you_mean(key, keys))

    def __contains__(self, key: str) -> bool:
        """Tell whether the key is written."""
        return self._raw is not None and key in self._raw

    def get(self, key: str) -> Raw | None:
        """Return what is written for a key, None where it is left out."""
        return None if self._raw is None else self._raw.get(key)

    def key_mark(self, key: str) -> Mark:
        """Return where a key stands, or the whole mapping where it is left out."""
        return self.spot.mark if self._raw is None else self._raw.key_marks.get(key, self._raw.mark)

    def fault(self, code: str, spot: Spot, what: str, fix: str) -> None:
        """Note a fault at a value."""
        self.faults.add(code, spot, what, fix)

    def fault_at_key(self, key: str, code: str, what: str, fix: str) -> None:
        """Note a fault at a key."""
        path = f"{self.spot.path}.{key}" if self.spot.path else key
        self.faults.add(code, None, what, fix, mark=self.key_mark(key), path=path)

    def fault_here(self, code: str, what: str, fix: str) -> None:
        """Note a fault of the whole mapping."""
        self.faults.add(code, self.spot, what, fix)

    def text(self, key: str) -> str:
        """Return one text, empty where it is left out."""
        return self._one(key, _text) or ""

    def amount(self, key: str, dimension: Dimension) -> float | None:
        """Return one amount above zero in the base unit of its dimension."""
        return self._one(key, lambda text: above_zero(text, dimension))

    def gauge(self, key: str) -> Gauge | None:
        """Return one wire gauge."""
        return self._one(key, _by(GAUGE))

    def gauges(self, key: str) -> tuple[Gauge | None, Gauge | None]:
        """Return the thinnest and the thickest gauge of "24 to 10 AWG", or one gauge twice."""
        return self._one(key, _gauge_range) or (None, None)

    def yes(self, key: str, *, otherwise: bool = False) -> bool:
        """Return a yes or no."""
        said = self._one(key, _by(YES_NO))
        return otherwise if said is None else said

    def choice(self, key: str, options: Sequence[str]) -> str:
        """Return one word of a list, empty where it is left out or not among them."""
        return self._one(key, lambda text: _option(text, options)) or ""

    def texts(self, key: str) -> tuple[str, ...]:
        """Return a list of texts; one text alone is a list of one."""
        return self.each(key, _text)

    def amounts(self, key: str, dimension: Dimension) -> tuple[float, ...]:
        """Return a list of amounts; one alone is a list of one."""
        return self.each(key, lambda text: above_zero(text, dimension))

    def choices(self, key: str, options: Sequence[str]) -> tuple[str, ...]:
        """Return words of a list; one alone is a list of one."""
        return self.each(key, lambda text: _option(text, options))

    def each(self, key: str, reader: Callable[[str], T]) -> tuple[T, ...]:
        """Read every item of a list; one value alone is a list of one."""
        raw = self.get(key)
        items: Iterable[Raw] = () if raw is None else raw if isinstance(raw, Row) else (raw,)
        return tuple(value for item in items if (value := self.read(item, reader)) is not None)

    def read(self, raw: Raw, reader: Callable[[str], T]) -> T | None:
        """Read one value that is written as plain text; None and a fault where it can't be read."""
        if not isinstance(raw, Leaf):
            kind = "a list" if isinstance(raw, Row) else "keys and values"
            self.fault("bad-form", raw, f"One value belongs here, and here stand {kind}.", "Write one value.")
            return None
        try:
            return reader(raw.text)
        except (QuantityError, NotReadableError) as error:
            code = error.code if isinstance(error, NotReadableError) else "bad-value"
            self.fault(code, raw, error.what, error.fix)
            return None

    def _one(self, key: str, reader: Callable[[str], T]) -> T | None:
        raw = self.get(key)
        return None if raw is None else self.read(raw, reader)


def above_zero(text: str, dimension: Dimension) -> float:
    """Read one amount that has to be more than nothing; raise QuantityError."""
    amount = read(text, dimension)
    if amount <= 0:
        raise QuantityError(f"{quoted(text)} is nothing.", "Write an amount above zero, or leave it out.")
    return amount


def did_you_mean(word: str, known: Sequence[str]) -> str:
    """Write a fix for a word that is not known: the nearest ones, or all where there are few."""
    close = nearest(word, known)
    hint = f"Did you mean {listed([f'`{name}`' for name in close])}?" if close else ""
    every = f"There are {listed(list(known), 'and')}."
    return hint if hint and len(known) > _FEW else f"{hint} {every}".strip()


def _by(reader: Reader[T]) -> Callable[[str], T]:
    assert reader.scalar is not None  # noqa: S101  the readers used here read plain text
    return reader.scalar


def _text(text: str) -> str:
    tidy = " ".join(text.split())
    if not tidy:
        raise NotReadableError("empty-value", "There is nothing here.", "Write a value, or leave the line out.")
    if len(tidy) > _LONGEST_TEXT:
        raise NotReadableError("too-long", f"This text has {len(tidy)} characters.", f"Use at most {_LONGEST_TEXT}.")
    return tidy


def _option(text: str, options: Sequence[str]) -> str:
    tidy = " ".join(text.split())
    if tidy not in options:
        raise NotReadableError("unknown-word", f"{quoted(tidy)} is not known here.", did_you_mean(tidy, options))
    return tidy


def _gauge_range(text: str) -> tuple[Gauge | None, Gauge | None]:
    read_gauge = _by(GAUGE)
    found = _GAUGES.fullmatch(text.strip())
    if found is None:
        one = read_gauge(text)
        return one, one
    thin, thick = read_gauge(f"{found['thin']} AWG"), read_gauge(f"{found['thick']} AWG")
    if thick.thinner_than(thin):
        raise QuantityError(
            f"{quoted(text.strip())} runs backwards: the thinner wire comes first.",
            f"Write `{thick.label} to {thin.label} AWG`.",
        )
    return thin, thick
