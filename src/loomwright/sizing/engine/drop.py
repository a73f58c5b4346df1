"""Voltage drop of a wire on a named basis: what resistance a metre of it is said to have."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from loomwright.catalogue.conductor import area_cmil, resistance_ohm_per_m
from loomwright.catalogue.tables import gauge as gauge_of
from loomwright.catalogue.tables import number, table
from loomwright.sizing.result import OutOfTableError
from loomwright.units.gauge import Gauge

_M_PER_FT = 0.3048
_FT_PER_KFT = 1000


@dataclass(frozen=True, slots=True)
class DropBasis:
    """One way to say how much a wire drops.

    `kind` is "cmil" (K over circular mils), "copper" (solid copper at a temperature) or "table" (a
    document's own resistances).
    """

    name: str
    title: str
    kind: str
    k_ohm_cmil_per_ft: float | None
    note: str
    source: str

    def spoken(self, *, conductor_c: float) -> str:
        """Say the basis in a few words, for a sentence: "copper at 20 C"."""
        return f"copper at {conductor_c:g} C" if self.kind == "copper" else self.name


@lru_cache(maxsize=1)
def drop_bases() -> dict[str, DropBasis]:
    """Return every drop basis by its name; the default comes first."""
    return {
        row["basis"]: DropBasis(
            row["basis"], row["title"], row["kind"], number(row, "k_ohm_cmil_per_ft"), row["note"], row["source"]
        )
        for row in table("drop_basis")
    }


def drop_basis(name: str) -> DropBasis:
    """Return one drop basis.

    Raises
    ------
    OutOfTableError
        For a name that isn't a basis.
    """
    if name not in drop_bases():
        raise OutOfTableError(f"There is no drop basis `{name}`.", f"Take one of: {', '.join(drop_bases())}.")
    return drop_bases()[name]


def wire_ohm_per_m(name: str, gauge: Gauge, *, conductor_c: float = 20.0) -> float | None:
    """Return the resistance of one metre of one conductor [ohm/m] on a basis; None where it has no such gauge.

    The circular-mil formula CM = K I L / E, with L the whole circuit in feet and E the drop in volts, says
    that a foot of wire has K/CM ohm. `conductor_c` [C] counts for the basis "copper" only.
    """
    basis = drop_basis(name)
    if basis.k_ohm_cmil_per_ft is not None:
        return basis.k_ohm_cmil_per_ft / area_cmil(gauge) / _M_PER_FT
    if basis.kind == "copper":
        return resistance_ohm_per_m(gauge, conductor_c=conductor_c)
    return _printed_ohm_per_m(name).get(gauge)


def drop_v(name: str, gauge: Gauge, *, current_a: float, circuit_m: float, conductor_c: float = 20.0) -> float | None:
    """Return the drop [V] over a circuit of this length [m], out and back, None where the basis has no such gauge."""
    ohm_per_m = wire_ohm_per_m(name, gauge, conductor_c=conductor_c)
    return None if ohm_per_m is None else current_a * ohm_per_m * circuit_m


def longest_circuit_m(
    name: str, gauge: Gauge, *, current_a: float, allowed_drop_v: float, conductor_c: float = 20.0
) -> float | None:
    """Return the longest circuit [m], out and back, that keeps the drop; None where the basis has no such gauge."""
    ohm_per_m = wire_ohm_per_m(name, gauge, conductor_c=conductor_c)
    return None if ohm_per_m is None else allowed_drop_v / (current_a * ohm_per_m)


@lru_cache(maxsize=8)
def _printed_ohm_per_m(name: str) -> dict[Gauge, float]:
    return {
        gauge_of(row): float(row["resistance_ohm_per_kft"]) / _FT_PER_KFT / _M_PER_FT
        for row in table("wire_resistance")
        if row["basis"] == name
    }
