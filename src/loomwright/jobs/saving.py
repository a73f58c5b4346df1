"""How much copper a plan takes, against each wire by its shortest way and in the thinnest gauge that is then legal."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.catalogue.conductor import mass_g_per_m
from loomwright.layout import Lengths
from loomwright.layout.ways import Ways

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.layout.result import Run
    from loomwright.plan.result import Plan, PlannedCircuit


@dataclass(frozen=True, slots=True)
class Saving:
    """Copper of all routed wires [g] and trunk that is opened [m], as planned and the plain way.

    The plain way takes each wire by itself: shortest way, then the thinnest gauge that holds there.
    """

    copper_g: float
    plain_copper_g: float
    opened_m: float
    plain_opened_m: float


def saving(plan: Plan) -> Saving | None:
    """Compare a plan's routes with the plain way; None where nothing is routed."""
    layout = plan.layout
    if layout is None:
        return None
    ways = Ways(layout.net)
    edges = {edge.name: edge for edge in layout.edges}
    options = {route.run: route for route in layout.routes}
    copper = plain = 0.0
    plain_edges: set[str] = set()
    for run in layout.runs:
        route = options[run.name]
        taken = run.options[route.option]
        way_m = sum(edges[name].wire_m for name in route.edges)
        copper += taken.mass_g_per_m * way_m
        shortest = ways.edges(run.start, run.end)
        shortest_m = sum(edge.wire_m for edge in shortest) if shortest is not None else way_m
        plain_edges.update(edge.name for edge in shortest or () if edge.shared)
        plain += _plain_g_per_m(plan, run, taken.mass_g_per_m, shortest_m) * shortest_m
    opened = {name for route in layout.routes for name in route.edges if edges[name].shared}
    return Saving(
        copper,
        plain,
        sum(edges[name].length_m for name in opened),
        sum(edges[name].length_m for name in plain_edges),
    )


def _plain_g_per_m(plan: Plan, run: Run, mass_g_per_m_taken: float, way_m: float) -> float:
    """Return what a run weighs [g/m] in the thinnest gauge that holds on this way; as planned where nobody chose it."""
    circuit = plan.circuit(run.wires[0][0])
    if circuit is None or circuit.sizing is None or circuit.gauge.value is None:
        return mass_g_per_m_taken
    lengths = Lengths(plan.robot)
    wire = next((wire for wire in circuit.circuit.wires if wire.key == run.wires[0]), None)
    if wire is None or not lengths.is_free(circuit.circuit, wire):
        return mass_g_per_m_taken
    for reach in _thinnest_first(circuit):
        if lengths.longest_way_m(wire, reach[1]) >= way_m:
            return reach[0] * len(run.wires)
    return mass_g_per_m_taken


def _thinnest_first(circuit: PlannedCircuit) -> Iterator[tuple[float, float]]:
    """Give mass [g/m] and longest length [m] of each gauge that does everything but the drop."""
    reaches = circuit.sizing.reach if circuit.sizing is not None else ()
    for reach in sorted(reaches, key=lambda held: -held.gauge.number):
        yield mass_g_per_m(reach.gauge), reach.one_way_m
