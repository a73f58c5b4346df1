"""What sizing one wire gives back: the gauge, what decided it, and the margin of everything else."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.units.gauge import Gauge


class ConstraintName(StrEnum):
    """The things that a wire's gauge has to satisfy, in the order in which they are told."""

    RULE_BOOK = "rule book"
    AMPACITY = "ampacity"
    DROP = "drop"
    HOLD_HEAT = "hold heat"
    SHORT_CIRCUIT = "short circuit"
    PROTECTION = "protection"
    PORTS = "ports"


class OutOfTableError(ValueError):
    """A question that the named basis has no answer for; says what is missing and what exists."""

    def __init__(self, what: str, fix: str) -> None:
        super().__init__(f"{what} {fix}")
        self.what = what
        self.fix = fix


@dataclass(frozen=True, slots=True, kw_only=True)
class Constraint:
    """One constraint, judged at one gauge.

    `ok` is None where the constraint applies but can't be judged (an unknown length). `needs` is the demand as a
    plain sentence. `margin` is limit against need as a ratio, 1 or more where it holds; None where there is no
    number. `limit` and `actual` are in `unit`. `smallest` is the thinnest stocked gauge that satisfies it.
    """

    name: ConstraintName
    ok: bool | None
    needs: str
    margin: float | None = None
    limit: float | None = None
    actual: float | None = None
    unit: str = ""
    source: str = ""
    rests_on: tuple[str, ...] = ()
    smallest: Gauge | None = None


@dataclass(frozen=True, slots=True)
class Reach:
    """The longest one-way length [m] at which this gauge keeps the allowed drop."""

    gauge: Gauge
    one_way_m: float


@dataclass(frozen=True, slots=True)
class Exclusion:
    """A stocked gauge and the constraints that it breaks."""

    gauge: Gauge
    broken: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizing:
    """The answer for one wire.

    `gauge` is None where no stocked gauge satisfies everything; `exclusions` then says why for each. `shown_for` is
    the gauge that `constraints` and the numbers below speak of: the chosen one, or the one that breaks least.
    `decided_by` names the constraints that the next thinner stocked gauge breaks; it is `("stock",)` where no
    thinner gauge is stocked and `("floor",)` where an earlier decision keeps the gauge up. `reach` gives the
    longest length a gauge, for every stocked gauge that satisfies the rest. Drop [V, %] and resistance [ohm, whole circuit]
    are None while the length is unknown; `ampacity_a` [A] is corrected for ambient and bundle and None where the
    basis has no row; `conductor_temperature_c` [C] is the steady one at the sustained current.
    """

    gauge: Gauge | None
    shown_for: Gauge
    decided_by: tuple[str, ...]
    constraints: tuple[Constraint, ...]
    exclusions: tuple[Exclusion, ...]
    reach: tuple[Reach, ...]
    area_mm2: float
    resistance_ohm: float | None
    drop_v: float | None
    drop_pct: float | None
    ampacity_a: float | None
    conductor_temperature_c: float | None
    drop_basis: str
    ampacity_basis: str
    assumptions: tuple[str, ...]
    sources: tuple[str, ...]

    def constraint(self, name: str) -> Constraint | None:
        """Return the constraint of that name, or None where it doesn't apply."""
        return next((c for c in self.constraints if c.name == name), None)
