"""The revision: a short name for what was decided, equal exactly when the robot is wired the same."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from typing import TYPE_CHECKING

from loomwright.plan.remembering import kept_cuts

if TYPE_CHECKING:
    from loomwright.cutting.result import CutPlan
    from loomwright.plan.result import PlannedCircuit, PlannedEnd, PlannedWire

_SHORT = 8


def revision_of(circuits: Iterable[PlannedCircuit], cut: CutPlan | None = None) -> str:
    """Name a set of decisions by 8 hexadecimal digits of their SHA-256.

    It covers what people build: slot, protection, gauge, colours, wire ids, lengths to the millimetre, the trunks that
    each wire runs along, what is done to each end, and which pieces are cut from which spool. Reasons, sources, proofs
    and bounds, findings, versions and the order of circuits and spools don't count.
    """
    planned = sorted((_circuit(circuit) for circuit in circuits), key=lambda held: str(held["circuit"]))
    cuts = [{"spool": held.spool, "bought": held.bought, "pieces": held.wires} for held in kept_cuts(cut)]
    # Without a cut list the decisions are named as they were before there was one.
    decisions = {"circuits": planned, "cuts": cuts} if cuts else planned
    canonical = json.dumps(decisions, sort_keys=True, ensure_ascii=True, separators=(",", ":"), allow_nan=False)
    return hashlib.sha256(canonical.encode("ascii")).hexdigest()[:_SHORT]


def _circuit(circuit: PlannedCircuit) -> dict[str, object]:
    return {
        "circuit": circuit.id,
        "source": circuit.source,
        "slot": circuit.slot.value,
        "protection": circuit.protection,
        "protection_a": _to(circuit.protection_a.value, 3),
        "gauge": str(circuit.gauge.value),
        "length_mm": _mm(circuit.length.value),
        "wires": sorted((_wire(wire) for wire in circuit.wires), key=lambda held: str(held["role"])),
    }


def _wire(wire: PlannedWire) -> dict[str, object]:
    along: dict[str, object] = {"path": list(wire.path)} if wire.path else {}
    return along | {
        "role": wire.role,
        "id": wire.id,
        "gauge": str(wire.gauge),
        "colour": wire.colour,
        "length_mm": _mm(wire.length_m),
        "twisted_with": wire.twisted_with,
        "captive": wire.captive,
        "ends": [_end(wire.a), _end(wire.b)],
    }


def _end(end: PlannedEnd) -> dict[str, object]:
    place: dict[str, object] = {"device": end.device, "socket": end.socket, "polarity": str(end.polarity)}
    if end.treatment is None:
        return place
    done = end.treatment
    return place | {
        "terminal": done.terminal,
        "strip_mm": _mm(done.strip_m, 2),
        "folded": done.folded,
        "tool": done.tool,
        "insulation": done.insulation,
    }


def _mm(length_m: float | None, places: int = 0) -> float | None:
    """Give a length in whole millimetres, as people cut; what is finer would be rounding noise."""
    return None if length_m is None else _to(length_m * 1000, places)


def _to(value: float | None, places: int) -> float | None:
    return None if value is None else round(float(value), places) + 0.0  # + 0.0 turns -0.0 into 0.0
