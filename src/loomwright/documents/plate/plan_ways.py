"""The way of every run on the Plate: sections, drops and loose runs as stretches, each on the plate that it lies on."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.catalogue.bundle_practice import practice
from loomwright.catalogue.wire_diameter import outside_diameter_mm
from loomwright.documents.plate.plan_at import plate_at
from loomwright.documents.plate.sheet import (
    PlateBundle,
    PlateGrommet,
    PlateLeg,
    PlateRun,
    PlateSheet,
    PlateStretch,
    PlateTerminal,
    PlateTrunk,
    PlateWire,
)
from loomwright.layout.result import Course
from loomwright.model.part import Role
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from loomwright.documents.plate.sheet import Spot
    from loomwright.layout.result import Edge, Layout, Point, Section
    from loomwright.model.robot import Robot
    from loomwright.plan.result import Plan, PlannedWire

_UNKNOWN_MM = 2.0


@dataclass(frozen=True, slots=True)
class _Piece:
    """A part of a path that lies on one plate."""

    name: str
    path: tuple[Point, ...]
    plate: int


def with_ways(bare: PlateSheet, plan: Plan, layout: Layout) -> PlateSheet:
    """Return a sheet of plates and devices with everything that the layout decided."""
    edges = {edge.name: edge for edge in layout.edges}
    section_of = {name: section for section in layout.sections for name in section.edges}
    pieces = {section.name: _pieces(plan.robot, section.name, section.path) for section in layout.sections}
    lone = {name for route in layout.routes for name in route.edges if name not in section_of}
    pieces |= {name: _pieces(plan.robot, name, edges[name].path) for name in lone}
    runs = tuple(_runs(plan, layout, section_of, edges, pieces))
    return replace(
        bare,
        terminals=tuple(_terminals(plan, layout)),
        trunks=(*bare.trunks, *_links(plan.robot, layout, {trunk.name for trunk in bare.trunks})),
        stretches=tuple(_stretches(layout, edges, pieces, runs)),
        runs=runs,
        undrawn=tuple(_undrawn(plan, layout, runs)),
        grommets=tuple(PlateGrommet(g.at[:2], g.why, plate_at(plan.robot, g.at)) for g in layout.grommets),
        proof=_proof(layout),
        crossings=layout.crossings,
        forced=layout.forced,
        tie_every_m=practice("tie spacing"),
    )


# ------------------------------------------------------------------ runs and their legs


def _runs(
    plan: Plan,
    layout: Layout,
    section_of: Mapping[str, Section],
    edges: Mapping[str, Edge],
    pieces: Mapping[str, tuple[_Piece, ...]],
) -> Iterator[PlateRun]:
    """Give each routed run with its legs: a section once, however many of its edges it takes."""
    by_name = {run.name: run for run in layout.runs}
    wires = {wire.key: wire for wire in plan.wires}
    for route in layout.routes:
        run = by_name[route.run]
        taken: dict[str, bool] = {}
        for name, start in zip(route.edges, route.nodes, strict=False):
            section = section_of.get(name)
            if section is None:
                taken[name] = edges[name].a != start
            elif section.name not in taken:
                taken[section.name] = _against(section, edges[name], start)
        thick = run.options[route.option].wire_mm
        held = [_wire(wires[key], mm) for key, mm in zip(run.wires, thick, strict=False) if key in wires]
        legs = tuple(leg for name, against in taken.items() for leg in _legs(pieces[name], against=against))
        if held and legs:
            yield PlateRun(run.name, tuple(held), legs)


def _legs(pieces: Sequence[_Piece], *, against: bool) -> list[PlateLeg]:
    ordered = reversed(pieces) if against else pieces
    return [PlateLeg(piece.name, against=against) for piece in ordered]


def _wire(wire: PlannedWire, outside_mm: float) -> PlateWire:
    thick = outside_mm or (outside_diameter_mm(wire.gauge) if wire.gauge else None) or _UNKNOWN_MM
    return PlateWire(wire.id, wire.colour, thick)


def _against(section: Section, edge: Edge, start: str) -> bool:
    """Tell whether a run that enters a section through this edge at node `start` goes against the section's path."""
    path = edge.path if edge.a == start else edge.path[::-1]
    return _along(section.path, path[0]) > _along(section.path, path[-1])


def _along(path: tuple[Point, ...], at: Point) -> float:
    """Return how far along a path the point nearest to a place is, counted in its pieces."""
    best = (float("inf"), 0.0)
    for i, (a, b) in enumerate(pairwise(path)):
        run = sum((q - p) ** 2 for p, q in zip(a, b, strict=True))
        along = sum((at[k] - a[k]) * (b[k] - a[k]) for k in range(3)) / run if run else 0.0
        share = min(max(along, 0.0), 1.0)
        away = sum((at[k] - a[k] - share * (b[k] - a[k])) ** 2 for k in range(3))
        best = min(best, (round(away, 12), i + share))
    return best[1]


