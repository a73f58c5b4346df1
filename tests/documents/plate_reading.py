"""What a person may mistake on a drawn Plate: a name in another thing's box, or beside the wrong one."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from loomwright.documents.legibility import meets
from loomwright.documents.plate.sheet import PlateSheet
from loomwright.documents.scene import Box, Circle, Group, Path, Polyline, Rect, Scene, around, marks

TOUCHING_MM = 1.0


def misleading(scene: Scene) -> list[str]:
    """List the names of devices and slots that lie in another device's box, or touch no thing and have no leader."""
    found: list[str] = []
    for panel in scene.groups("panel"):
        groups = list(_groups(panel))
        boxes = {group.about: _outline(group) for group in groups if group.role == "device"}
        dots = {group.about: _dot(group) for group in groups if group.role == "terminal"}
        ends = {(group.role, group.about): _dot(group) for group in groups if group.role.endswith("-leader")}
        for group in groups:
            if group.role == "device-name":
                end = ends.get(("device-leader", group.about))
                found += _device_faults(group.about, _ground(group), boxes, end)
            elif group.role == "slot-name":
                device = next(
                    name for name in sorted(boxes, key=len, reverse=True) if group.about.startswith(f"{name} ")
                )
                others = [name for name, box in boxes.items() if name != device and box.overlaps(_ground(group))]
                found += [f"slot {group.about} stands in {name}" for name in others]
                end = ends.get(("slot-leader", group.about))
                if end is not None and math.dist(_middle(end), _middle(dots[group.about])) > TOUCHING_MM:
                    found.append(f"the leader of slot {group.about} ends elsewhere")
    return found


def _device_faults(name: str, label: Box, boxes: dict[str, Box], end: Box | None) -> Iterator[str]:
    """Tell what is wrong with the name of one device; `end` is where its leader ends."""
    own = boxes[name]
    for other, box in boxes.items():
        if other != name and box.overlaps(label):
            yield f"{name} stands in {other}"
        if other != name and end is None and not own.holds(label) and box.overlaps(label.grown(TOUCHING_MM - 0.01)):
            yield f"{name} touches {other} and has no leader"
    if end is not None and not own.holds(end, 0.6):
        yield f"the leader of {name} ends outside of it"
    if end is None and not label.grown(TOUCHING_MM + 0.01).overlaps(own):
        yield f"{name} is not beside its thing and has no leader"


def ids_elsewhere(scene: Scene, sheet: PlateSheet) -> list[str]:
    """List the ids of wires that do not stand on the line of their own run alone."""
    by_ids = {", ".join(wire.id for wire in run.wires): run.name for run in sheet.runs}
    found: list[str] = []
    for panel in scene.groups("panel"):
        groups = list(_groups(panel))
        lines = [(g.about, line) for g in groups if g.role == "run" for line in _ink(g)]
        for group in groups:
            if group.role == "ids-name":
                ground = _ground(group)
                under = {name for name, line in lines if _crosses(line, ground)}
                found += [f"{group.about} stand on {sorted(under)}"] if under != {by_ids[group.about]} else []
    return found


def _ink(run: Group) -> list[Polyline]:
    """Return the line of a run between its halo and its colours."""
    return [mark for mark in marks(run.items) if isinstance(mark, Polyline)][1:2]


def _crosses(line: Polyline, box: Box) -> bool:
    reach = box.grown(line.stroke.width_mm / 2)
    return any(meets(a, b, reach) for a, b in pairwise(line.points))


def told_of_slots(scenes: tuple[Scene, ...], sheet: PlateSheet) -> dict[str, bool]:
    """Tell for each slot of a sheet whether it is named on its device or in the words beside."""
    beside = " ".join(text.text for scene in scenes for text in scene.texts())
    named = {group.about for scene in scenes for group in scene.groups("slot-name")}
    slots = [f"{terminal.device} {terminal.name}" for terminal in sheet.terminals if terminal.slot]
    return {slot: slot in named or slot in beside for slot in slots}


def _groups(group: Group) -> Iterator[Group]:
    for item in group.items:
        if isinstance(item, Group):
            yield item
            yield from _groups(item)


def _outline(group: Group) -> Box:
    path = next(mark for mark in marks(group.items) if isinstance(mark, Path))
    return around([step.to for step in path.steps])


def _ground(group: Group) -> Box:
    return next(mark for mark in marks(group.items) if isinstance(mark, Rect)).body


def _dot(group: Group) -> Box:
    return next(mark for mark in marks(group.items) if isinstance(mark, Circle)).box


def _middle(box: Box) -> tuple[float, float]:
    return ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
