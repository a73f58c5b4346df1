"""Tell the Plate what a plan decided: plates, devices where they stand, trunks, and the way of every run."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.catalogue.wire_diameter import outside_diameter_mm
from loomwright.documents.plate import draw
from loomwright.documents.plate_sheet import (
    PlateArea,
    PlateBundle,
    PlateDevice,
    PlateGrommet,
    PlateLeg,
    PlatePanel,
    PlateRun,
    PlateSheet,
    PlateStretch,
    PlateTerminal,
    PlateTrunk,
    PlateWire,
)
from loomwright.documents.svg import write
from loomwright.layout.places import outline_of, place_of
from loomwright.layout.result import Course
from loomwright.model.part import Role
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from loomwright.documents.plate_sheet import Spot
    from loomwright.layout.result import Edge, Layout, Point, Section
    from loomwright.model.device import Device
    from loomwright.model.robot import Plate
    from loomwright.plan.result import Plan, PlannedWire

_DOT_M = 0.012  # half the side of the square that stands for a thing whose size nobody told
_NEAR_M = 1e-6
_UNKNOWN_MM = 2.0


def plate_svg(plan: Plan) -> bytes:
    """Draw the robot from above with the way of its wires, to scale, as SVG."""
    return write(draw(plate_sheet(plan))).encode("utf-8")


def plate_sheet(plan: Plan) -> PlateSheet:
    """Return what the Plate shows of a plan; every text is the plan's own."""
    devices = tuple(_devices(plan))
    missing = tuple(_missing(plan))
    told = any(plate.outline for plate in plan.robot.plates)
    if not devices and not told:
        return PlateSheet(plan.robot.name, plan.robot.build, plan.revision, missing=missing)
    layout = plan.layout
    bare = PlateSheet(
        robot=plan.robot.name,
        build=plan.robot.build,
        revision=plan.revision,
        panels=tuple(_panel(plate) for plate in plan.robot.plates),
        devices=devices,
        trunks=tuple(_drawn_trunks(plan)),
        missing=missing,
    )
    return bare if layout is None else _with_ways(bare, plan, layout)


def _panel(plate: Plate) -> PlatePanel:
    areas = tuple(PlateArea(area.name, area.corners) for area in plate.keep_outs)
    return PlatePanel(plate.name, plate.height_m, plate.outline, areas)


# ------------------------------------------------------------------ devices


def _devices(plan: Plan) -> Iterator[PlateDevice]:
    for device in plan.robot:
        at = place_of(plan.robot, device)
        if at is None or (device.kind == "plug" and device.spot.at.value is None):
            continue
        plate = _plate_at(plan, at)
        state = device.spot.at.state or device.spot.height.state
        yield PlateDevice(
            id=device.id,
            corners=outline_of(plan.robot, device) or _square((at[0], at[1])),
            called=device.called,
            kind=device.kind,
            plate=plate,
            above_m=at[2] - plan.robot.plates[plate].height_m,
            doubt=str(state) if state is not None and str(state) != "planned" else "",
        )


def _square(at: Spot) -> tuple[Spot, ...]:
    corners = ((-1, 1), (1, 1), (1, -1), (-1, -1))
    return tuple((at[0] + right * _DOT_M, at[1] + forward * _DOT_M) for right, forward in corners)


def _plate_at(plan: Plan, at: Point) -> int:
    """Return the number of the highest plate that a place is above, within its outline."""
    fits = [
        (plate.height_m, i)
        for i, plate in enumerate(plan.robot.plates)
        if i == 0 or (plate.height_m <= at[2] + _NEAR_M and _over(plate, at))
    ]
    return max(fits)[1]


def _over(plate: Plate, at: Point) -> bool:
    """Tell whether a place is above the box around a plate; a plate without outline is everywhere."""
    if not plate.outline:
        return True
    rights, forwards = [x for x, _ in plate.outline], [y for _, y in plate.outline]
    return min(rights) <= at[0] <= max(rights) and min(forwards) <= at[1] <= max(forwards)