def _undrawn(plan: Plan, layout: Layout, runs: Sequence[PlateRun]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Give the ids of the wires that no run shows, by the reason."""
    drawn = {wire.id for run in runs for wire in run.wires}
    found: dict[str, list[str]] = {}
    for wire in plan.wires:
        if wire.id not in drawn:
            found.setdefault(_why_undrawn(wire, layout), []).append(wire.id)
    yield from ((why, tuple(ids)) for why, ids in found.items())


def _why_undrawn(wire: PlannedWire, layout: Layout) -> str:
    if wire.kind is CircuitKind.MAIN:
        return "main leads, battery to block: they take no trunk"
    if wire.kind is CircuitKind.MOTOR:
        return "from a controller to the motor beside it"
    if wire.a.device == wire.b.device:
        return "from terminal to terminal of one part"
    return layout.unrouted.get(wire.circuit, "no way leads there")


# ------------------------------------------------------------------ stretches


def _pieces(robot: Robot, name: str, path: tuple[Point, ...]) -> tuple[_Piece, ...]:
    """Cut a path where it comes to another plate; what rises from one to the other lies on the lower one."""
    found: list[_Piece] = []
    for a, b in pairwise(path):
        plate = min(plate_at(robot, a), plate_at(robot, b))
        if found and found[-1].plate == plate:
            found[-1] = replace(found[-1], path=(*found[-1].path, b))
        else:
            found.append(_Piece(name if not found else f"{name} ({len(found) + 1})", (a, b), plate))
    ends = [(0, path[0]), (len(found), path[-1])]
    for place, end in reversed(ends):  # an end that only touches another plate is shown there, too
        plate = plate_at(robot, end)
        beside = found[0] if place == 0 else found[-1]
        if plate != beside.plate:
            found.insert(place, _Piece(f"{name} ({len(found) + 1})", (end,), plate))
    return tuple(found)


def _stretches(
    layout: Layout,
    edges: Mapping[str, Edge],
    pieces: Mapping[str, tuple[_Piece, ...]],
    runs: tuple[PlateRun, ...],
) -> Iterator[PlateStretch]:
    """Give the sections trunk by trunk, then every drop and loose run that is taken."""
    shown = {run.name for run in runs}
    for section in layout.sections:
        order = tuple(name for name in section.order if name in shown)
        course = Course.LINK if section.proposed else Course.TRUNK
        for piece in pieces[section.name] if order else ():
            bundle = _bundle(section, edges, piece) if len(piece.path) > 1 else None
            yield PlateStretch(piece.name, _flat(piece.path), order, course, section.trunk, piece.plate, bundle)
    taken: dict[str, list[str]] = {}
    of_edge = {piece.name: name for name, held in pieces.items() for piece in held}
    for run in runs:
        for leg in run.legs:
            taken.setdefault(leg.stretch, []).append(run.name)
    sections = {section.name for section in layout.sections}
    for name, held in taken.items():
        if of_edge[name] not in sections:
            piece = next(piece for piece in pieces[of_edge[name]] if piece.name == name)
            order = tuple(sorted(held, key=natural))
            yield PlateStretch(name, _flat(piece.path), order, edges[of_edge[name]].course, plate=piece.plate)


def _bundle(section: Section, edges: Mapping[str, Edge], piece: _Piece) -> PlateBundle:
    low, high = _along(section.path, piece.path[0]), _along(section.path, piece.path[-1])
    here = [tie[:2] for tie in section.ties if low <= _along(section.path, tie) <= high]
    return PlateBundle(
        wires=section.wires,
        diameter_m=section.diameter_m,
        length_m=_length_m(piece.path),
        bend_m=section.bend_m,
        ties=tuple(here),
        fill=section.fill,
        moving=section.moving,
        slack_m=sum(edges[name].slack_m for name in section.edges),
    )


def _length_m(path: Sequence[Point]) -> float:
    return float(sum(sum((q - p) ** 2 for p, q in zip(a, b, strict=True)) ** 0.5 for a, b in pairwise(path)))


def _flat(path: Sequence[Point]) -> tuple[Spot, ...]:
    return tuple((right, forward) for right, forward, _ in path)


def _links(robot: Robot, layout: Layout, known: set[str]) -> Iterator[PlateTrunk]:
    """Give the proposed stretches that wires take, as trunks to be corrected."""
    for section in layout.sections:
        if section.proposed:
            name = section.trunk if section.trunk not in known else ""
            known.add(section.trunk)
            plate = min(plate_at(robot, point) for point in section.path)
            yield PlateTrunk(name, _flat(section.path), plate, proposed=True)


# ------------------------------------------------------------------ terminals and proof


def _terminals(plan: Plan, layout: Layout) -> Iterator[PlateTerminal]:
    """Give the terminals that a routed run ends at, with the letter of the wires there."""
    nodes = {node.name: node.at for node in layout.net.nodes}
    routed = {route.run for route in layout.routes}
    runs = [run for run in layout.runs if run.name in routed]
    used = {run.start for run in runs} | {run.end for run in runs}
    letters: dict[tuple[str, str], set[str]] = {}
    for wire in plan.wires:
        for end in (wire.a, wire.b):
            letters.setdefault((end.device, end.socket), set()).add(end.letter)
    for (device, socket), node in layout.net.terminals.items():
        if node in used:
            there = letters.get((device, socket), set())
            letter = next(iter(there)) if len(there) == 1 else ""
            at, plate = nodes[node][:2], plate_at(plan.robot, nodes[node])
            yield PlateTerminal(device, socket, at, letter, _is_slot(plan, device, socket), plate)


def _is_slot(plan: Plan, device_id: str, socket_name: str) -> bool:
    """Tell whether a socket is an outlet: a place that somebody has to find by its name."""
    device = plan.robot.device(device_id)
    socket = device.part.socket(socket_name) if device is not None else None
    return socket is not None and socket.role is Role.OUTLET


def _proof(layout: Layout) -> str:
    """Say how good the routes are proved to be."""
    if layout.certificate is None:
        return ""
    if layout.certificate.proved:
        return "proved the best possible"
    return f"within {layout.certificate.gap * 100:.1f} % of the best possible"
