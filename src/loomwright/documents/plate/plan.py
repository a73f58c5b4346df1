"""Tell the Plate what a plan decided: plates, devices where they stand, trunks, and the way of every run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.documents.plate.drawing import draw
from loomwright.documents.plate.plan_at import plate_at
from loomwright.documents.plate.plan_mounts import shock_mounted
from loomwright.documents.plate.plan_ways import with_ways
from loomwright.documents.plate.print import print_plate
from loomwright.documents.plate.sheet import PlateArea, PlateDevice, PlatePanel, PlateSheet, PlateTrunk
from loomwright.documents.print_room import print_room
from loomwright.documents.svg import write
from loomwright.layout.places import outline_of, place_of
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.documents.plate.sheet import Spot
    from loomwright.documents.scene import Scene
    from loomwright.model.device import Device
    from loomwright.model.robot import Plate
    from loomwright.plan.result import Plan

_DOT_M = 0.012  # half the side of the square that stands for a thing whose size nobody told


def plate_svg(plan: Plan) -> bytes:
    """Draw the robot from above with the way of its wires, to scale, as SVG."""
    return write(draw(plate_sheet(plan))).encode("utf-8")


def plate_scenes(plan: Plan, paper: str = "A4", *, foot_mm: float = 0.0) -> tuple[Scene, ...]:
    """Draw the Plate for a printed packet on "A4" or "Letter": each scene is as large as a page inside its margins.

    The pages lie or stand, whichever gives the larger round scale, which is written on the first one. A foot of the
    packet's own is kept free [mm]. Raises KeyError for another paper.
    """
    rooms = [print_room(paper, upright=upright, foot_mm=foot_mm) for upright in (False, True)]
    return print_plate(plate_sheet(plan), rooms)


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
    return bare if layout is None else with_ways(bare, plan, layout)


def _panel(plate: Plate) -> PlatePanel:
    held = sorted(plate.keep_outs, key=lambda area: natural(area.name))
    areas = tuple(PlateArea(area.name, area.corners) for area in held)
    return PlatePanel(plate.name, plate.height_m, plate.outline, areas)


# ------------------------------------------------------------------ devices


def _devices(plan: Plan) -> Iterator[PlateDevice]:
    for device in sorted(plan.robot, key=lambda device: natural(device.id)):
        at = place_of(plan.robot, device)
        if at is None or (device.kind == "plug" and device.spot.at.value is None):
            continue
        plate = plate_at(plan.robot, at)
        state = device.spot.at.state or device.spot.height.state
        yield PlateDevice(
            id=device.id,
            corners=outline_of(plan.robot, device) or _square((at[0], at[1])),
            called=device.called,
            kind=device.kind,
            plate=plate,
            above_m=at[2] - plan.robot.plates[plate].height_m,
            doubt=str(state) if state is not None and str(state) != "planned" else "",
            shock_mounted=shock_mounted(plan, device),
        )


def _square(at: Spot) -> tuple[Spot, ...]:
    corners = ((-1, 1), (1, 1), (1, -1), (-1, -1))
    return tuple((at[0] + right * _DOT_M, at[1] + forward * _DOT_M) for right, forward in corners)


def _missing(plan: Plan) -> Iterator[tuple[str, str]]:
    """Name what can't be shown: things without a place, circuits without a way, each with its reason."""
    named: set[str] = set()
    for device in sorted(plan.robot, key=lambda device: natural(device.id)):
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
        for trunk in sorted(plate.trunks, key=lambda trunk: natural(trunk.name)):
            path = tuple((right, forward) for right, forward, _ in trunk.points)
            remarks = tuple(flag for flag in trunk.flags if flag != "moving")
            yield PlateTrunk(trunk.name, path, i, remarks=remarks)
