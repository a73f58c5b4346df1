"""The ampacity that a request asks for, with the second basis for wires thinner than the first one knows."""

from __future__ import annotations

from dataclasses import replace

from loomwright.sizing.engine.ampacity import (
    Ampacity,
    Surroundings,
    ampacity,
    ampacity_basis,
    gauges_of,
)
from loomwright.sizing.request import Request
from loomwright.sizing.result import OutOfTableError
from loomwright.units.gauge import Gauge


def around(request: Request) -> Surroundings:
    """Return where the wire of a request runs."""
    return Surroundings(request.insulation_c, request.ambient_c, request.bundle_wires, request.loading_pct)


def allowed(request: Request, gauge: Gauge) -> Ampacity:
    """Return the ampacity of a gauge as the request's bases have it.

    A gauge thinner than all of the ampacity basis is looked up in the thin-wire basis, with the next lower
    insulation class that this one has; it is never credited with more than the thinnest gauge of the main basis.

    Raises
    ------
    OutOfTableError
        Where the main basis can't answer; see `ampacity`.
    """
    main = ampacity(request.ampacity_basis, gauge, around(request))
    thinnest = gauges_of(request.ampacity_basis, insulation_c=request.insulation_c)[0]
    if request.thin_wire_basis is None or not gauge.thinner_than(thinnest):
        return main
    thin = _thin(request, gauge)
    if thin is None or thin.ampacity_a is None:
        return main
    cap = ampacity(request.ampacity_basis, thinnest, around(request))
    return thin if cap.ampacity_a is None or thin.ampacity_a <= cap.ampacity_a else cap


def _thin(request: Request, gauge: Gauge) -> Ampacity | None:
    basis = ampacity_basis(request.thin_wire_basis or "")
    lower = [c for c in basis.insulations_c if c <= request.insulation_c]
    if not lower:
        return None
    try:
        return ampacity(basis.name, gauge, replace(around(request), insulation_c=max(lower)))
    except OutOfTableError:
        return None
