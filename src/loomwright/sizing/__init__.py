"""From current and length to a gauge, its drop, its heat, and the reason."""

from __future__ import annotations

from loomwright.sizing.engine.ampacity import (
    Ampacity,
    AmpacityBasis,
    Surroundings,
    ampacity,
    ampacity_bases,
    ampacity_basis,
)
from loomwright.sizing.engine.drop import (
    DropBasis,
    drop_bases,
    drop_basis,
    drop_v,
    longest_circuit_m,
    wire_ohm_per_m,
)
from loomwright.sizing.engine.heat import (
    conductor_temperature_c,
    k_factor,
    longest_short_s,
    smallest_section_mm2,
)
from loomwright.sizing.engine.select import select as size
from loomwright.sizing.request import DEFAULT_STOCK, PortLimit, Request, RuleMinimum
from loomwright.sizing.result import Constraint, ConstraintName, Exclusion, OutOfTableError, Reach, Sizing

__all__ = [
    "DEFAULT_STOCK",
    "Ampacity",
    "AmpacityBasis",
    "Constraint",
    "ConstraintName",
    "DropBasis",
    "Exclusion",
    "OutOfTableError",
    "PortLimit",
    "Reach",
    "Request",
    "RuleMinimum",
    "Sizing",
    "Surroundings",
    "ampacity",
    "ampacity_bases",
    "ampacity_basis",
    "conductor_temperature_c",
    "drop_bases",
    "drop_basis",
    "drop_v",
    "k_factor",
    "longest_circuit_m",
    "longest_short_s",
    "size",
    "smallest_section_mm2",
    "wire_ohm_per_m",
]
