"""The words of the cards, from tables: which kind an end is of, its steps, mistakes, labels and cautions."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import Final

from loomwright.catalogue.tables import table
from loomwright.documents.end_cards.card import Mistake
from loomwright.units import Gauge

BATTERY: Final = "battery"
"""The cautions of every end that sits on a battery."""
_SIZE: Final = "{size}"


@cache
def kind_of(terminal: str, tool: str) -> tuple[str, str, Gauge | None]:
    """Tell of which kind an end is by its terminal and tool: kind, the size in the terminal's name, a usual gauge.

    The gauge is the middle of what such an end takes, None where it takes none.

    Raises
    ------
    LookupError
        For an end that no row of `end_card_kind.csv` speaks of.
    """
    for row in table("end_card_kind"):
        found = re.fullmatch(re.escape(row["terminal"]).replace(re.escape(_SIZE), "(.+)"), terminal)
        if found and row["tool"] == tool:
            return row["card"], "".join(found.groups()), _usual(row["terminal"], tool)
    raise LookupError(f"no card tells how to make {terminal!r} with {tool!r}; add a row to end_card_kind.csv")


def place_of(kind: str) -> str:
    """Return the words that a title needs to tell this kind from others ("in a lever clamp"), mostly none."""
    return _row(kind)["place"]


def good_of(kind: str) -> str:
    """Return the words in the frame of the good picture."""
    return _row(kind)["good"]


def steps_of(kind: str) -> tuple[str, ...]:
    """Return the steps in order."""
    return tuple(row["words"] for row in _of("end_card_step", kind))


def mistakes_of(kind: str) -> tuple[Mistake, ...]:
    """Return the two usual mistakes in the order in which they are drawn."""
    return tuple(Mistake(row["name"], row["words"], row["drawn"]) for row in _of("end_card_mistake", kind))


def cautions_of(kind: str) -> tuple[str, ...]:
    """Return the cautions of a kind, or of `BATTERY`."""
    return tuple(row["words"] for row in _of("end_card_caution", kind))


def labels_of(kind: str) -> Mapping[str, str]:
    """Return the labels of the good picture by the spot that they point at."""
    return {row["spot"]: row["words"] for row in _of("end_card_label", kind)}


def named_size_mm(terminal: str, name: str) -> float | None:
    """Return a stud's diameter or a blade's width [mm] by its name in a terminal; None where nobody tells."""
    what = "tab" if terminal.startswith("quick-connect") else "stud"
    found = next((row for row in table("named_size") if (row["what"], row["name"]) == (what, name)), None)
    if found:
        return float(found["size_mm"])
    odd = re.fullmatch(r"([\d.]+) mm", name)
    return float(odd[1]) if odd else None


def _row(kind: str) -> Mapping[str, str]:
    return next(row for row in table("end_card") if row["card"] == kind)


def _of(name: str, kind: str) -> list[Mapping[str, str]]:
    return [row for row in table(name) if row["card"] == kind]


def _usual(terminal: str, tool: str) -> Gauge | None:
    row = next(row for row in table("end_treatment") if (row["terminal"], row["tool"]) == (terminal, tool))
    if not row["thinnest_awg"]:
        return None
    thick, thin = Gauge.parse(row["thickest_awg"]).number, Gauge.parse(row["thinnest_awg"]).number
    return Gauge((thick + thin) // 4 * 2)
