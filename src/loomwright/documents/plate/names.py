"""Everything that is written on the plate: names of devices, slots, trunks and keep-outs, and badges between them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from loomwright.documents.look import BODY_MM, HAIR_MM, INK, SMALL_MM, WHITE
from loomwright.documents.plate.badges import badge_items, badge_wishes
from loomwright.documents.plate.bands import EMPTY_MM, band_mm, used_paths
from loomwright.documents.plate.devices import MOUNT_MM, box_of, mount_spots
from loomwright.documents.plate.frame import Frame
from loomwright.documents.plate.geometry import away_mm, left_of, length_mm, shifted, spot_along
from loomwright.documents.plate.ink import Ink
from loomwright.documents.plate.label_rules import Around
from loomwright.documents.plate.labels import place
from loomwright.documents.plate.lanes import Lanes, Ribbon
from loomwright.documents.plate.run_ids import id_wishes
from loomwright.documents.plate.sheet import PlateDevice, PlateSheet, passages
from loomwright.documents.plate.wish import LEADING, PAD_MM, Placed, Wish, Words, above_mm
from loomwright.documents.scene import Anchor, Box, Circle, Group, Item, Line, Point, Rect, Stroke, Text, around
from loomwright.documents.type import Face, cap_mm, clean, shorten, width_mm

_LONGEST_MM = 46.0
_ON_MM = 0.5
_BIG = ("battery", "block", "computer", "breaker")
_ABOVE_M = 0.005
_WIRE, _EDGE, _AREA, _SPOT = 1.0, 0.5, 0.3, 2.0


@dataclass(frozen=True, slots=True)
class Names:
    """What is written on one panel, and the things whose names found no place."""

    items: tuple[Item, ...]
    homeless: tuple[str, ...]


def height_words(above_m: float) -> str:
    """Write how high a thing stands above its plate: "40 cm up"."""
    return f"{above_m * 100:.0f} cm up" if above_m >= _ABOVE_M else ""


def names(sheet: PlateSheet, plate: int, frame: Frame, held: Lanes, drawn: Sequence[Ribbon]) -> Names:
    """Write everything on one panel where it covers the least."""
    room = frame.box.grown(-0.4)
    spots = _spots_ink(sheet, plate, frame)
    badges = place(badge_wishes(sheet, plate, held), room, spots)
    stand = [replace(placed, soft=True) for placed in badges if placed is not None]
    ink = _all_ink(sheet, plate, frame, drawn, held)
    bodies = {device.id: box_of(device, frame) for device in sheet.devices if device.plate == plate}
    slot_wishes = _slot_wishes(sheet, plate, frame, bodies)
    around_it = Around(bodies, tuple(frame.point(t.at) for t in sheet.terminals if t.plate == plate))
    slots = place([replace(wish, bound=True) for wish in slot_wishes], room, ink, stand, around_it)
    stand += [placed for placed in slots if placed is not None]
    wishes = _device_wishes(sheet, plate, frame)
    wishes += [wish for wish, placed in zip(slot_wishes, slots, strict=True) if placed is None]
    wishes += [*id_wishes(sheet, held, drawn, ink), *_trunk_wishes(sheet, plate, frame, held)]
    wishes += [*_area_wishes(sheet, plate, frame), *_passage_wishes(sheet, plate, frame)]
    rest = place(wishes, room, ink, stand, around_it)
    lost = [wish for wish, placed in zip(wishes, rest, strict=True) if placed is None and not wish.bound]
    homeless = tuple(wish.key.partition(" ")[2] for wish in lost)
    said = [placed for placed in (*slots, *rest) if placed is not None]
    leaders = [item for placed in said for item in _leader(placed)]
    written = [item for placed in said for item in _written(placed)]
    marks = [item for placed in badges if placed for item in (*_leader(placed), badge_items(sheet, placed))]
    return Names((*leaders, *written, *marks), homeless)


# ------------------------------------------------------------------ what is on the page already


def _spots_ink(sheet: PlateSheet, plate: int, frame: Frame) -> Ink:
    """Return the ink that a badge must not hide: ties, soft edges and mounts, terminals, passages."""
    ties = [s.bundle.ties for s in sheet.bundles if s.plate == plate and s.bundle is not None]
    spots = [(terminal.at, 1.0, _SPOT) for terminal in sheet.terminals if terminal.plate == plate]
    spots += [(spot, 1.2, _SPOT) for held in ties for spot in held]
    spots += [(passage.at, 1.7, 2 * _SPOT) for passage in passages(sheet) if passage.plate == plate]
    spots += [(grommet.at, 2.5, _SPOT) for grommet in sheet.grommets if grommet.plate == plate]
    spots += [(corner, MOUNT_MM, _SPOT) for corner in mount_spots(sheet, plate)]
    ink = Ink(frame.box)
    for spot, radius_mm, weight in spots:
        ink.area(_dot(frame.point(spot), radius_mm), weight=weight)
    return ink


def _all_ink(sheet: PlateSheet, plate: int, frame: Frame, drawn: Sequence[Ribbon], held: Lanes) -> Ink:
    """Return the ink of everything that is drawn under the names."""
    ink = _spots_ink(sheet, plate, frame)
    for device in sheet.devices:
        if device.plate == plate:
            box = box_of(device, frame)
            ink.area(box, weight=_AREA)
            corners = frame.points(device.corners)
            ink.line((*corners, *corners[:1]), weight=_EDGE)
    for panel_area in sheet.panels[plate].keep_outs:
        corners = frame.points(panel_area.corners)
        ink.line((*corners, *corners[:1]), weight=_EDGE)
    outline = frame.points(sheet.panels[plate].outline)
    ink.line((*outline, *outline[:1]), weight=_EDGE)
    for trunk in sheet.trunks:
        if trunk.plate == plate:
            ink.line(frame.points(trunk.path), weight=_WIRE / 2, width_mm=EMPTY_MM)
            for path in used_paths(sheet, trunk):
                ink.line(frame.points(path), weight=_WIRE / 2, width_mm=band_mm(sheet, trunk.name, held))
    for ribbon in drawn:
        ink.line(ribbon.points, weight=_WIRE, width_mm=ribbon.width_mm)
    return ink


def _dot(at: Point, radius: float) -> Box:
    return Box(at[0], at[1], at[0], at[1]).grown(radius)


# ------------------------------------------------------------------ what wants to be written


def _slot_wishes(sheet: PlateSheet, plate: int, frame: Frame, boxes: Mapping[str, Box]) -> list[Wish]:
    """Ask for the name of every slot, just inside its device or just outside of it, else with a leader."""
    found: list[Wish] = []
    for terminal in sheet.terminals:
        if terminal.plate != plate or not terminal.slot or terminal.device not in boxes:
            continue
        at = frame.point(terminal.at)
        words = Words(shorten(clean(terminal.name), Face.TAG, SMALL_MM, 16.0), SMALL_MM, Face.TAG)
        half = width_mm(words.text, Face.TAG, SMALL_MM) / 2 + PAD_MM
        on = tuple(_inwards(at, boxes[terminal.device], half, more) for more in (0.0, 1.5, 3.0, -2 * half - 2.4))
        key = f"slot {terminal.device} {terminal.name}"
        body = terminal.device
        found.append(Wish(key, ((words,),), _dot(at, 0.5), on, inside=False, beside=False, body=body))
    return found


def _inwards(at: Point, box: Box, half: float, more: float) -> Point:
    """Return the place just inside the edge of a box that a terminal is on."""
    tall = cap_mm(Face.TAG, SMALL_MM) / 2 + PAD_MM
    gaps = (
        (at[0] - box.left, (1, 0)),
        (box.right - at[0], (-1, 0)),
        (at[1] - box.top, (0, 1)),
        (box.bottom - at[1], (0, -1)),
    )
    way = min(gaps, key=lambda gap: gap[0])[1]
    reach = (half if way[0] else tall) + 1.2 + more
    return (at[0] + way[0] * reach, at[1] + way[1] * reach)


def _device_wishes(sheet: PlateSheet, plate: int, frame: Frame) -> list[Wish]:
    """Ask for the name of every device, large ones first, with its height."""
    called = Counter(device.called or device.id for device in sheet.devices)
    found = []
    devices = [device for device in sheet.devices if device.plate == plate]
    for device in sorted(devices, key=lambda d: (-_area(d, frame), d.id)):
        name = device.called if device.called and called[device.called] == 1 else device.id
        about = box_of(device, frame)
        found.append(Wish(f"device {device.id}", _forms(device, clean(name)), about, body=device.id, own=_AREA))
    return found


def _area(device: PlateDevice, frame: Frame) -> float:
    box = box_of(device, frame)
    return box.width * box.height


def _forms(device: PlateDevice, name: str) -> tuple[tuple[Words, ...], ...]:
    """Give the ways to write a device's name: on one line, on two; a long one on two alone."""
    size = BODY_MM if device.kind in _BIG else SMALL_MM
    under = ", ".join(word for word in (height_words(device.above_m), clean(device.doubt)) if word)
    tail = (Words(under, SMALL_MM),) if under else ()
    whole, halves = _line(name or "?", size), [_line(half, size) for half in _halves(name) if half]
    forms: list[tuple[Words, ...]] = [(whole,)] if whole.text == whole.full or len(halves) == 1 else []
    forms += [tuple(halves)] if len(halves) > 1 else []
    return tuple((*form, *tail) for form in forms)


