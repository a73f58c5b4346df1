"""Slots, trunks and chains as JSON: how good each answer is, the bundles, the way of every run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.documents.json.numbers import costs, mm, number, place_mm, standing
from loomwright.layout.net import as_trunk_lines
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.layout.result import Edge, Layout, Route, Run, Section
    from loomwright.layout.slot_problem import Clash
    from loomwright.plan.result import Plan


def slots_told(plan: Plan) -> dict[str, object]:
    """Tell how good the slots are, and which wishes could not all be had."""
    answer = plan.slots
    held = answer.certificate if answer else None
    return {
        **standing(held),
        **costs(held, "mm"),
        "breaks": number(held.breaks) if held else None,
        "least_breaks": number(held.least_breaks) if held else None,
        "crossings": answer.crossings if answer else None,
        "clashes": [_clash(clash) for clash in answer.clashes] if answer else [],
    }


def trunks_told(plan: Plan) -> dict[str, object]:
    """Tell how good the routes are, every bundle, and the way of every run."""
    layout = plan.layout
    held = layout.certificate if layout else None
    return {
        **standing(held),
        **costs(held, "g"),
        "proposed": layout.net.proposed if layout else False,
        "crossings": layout.crossings if layout else None,
        "forced_crossings": layout.forced if layout else None,
        "sections": _sections(layout) if layout else [],
        "routes": _routes(plan, layout) if layout else [],
        "grommets": [{"at": place_mm(one.at), "why": one.why} for one in layout.grommets] if layout else [],
        "unrouted": _sorted(layout.unrouted) if layout else {},
        "lines": as_trunk_lines(layout.net, layout.used) if layout else "",
    }


def chains_told(plan: Plan) -> dict[str, object]:
    """Tell how good the order of each data chain is that the tool chose."""
    return {
        bus: {**standing(held), "cost_mm": number(held.cost), "bound_mm": number(held.bound)}
        for bus, held in sorted(plan.chains.items(), key=lambda item: (natural(item[0]), item[0]))
    }


def _clash(clash: Clash) -> dict[str, object]:
    return {
        "items": list(clash.items),
        "spots": [{"device": device, "slot": slot} for device, slot in clash.spots],
        "wishes": list(clash.wishes),
        "drops": list(clash.drops),
        "counting": clash.counting,
    }


def _sections(layout: Layout) -> list[dict[str, object]]:
    return [_section(section) for section in sorted(layout.sections, key=lambda s: (natural(s.name), s.name))]


def _section(section: Section) -> dict[str, object]:
    return {
        "name": section.name,
        "trunk": section.trunk,
        "wires": section.wires,
        "runs": list(section.order),
        "diameter_mm": mm(section.diameter_m),
        "length_mm": mm(section.length_m),
        "bend_radius_mm": mm(section.bend_m),
        "fill": number(section.fill),
        "ties": [place_mm(tie) for tie in section.ties],
        "moving": section.moving,
        "proposed": section.proposed,
    }


def _routes(plan: Plan, layout: Layout) -> list[dict[str, object]]:
    edges = {edge.name: edge for edge in layout.edges}
    runs = {run.name: run for run in layout.runs}
    ids = {wire.key: wire.id for wire in plan.wires}
    ordered = sorted(layout.routes, key=lambda route: (natural(route.run), route.run))
    return [_route(route, runs[route.run], edges, ids) for route in ordered]


def _route(route: Route, run: Run, edges: Mapping[str, Edge], ids: Mapping[tuple[str, str], str]) -> dict[str, object]:
    way = [edges[name] for name in route.edges]
    return {
        "run": run.name,
        "circuit": run.wires[0][0] if run.wires else None,
        "wires": [ids[key] for key in run.wires if key in ids],
        "trunks": list(dict.fromkeys(edge.trunk for edge in way if edge.shared)),
        "length_mm": mm(sum(edge.wire_m for edge in way)),
    }


def _sorted(reasons: Mapping[str, str]) -> dict[str, str]:
    return dict(sorted(reasons.items(), key=lambda item: (natural(item[0]), item[0])))
