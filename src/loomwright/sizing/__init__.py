"""From current and length to a gauge, its drop, its heat, and the reason."""

from __future__ import annotations

from loomwright.sizing.request import DEFAULT_STOCK, PortLimit, Request, RuleMinimum
from loomwright.sizing.result import Constraint, ConstraintName, Exclusion, OutOfTableError, Reach, Sizing

__all__ = [
    "DEFAULT_STOCK",
    "Constraint",
    "ConstraintName",
    "Exclusion",
    "OutOfTableError",
    "PortLimit",
    "Reach",
    "Request",
    "RuleMinimum",
    "Sizing",
]
