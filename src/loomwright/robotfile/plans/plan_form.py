"""The form of plan.yaml as data: which keys stand where, and what each may hold.

Both readers follow it, and `kept.memory_from` takes what they let through.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final, TypeAlias

from loomwright.units.gauge import Gauge

UNKNOWN: Final = "unknown"
YES: Final = "yes"
_METRES: Final = MappingProxyType({"mm": 0.001, "cm": 0.01, "m": 1.0})
_WHOLE: Final = re.compile(r"[0-9]{1,9}")


def text_of(text: str) -> str:
    """Take any text as it is."""
    return text


def gauge_of(text: str) -> Gauge | None:
    """Read a gauge, None for unknown; raise ValueError for anything else."""
    return None if text == UNKNOWN else Gauge.parse(text)


def length_of(text: str) -> float | None:
    """Read a length with its unit [m] to the millimetre, None for unknown; raise ValueError for anything else."""
    if text == UNKNOWN:
        return None
    figures, _, unit = text.partition(" ")
    if unit not in _METRES:
        raise ValueError(text)
    return round(_finite(figures) * _METRES[unit], 3)


def metres_of(text: str) -> float:
    """Read a length that must be known [m]; raise ValueError for anything else."""
    length_m = length_of(text)
    if length_m is None:
        raise ValueError(text)
    return length_m


def diameter_of(text: str) -> float:
    """Read a bundle's diameter [m] to 0.01 mm; raise ValueError for anything else, and where it is not above zero."""
    figures, _, unit = text.partition(" ")
    if unit not in _METRES:
        raise ValueError(text)
    diameter_m = round(_finite(figures) * _METRES[unit], 5)
    if diameter_m <= 0:
        raise ValueError(text)
    return diameter_m


def whole_of(text: str) -> int:
    """Read a whole number from 0 on; raise ValueError for anything else."""
    if not _WHOLE.fullmatch(text):
        raise ValueError(text)
    return int(text)


def count_of(text: str) -> int:
    """Read a whole number from 1 on; raise ValueError for anything else."""
    number = whole_of(text)
    if number == 0:
        raise ValueError(text)
    return number


def amount_of(text: str) -> tuple[float, str]:
    """Read a number with or without a unit ("1234.5 mm"); raise ValueError for anything else."""
    figures, _, unit = text.partition(" ")
    return _number(figures), unit


def yes_of(text: str) -> bool:
    """Read a yes, the only thing that such a line ever says; raise ValueError for anything else."""
    if text != YES:
        raise ValueError(text)
    return True


def _number(figures: str) -> float:
    number = float(figures)
    if math.isnan(number):
        raise ValueError(figures)
    return number


def _finite(figures: str) -> float:
    number = _number(figures)
    if math.isinf(number):
        raise ValueError(figures)
    return number


@dataclass(frozen=True, slots=True)
class Text:
    """One text; `read` raises ValueError where it can't be what `wanted` says."""

    read: Callable[[str], object] = text_of
    wanted: str = ""
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Words:
    """A list of texts; a file may leave it out."""


@dataclass(frozen=True, slots=True)
class Group:
    """Keys below a key."""

    fields: Mapping[str, Form]
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Rows:
    """A list of groups; the first key of each is its name. `optional`: a file may leave the list out."""

    fields: Mapping[str, Form] = field(default_factory=dict)
    optional: bool = False


Form: TypeAlias = Text | Words | Group | Rows

_MAY: Final = Text(optional=True)
_MAYBE_YES: Final = Text(yes_of, "`yes`, or no such line,", optional=True)
_GAUGE: Final = Text(gauge_of, "A gauge such as `12 AWG`, or `unknown`,")
_LENGTH: Final = Text(length_of, "A length such as `85.3 cm`, or `unknown`,")
_METRES_FORM: Final = Text(metres_of, "A length such as `7.6 m`")
_NUMBER: Final = Text(whole_of, "A whole number")
_AMOUNT: Final = Text(amount_of, "A number, with its unit if it has one,")
_END: Final = {f"{letter} {key}": _MAY for letter in "AB" for key in ("device", "socket", "polarity", "terminal")}

_WIRE: Final[Mapping[str, Form]] = {
    "role": Text(),
    "id": Text(),
    "gauge": _GAUGE,
    "colour": Text(),
    "length": _LENGTH,
    "captive": _MAYBE_YES,
    "fitted": _MAYBE_YES,
    "made": _MAYBE_YES,
    "path": Words(),
    **_END,
}
_CIRCUIT: Final[Mapping[str, Form]] = {
    "circuit": Text(),
    "source": Text(),
    "slot": Group({"value": Text(), "reason": _MAY}),
    "gauge": Group({"value": _GAUGE}),
    "wires": Rows(_WIRE),
}
_PROOF: Final[Mapping[str, Form]] = {
    "of": Text(),
    "cost": _AMOUNT,
    "bound": _AMOUNT,
    "baseline": Text(amount_of, _AMOUNT.wanted, optional=True),
    "baseline breaks": Text(amount_of, _AMOUNT.wanted, optional=True),
    "breaks": _AMOUNT,
    "least breaks": _AMOUNT,
}
_CLASH: Final[Mapping[str, Form]] = {
    "items": Words(),
    "spots": Rows({"device": Text(), "slot": Text()}, optional=True),
    "wishes": Words(),
    "drops": Words(),
    "counting": _MAYBE_YES,
}

#: Every key that binds the next plan; other keys tell people why, and readers pass over them.
FORM: Final[Mapping[str, Form]] = {
    "robot": Text(),
    "build": Text(),
    "revision": Text(),
    "inputs": Text(),
    "next wire": Text(count_of, "A whole number above 0"),
    "main leads": Text(whole_of, _NUMBER.wanted, optional=True),
    "circuits": Rows(_CIRCUIT),
    "devices": Rows({"device": Text(), "called": _MAY, "part": Text(), "at": _MAY}, optional=True),
    "runs": Rows({"run": Text(), "gauge": _GAUGE, "along": Words()}, optional=True),
    "bundles": Rows({"bundle": Text(), "diameter": Text(diameter_of, "A diameter such as `9.61 mm`")}, optional=True),
    "cuts": Rows(
        {"spool": Text(), "length": _METRES_FORM, "bought": _MAYBE_YES, "left": _METRES_FORM, "pieces": Words()},
        optional=True,
    ),
    "crossings": Text(whole_of, _NUMBER.wanted, optional=True),
    "clashes": Rows(_CLASH, optional=True),
    "proofs": Rows(_PROOF, optional=True),
}