def _missing(plan: Plan) -> Iterator[tuple[str, str]]:
    """Name what can't be shown: things without a place, circuits without a way, each with its reason."""
    named: set[str] = set()
    for device in plan.robot:
        name = device.called or device.id
        if place_of(plan.robot, device) is None and not _hangs_on_another(plan, device) and name not in named:
            named.add(name)
            yield name, "no place is told"
    if plan.layout is not None:
        for circuit, why in sorted(plan.layout.unrouted.items(), key=lambda pair: natural(pair[0])):
            if circuit not in named:
                yield circuit, why


def _hangs_on_another(plan: Plan, device: Device) -> bool:
    """Tell whether a thing is shown by another one: a motor by its controller, a plug by the battery."""
    other = device.driven_by or ("battery" if device.kind == "plug" else "")
    holder = plan.robot.device(other) if other else None
    return holder is not None and place_of(plan.robot, holder) is not None


def _drawn_trunks(plan: Plan) -> Iterator[PlateTrunk]:
    for i, plate in enumerate(plan.robot.plates):
        for trunk in plate.trunks:
            path = tuple((right, forward) for right, forward, _ in trunk.points)
            remarks = tuple(flag for flag in trunk.flags if flag != "moving")
            yield PlateTrunk(trunk.name, path, i, remarks=remarks)


# ------------------------------------------------------------------ ways


def _with_ways(bare: PlateSheet, plan: Plan, layout: Layout) -> PlateSheet:
    """Add what the layout decided."""
    edges = {edge.name: edge for edge in layout.edges}
    section_of = {name: section for section in layout.sections for name in section.edges}
    wires = {wire.key: wire for wire in plan.wires}
    runs = tuple(_runs(layout, section_of, edges, wires))
    stretches = tuple(_stretches(plan, layout, section_of, edges, runs))
    return PlateSheet(
        robot=bare.robot,
        build=bare.build,
        revision=bare.revision,
        panels=bare.panels,
        devices=bare.devices,
        terminals=tuple(_terminals(plan, layout)),
        trunks=(*bare.trunks, *_links(plan, layout, {trunk.name for trunk in bare.trunks})),
        stretches=stretches,
        runs=runs,
        grommets=tuple(PlateGrommet((g.at[0], g.at[1]), g.why, _plate_at(plan, g.at)) for g in layout.grommets),
        missing=bare.missing,
        proof=_proof(layout),
        crossings=layout.crossings,
        forced=layout.forced,
    )


def _runs(
    layout: Layout,
    section_of: Mapping[str, Section],
    edges: Mapping[str, Edge],
    wires: Mapping[tuple[str, str], PlannedWire],
) -> Iterator[PlateRun]:
    """Give each routed run with its legs: a section once, however many of its edges it takes."""
    by_name = {run.name: run for run in layout.runs}
    for route in layout.routes:
        run = by_name[route.run]
        legs: list[PlateLeg] = []
        for name, start in zip(route.edges, route.nodes, strict=False):
            section = section_of.get(name)
            if section is None:
                legs.append(PlateLeg(name, against=edges[name].a != start))
            elif not legs or legs[-1].stretch != section.name:
                legs.append(PlateLeg(section.name, against=_against(section, edges[name], start)))
        thick = run.options[route.option].wire_mm
        held = [_wire(wires[key], mm) for key, mm in zip(run.wires, thick, strict=False) if key in wires]
        if held and legs:
            yield PlateRun(run.name, tuple(held), tuple(legs))


def _wire(wire: PlannedWire, outside_mm: float) -> PlateWire:
    thick = outside_mm or (outside_diameter_mm(wire.gauge) if wire.gauge else None) or _UNKNOWN_MM
    return PlateWire(wire.id, wire.colour, thick)


def _against(section: Section, edge: Edge, start: str) -> bool:
    """Tell whether a run that enters a section through this edge at node `start` goes against the section's path."""
    path = edge.path if edge.a == start else edge.path[::-1]
    order = [_nearest(section.path, point) for point in (path[0], path[-1])]
    return order[0] > order[1]


def _nearest(path: tuple[Point, ...], at: Point) -> float:
    """Return how far along a path the point nearest to a place is, counted in its pieces."""
    best = (float("inf"), 0.0)
    for i, (a, b) in enumerate(pairwise(path)):
        run = sum((q - p) ** 2 for p, q in zip(a, b, strict=True))
        along = sum((at[k] - a[k]) * (b[k] - a[k]) for k in range(3)) / run if run else 0.0
        share = min(max(along, 0.0), 1.0)
        away = sum((at[k] - a[k] - share * (b[k] - a[k])) ** 2 for k in range(3))
        best = min(best, (round(away, 12), i + share))
    return best[1]