def _line(words: str, size_mm: float) -> Words:
    return Words(shorten(words, Face.BOLD, size_mm, _LONGEST_MM), size_mm, Face.BOLD, words)


def _halves(name: str) -> tuple[str, str]:
    """Break a name at the space that is nearest to its middle; one word stays whole."""
    spaces = [i for i, char in enumerate(name) if char == " "]
    if not spaces:
        return name, ""
    at = min(spaces, key=lambda i: abs(i - len(name) / 2))
    return name[:at], name[at + 1 :]


def _trunk_wishes(sheet: PlateSheet, plate: int, frame: Frame, held: Lanes) -> list[Wish]:
    """Ask for the name of every trunk, beside its band."""
    found = []
    for trunk in sheet.trunks:
        path = frame.points(trunk.path)
        if trunk.plate != plate or not trunk.name:
            continue
        text = shorten(clean(trunk.name), Face.TAG, BODY_MM, _LONGEST_MM)
        words = Words(text, BODY_MM, Face.TAG)
        used = [frame.points(part) for part in used_paths(sheet, trunk)]
        wires_mm = band_mm(sheet, trunk.name, held)
        wide, tall = width_mm(text, Face.TAG, BODY_MM) / 2 + PAD_MM, cap_mm(Face.TAG, BODY_MM) / 2 + 2 * PAD_MM
        on = []
        for share in (0.97, 0.03, 0.85, 0.15, 0.7, 0.3, 0.5, 0.6, 0.4):
            at, way = spot_along(path, share * length_mm(path))
            half = (wires_mm if any(away_mm(part, at) < _ON_MM for part in used) else EMPTY_MM) / 2
            for side in (1, -1):
                left = left_of(way)
                reach = half + abs(left[0]) * wide + abs(left[1]) * tall + 0.3
                on.append(shifted(at, left, side * reach))
        about = _dot(spot_along(path, length_mm(path) / 2)[0], 0.6)
        found.append(Wish(f"trunk {trunk.name}", ((words,),), about, tuple(on), inside=False))
    return found


