"""What is asked of one wire: its loads, its surroundings, and everything that limits the choice."""

from __future__ import annotations

import math
from dataclasses import dataclass

from loomwright.catalogue.protection_curve import TripCurve
from loomwright.units.gauge import Gauge

#: The even gauges 22 to 2, then 1/0, 2/0, 3/0 and 4/0: what shops keep.
DEFAULT_STOCK: tuple[Gauge, ...] = tuple(Gauge(n) for n in (*range(22, 1, -2), 0, -1, -2, -3))


@dataclass(frozen=True, slots=True)
class PortLimit:
    """What one end of the wire accepts: the place in words, and the thinnest and thickest gauge.

    None for either side means that the port sets no limit there.
    """

    place: str
    thinnest: Gauge | None
    thickest: Gauge | None


@dataclass(frozen=True, slots=True)
class RuleMinimum:
    """The thinnest gauge that a rule book lets stand, with the id of the rule that says so."""

    gauge: Gauge
    rule: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """One wire to size; every number carries its unit in its name.

    `current_a` [A] is the current at which the drop is judged, `sustained_a` [A] the one that heats the wire for long
    (None: the same). `one_way_m` [m] is the length of one conductor from supply to load; the current runs out and
    back, so the circuit is `conductors` (2) times that; None: unknown, then the drop isn't judged. `allowed_drop_v`
    [V] is the drop over the whole circuit. `leads_ohm` [ohm] is what leads that a part brings along add to it, out
    and back. `before_v` [V] is lost before the circuit begins, in leads that it shares with others, and `path_drop_v`
    [V] what may be lost from the battery to the load in all (None: not judged). `drop_basis` and `ampacity_basis`
    name where the numbers come from; `thin_wire_basis` is asked for gauges that the ampacity basis has no row for
    (None: refused). `conductor_c` [C] is used by the drop basis `copper` only. `insulation_c` and `ambient_c` [C];
    `bundle_wires` counts the current-carrying conductors that run together, this one included; `loading_pct` [%] how
    loaded the bundle is as a whole. `protection_a` [A] is the rating of the fuse or breaker, `hold_a` [A] the current
    that it carries for ever, `trip_curve` its opening times and `fault_current_a` [A] the current of a dead short.
    `short_circuit_c` [C] is what the insulation stands for the few seconds of a short. `stock` are the gauges to
    choose from; `floor` is the thinnest gauge still allowed by earlier decisions.
    """

    current_a: float
    sustained_a: float | None = None
    one_way_m: float | None = None
    conductors: int = 2
    supply_v: float = 12.0
    allowed_drop_v: float = 0.36
    leads_ohm: float = 0.0
    before_v: float = 0.0
    path_drop_v: float | None = None
    drop_basis: str = "cm-10.75"
    conductor_c: float = 20.0
    ampacity_basis: str = "cfr-183.425"
    thin_wire_basis: str | None = None
    insulation_c: float = 105.0
    ambient_c: float = 30.0
    bundle_wires: int = 1
    loading_pct: float = 100.0
    protection_a: float | None = None
    hold_a: float | None = None
    trip_curve: TripCurve | None = None
    fault_current_a: float | None = None
    short_circuit_c: float = 160.0
    rule_minimum: RuleMinimum | None = None
    ports: tuple[PortLimit, ...] = ()
    stock: tuple[Gauge, ...] = DEFAULT_STOCK
    floor: Gauge | None = None

    def __post_init__(self) -> None:
        """Refuse amounts that make no sense, with the field's name."""
        above_zero = ("current_a", "sustained_a", "one_way_m", "supply_v", "allowed_drop_v", "protection_a", "hold_a")
        for name in (*above_zero, "path_drop_v", "fault_current_a", "conductors", "bundle_wires"):
            value = getattr(self, name)
            if value is not None and not (math.isfinite(value) and value > 0):
                raise ValueError(f"{name} must be above zero, not {value}")
        for name in ("leads_ohm", "before_v"):
            value = getattr(self, name)
            if not (math.isfinite(value) and value >= 0):
                raise ValueError(f"{name} must be nothing or more, not {value}")
        for name in ("conductor_c", "insulation_c", "ambient_c", "loading_pct", "short_circuit_c"):
            if not math.isfinite(getattr(self, name)):
                raise ValueError(f"{name} must be a number")
        if not 0 < self.loading_pct <= 100:  # noqa: PLR2004  a share of the bundle's capacity
            raise ValueError(f"loading_pct must be above 0 and at most 100, not {self.loading_pct}")
        if not self.stock:
            raise ValueError("stock must name at least one gauge")
