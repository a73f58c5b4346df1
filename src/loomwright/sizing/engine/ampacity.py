"""How much current a gauge may carry for ever, on a named basis, in its surroundings."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from loomwright.catalogue.tables import gauge as gauge_of
from loomwright.catalogue.tables import table
from loomwright.sizing.engine.derating import ambient_factor, bundle_factor, table_11_9_covers
from loomwright.sizing.result import OutOfTableError
from loomwright.units.gauge import Gauge

_OWN_BUNDLES = "ac-43.13"


@dataclass(frozen=True, slots=True)
class AmpacityBasis:
    """One table of ampacities: the air it stands for [C], and the rule for wires that run together."""

    name: str
    title: str
    ambient_c: float
    bundle_rule: str
    note: str
    bundle_note: str
    source: str

    @property
    def table(self) -> str:
        """The table by its name alone: "33 CFR 183.425 Table 5"."""
        return self.title.partition(":")[0]

    @property
    def knows_loading(self) -> bool:
        """Tell whether the bundle's loading changes anything; the other bases count loaded wires."""
        return self.bundle_rule in {"mil-w-5088", _OWN_BUNDLES}

    @property
    def insulations_c(self) -> tuple[float, ...]:
        """The insulation classes [C] that the table has columns for."""
        return tuple(sorted({insulation for insulation, _ in _cells(self.name)}))


@dataclass(frozen=True, slots=True)
class Surroundings:
    """Where a wire runs: insulation class and air [C], loaded wires in its bundle, loading of the bundle [%]."""

    insulation_c: float
    ambient_c: float
    bundle_wires: int = 1
    loading_pct: float = 100.0


@dataclass(frozen=True, slots=True)
class Ampacity:
    """What a basis says about a gauge: the table's value [A] and the two factors on it.

    `table_a` is None where the basis does not hold for the gauge; `reason` then says why.
    """

    basis: AmpacityBasis
    table_a: float | None
    ambient_factor: float
    bundle_factor: float
    source: str
    reason: str = ""

    @property
    def ampacity_a(self) -> float | None:
        """The current [A] that may flow for ever: table value times both factors."""
        return None if self.table_a is None else self.table_a * self.ambient_factor * self.bundle_factor

    @property
    def unbundled_a(self) -> float | None:
        """The table's value corrected for the air alone: what 33 CFR 183.455 measures a protection against."""
        return None if self.table_a is None else self.table_a * self.ambient_factor


@lru_cache(maxsize=1)
def ampacity_bases() -> dict[str, AmpacityBasis]:
    """Return every ampacity basis by its name; the default comes first."""
    return {
        row["basis"]: AmpacityBasis(
            name=row["basis"],
            title=row["title"],
            ambient_c=float(row["ambient_c"]),
            bundle_rule=row["bundle_rule"],
            note=row["note"],
            bundle_note=row["bundle_note"],
            source=row["source"],
        )
        for row in table("ampacity_basis")
    }


def ampacity_basis(name: str) -> AmpacityBasis:
    """Return one ampacity basis.

    Raises
    ------
    OutOfTableError
        For a name that isn't a basis.
    """
    if name not in ampacity_bases():
        raise OutOfTableError(f"There is no ampacity basis `{name}`.", f"Take one of: {', '.join(ampacity_bases())}.")
    return ampacity_bases()[name]


@lru_cache(maxsize=4096)
def ampacity(name: str, gauge: Gauge, around: Surroundings) -> Ampacity:
    """Return the ampacity of a gauge on a basis in its surroundings.

    Raises
    ------
    OutOfTableError
        For an unknown basis, an insulation class without a column, or a bundle that its rule does not reach.
    """
    basis = ampacity_basis(name)
    if around.insulation_c not in basis.insulations_c:
        classes = ", ".join(f"{c:g} C" for c in basis.insulations_c)
        raise OutOfTableError(
            f"{name} has no column for {around.insulation_c:g} C insulation; it has {classes}.",
            "Take the next lower class that it has, or another ampacity basis.",
        )
    in_air = ambient_factor(name, insulation_c=around.insulation_c, ambient_c=around.ambient_c, table_c=basis.ambient_c)
    together, reason = _together(basis, gauge, around)
    cell = _cells(name).get((around.insulation_c, gauge))
    if cell is None:
        reason = f"{basis.table} has no row for {gauge} at {around.insulation_c:g} C"
    table_a, source = (None, basis.source) if cell is None or reason else cell
    return Ampacity(basis, table_a, in_air, together, source, reason)


def _together(basis: AmpacityBasis, gauge: Gauge, around: Surroundings) -> tuple[float, str]:
    """Give the bundle factor, and why the basis does not hold for this gauge in the bundle."""
    if basis.bundle_rule == _OWN_BUNDLES:
        reason = table_11_9_covers(thickness=gauge.number, wires=around.bundle_wires, loading_pct=around.loading_pct)
        return 1.0, reason
    return bundle_factor(basis.bundle_rule, wires=around.bundle_wires, loading_pct=around.loading_pct), ""


def gauges_of(name: str, *, insulation_c: float) -> tuple[Gauge, ...]:
    """Return the gauges that a basis has a row for in an insulation class, thinnest first."""
    gauges = [gauge for insulation, gauge in _cells(name) if insulation == insulation_c]
    return tuple(sorted(gauges, key=lambda gauge: -gauge.number))


@lru_cache(maxsize=16)
def _cells(name: str) -> dict[tuple[float, Gauge], tuple[float, str]]:
    return {
        (float(row["insulation_c"]), gauge_of(row)): (float(row["ampacity_a"]), row["source"])
        for row in table("ampacity")
        if row["basis"] == name
    }