def _area_wishes(sheet: PlateSheet, plate: int, frame: Frame) -> list[Wish]:
    """Ask for the name of every keep-out."""
    found = []
    for area in sheet.panels[plate].keep_outs:
        name = shorten(clean(area.name) or "keep out", Face.TEXT, SMALL_MM, _LONGEST_MM)
        points = frame.points(area.corners)
        box = around(list(points))
        found.append(Wish(f"area {area.name}", ((Words(name, SMALL_MM),),), box))
    return found


def _passage_wishes(sheet: PlateSheet, plate: int, frame: Frame) -> list[Wish]:
    """Ask for words wherever wires leave for another plate."""
    found = []
    for passage in passages(sheet):
        if passage.plate == plate:
            there, here = sheet.panels[passage.to], sheet.panels[plate]
            way = "up" if there.height_m > here.height_m else "down"
            text = f"{way} to {clean(there.name) or 'base plate'}"
            words = Words(shorten(text, Face.TEXT, SMALL_MM, _LONGEST_MM), SMALL_MM, Face.TEXT, text)
            about = _dot(frame.point(passage.at), 1.7)
            found.append(Wish(f"passage {text}", ((words,),), about, inside=False))
    return found


# ------------------------------------------------------------------ how it is written


def _leader(placed: Placed) -> tuple[Item, ...]:
    """Draw the line from a label to its thing, with a dot where it ends."""
    if placed.leader is None:
        return ()
    start, end = placed.leader
    line = (
        Line(start, end, Stroke(WHITE, HAIR_MM + 0.6)),
        Line(start, end, Stroke(INK, HAIR_MM)),
        Circle(end, 0.55, None, INK),
    )
    kind, _, about = placed.key.partition(" ")
    return (Group(line, f"{kind}-leader", about),)


def _written(placed: Placed) -> tuple[Item, ...]:
    """Write a label on white, so that nothing runs through it."""
    box = placed.box
    items: list[Item] = [Rect(box.left, box.top, box.width, box.height, 0.6, None, WHITE)]
    x = (box.left + box.right) / 2
    y = box.top + PAD_MM + above_mm(placed.lines[0])
    for i, line in enumerate(placed.lines):
        y += line.size_mm * LEADING if i else 0.0
        items.append(Text((x, y), line.text, line.size_mm, line.face, Anchor.MIDDLE, INK, line.full))
    kind, _, about = placed.key.partition(" ")
    return (Group(tuple(items), f"{kind}-name", about),)