def _stretches(
    plan: Plan,
    layout: Layout,
    section_of: Mapping[str, Section],
    edges: Mapping[str, Edge],
    runs: tuple[PlateRun, ...],
) -> Iterator[PlateStretch]:
    """Give the sections trunk by trunk, then every drop and loose run that is taken."""
    shown = {run.name for run in runs}
    for section in layout.sections:
        order = tuple(name for name in section.order if name in shown)
        if order:
            yield PlateStretch(
                name=section.name,
                path=_flat(section.path),
                order=order,
                course=Course.LINK if section.proposed else Course.TRUNK,
                trunk=section.trunk,
                plate=_plate_of(plan, section.path),
                bundle=_bundle(section, edges),
            )
    taken: dict[str, list[str]] = {}
    for run in runs:
        for leg in run.legs:
            if leg.stretch in edges and leg.stretch not in section_of:
                taken.setdefault(leg.stretch, []).append(run.name)
    for name, held in taken.items():
        edge = edges[name]
        yield PlateStretch(
            name=name,
            path=_flat(edge.path),
            order=tuple(sorted(held, key=natural)),
            course=edge.course,
            plate=_plate_of(plan, edge.path),
        )


def _bundle(section: Section, edges: Mapping[str, Edge]) -> PlateBundle:
    held = [edges[name] for name in section.edges]
    gaps = [_apart(a, b) for a, b in pairwise(section.ties)]
    return PlateBundle(
        wires=section.wires,
        diameter_m=section.diameter_m,
        length_m=section.length_m,
        bend_m=section.bend_m,
        ties=tuple((tie[0], tie[1]) for tie in section.ties),
        tie_every_m=max(gaps) if gaps else None,
        fill=section.fill,
        moving=section.moving,
        slack_m=sum(edge.slack_m for edge in held),
    )


def _apart(a: Point, b: Point) -> float:
    return float(sum((p - q) ** 2 for p, q in zip(a, b, strict=True)) ** 0.5)


def _flat(path: tuple[Point, ...]) -> tuple[Spot, ...]:
    return tuple((right, forward) for right, forward, _ in path)


def _plate_of(plan: Plan, path: tuple[Point, ...]) -> int:
    """Return the plate that a path is drawn on: the lower one of its two ends."""
    return min(_plate_at(plan, path[0]), _plate_at(plan, path[-1]))


def _links(plan: Plan, layout: Layout, known: set[str]) -> Iterator[PlateTrunk]:
    """Give the proposed stretches that wires take, as trunks to be corrected."""
    for section in layout.sections:
        if section.proposed:
            name = section.trunk if section.trunk not in known else ""
            known.add(section.trunk)
            yield PlateTrunk(name, _flat(section.path), _plate_of(plan, section.path), proposed=True)


def _terminals(plan: Plan, layout: Layout) -> Iterator[PlateTerminal]:
    """Give the terminals that a run ends at, with the letter of the wires there."""
    nodes = {node.name: node.at for node in layout.net.nodes}
    letters: dict[tuple[str, str], set[str]] = {}
    ends = {key: "A" for run in layout.runs for key in [run.start]}
    used = {run.start for run in layout.runs} | {run.end for run in layout.runs}
    for wire in plan.wires:
        for end in (wire.a, wire.b):
            letters.setdefault((end.device, end.socket), set()).add(end.letter)
    for (device, socket), node in layout.net.terminals.items():
        if node in used and node in nodes:
            there = letters.get((device, socket), {ends.get(node, "B")})
            yield PlateTerminal(
                device=device,
                name=socket,
                at=nodes[node][:2],
                letter=next(iter(there)) if len(there) == 1 else "",
                slot=_is_slot(plan, device, socket),
                plate=_plate_at(plan, nodes[node]),
            )


def _is_slot(plan: Plan, device_id: str, socket_name: str) -> bool:
    """Tell whether a socket is an outlet of a block or regulator: a place that somebody has to find by its name."""
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
