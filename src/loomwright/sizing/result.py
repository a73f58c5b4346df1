"""What sizing one wire gives back: the gauge, what decided it, and the margin of everything else."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from loomwright.units.gauge import Gauge


class ConstraintName(StrEnum):
    """The things that a wire's gauge has to satisfy, in the order in which they are told."""

    RULE_BOOK = "rule book"
    AMPACITY = "ampacity"
    DROP = "drop"
    PATH_DROP = "drop from the battery"
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
    plain phrase, `reason` why it can't be met or judged. `margin` is limit against need as a ratio, 1 or more
    where it holds; None where there is no number. `limit` and `actual` are in `unit`. `smallest` is the thinnest
    stocked gauge that satisfies it.
    """

    name: ConstraintName
    ok: bool | None
    needs: str
    reason: str = ""
    margin: float | None = None
    limit: float | None = None
    actual: float | None = None
    unit: str = ""
    source: str = ""
    rests_on: tuple[str, ...] = ()
    smallest: Gauge | None = None

    def as_dict(self) -> dict[str, object]:
        """Give the JSON form; the keys are part of the documented output."""
        return {
            "name": str(self.name),
            "ok": self.ok,
            "needs": self.needs,
            "reason": self.reason,
            "margin": _rounded(self.margin),
            "limit": _rounded(self.limit),
            "actual": _rounded(self.actual),
            "unit": self.unit,
            "source": self.source,
            "rests_on": list(self.rests_on),
            "smallest_awg": None if self.smallest is None else self.smallest.label,
        }


@dataclass(frozen=True, slots=True)
class Reach:
    """The longest one-way length [m] at which this gauge keeps the allowed drop."""

    gauge: Gauge
    one_way_m: float


@dataclass(frozen=True, slots=True)
class Exclusion:
    """A stocked gauge, the constraints that it breaks, and the reason where a number does not say it."""

    gauge: Gauge
    broken: tuple[str, ...]
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizing:
    """The answer for one wire.

    `gauge` is None where no stocked gauge satisfies everything; `exclusions` then says why for each. `shown_for` is
    the gauge that `constraints` and the numbers below speak of: the chosen one, or the one that breaks least.
    `decided_by` names the constraints that the next thinner stocked gauge breaks; it is `("stock",)` where no thinner
    gauge is stocked and `("floor",)` where an earlier decision keeps the gauge up. `reach` gives the longest length
    of every stocked gauge that satisfies the rest. Drop [V, %], of this circuit alone, and resistance [ohm, whole
    circuit] are None while the length is unknown; `ampacity_a` [A] is corrected for ambient and bundle, and None
    where the basis has no row; `conductor_temperature_c` [C] is the steady one at the sustained current. `sources`
    are keys of docs/sources.toml, or ids of the rule book's rules.
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

    def as_dict(self) -> dict[str, object]:
        """Give the JSON form; the keys are part of the documented output."""
        return {
            "gauge_awg": None if self.gauge is None else self.gauge.label,
            "shown_for_awg": self.shown_for.label,
            "area_mm2": _rounded(self.area_mm2),
            "resistance_ohm": _rounded(self.resistance_ohm),
            "drop_v": _rounded(self.drop_v),
            "drop_pct": _rounded(self.drop_pct),
            "ampacity_a": _rounded(self.ampacity_a),
            "conductor_temperature_c": _rounded(self.conductor_temperature_c),
            "basis": self.drop_basis,
            "ampacity_basis": self.ampacity_basis,
            "decided_by": list(self.decided_by),
            "constraints": [constraint.as_dict() for constraint in self.constraints],
            "exclusions": [
                {"gauge_awg": e.gauge.label, "broken": list(e.broken), "reason": e.reason} for e in self.exclusions
            ],
            "reach": [{"gauge_awg": r.gauge.label, "one_way_m": _rounded(r.one_way_m)} for r in self.reach],
            "assumptions": list(self.assumptions),
            "sources": list(self.sources),
        }


def _rounded(number: float | None) -> float | None:
    """Round to six figures, so that the last bits of a computer's arithmetic stay out of files."""
    return None if number is None else float(f"{number:.6g}")
