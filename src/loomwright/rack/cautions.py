"""What is said wherever somebody handles or charges batteries."""

from __future__ import annotations

from typing import Literal

from loomwright.catalogue.tables import table

Where = Literal["charging", "handling", "quarantine"]


def cautions(where: Where) -> tuple[str, ...]:
    """Return the cautions of one kind of work, in their order."""
    rows = [row for row in table("rack_caution") if row["where"] == where]
    return tuple(row["words"] for row in sorted(rows, key=lambda row: int(row["number"])))
