"""Wire to wire, cut open: inline barrel, butt splice, lever connector, soldered splice."""

from __future__ import annotations

from typing import Final

from loomwright.documents.end_cards.geometry import polygon
from loomwright.documents.end_cards.ink import (
    CLEAR,
    FINE,
    GHOST,
    INSULATION,
    METAL_SHADE,
    OUTLINE,
    PLASTIC,
    SLEEVES,
    SOLDER,
)
from loomwright.documents.end_cards.picture import Picture, Reach, Spec, View
from loomwright.documents.end_cards.sizes import by_gauge, size_mm, sizes_mm
from loomwright.documents.end_cards.wires import Tube, copper, insulation, pressed
from loomwright.documents.look import INK
from loomwright.documents.scene import Arc, Box, Circle, Item, Line, Move, Path, Point, Rect, Straight, Stroke

_GAP: Final = 0.2


def butt(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a sleeved butt splice: good, one wire too short, one crimp on the insulation."""
    sizes = sizes_mm("sleeved barrel", spec.variant)
    middle = spec.strip_mm + _GAP
    half = max(sizes["sleeve outside"], spec.wire.outside_mm + 1.0) / 2
    tube = _barrel(spec, middle, sizes["inside"], sizes["outside"], behind=view is View.SECOND)
    rear = -0.8 * spec.strip_mm
    pinch = ((rear + 1.2, -1.0),) if view is View.SECOND else ()
    cover = Tube(
        rear, 2 * middle - rear, 2 * half - 1.0, 2 * half, pinch, 0.16 * spec.wire.outside_mm if pinch else 0.0
    )
    return _joined(
        spec,
        reach,
        tube,
        middle,
        half,
        cover.drawn(fill=SLEEVES[spec.variant]),
        rear,
        {View.FIRST: "short", View.SECOND: "behind"}.get(view, ""),
    )


def tube_butt(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a tube butt splice under heat-shrink: good, one wire too short, heat-shrink too short."""
    sizes = by_gauge("tube", spec.wire.gauge)
    inside = max(sizes["inside"], spec.wire.copper_mm + 0.4)
    return _bare(spec, view, reach, inside, inside + sizes["outside"] - sizes["inside"])


def inline(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw an inline barrel under heat-shrink: good, one wire too short, heat-shrink too short."""
    wall = size_mm("inline barrel", "any", "wall")
    inside = spec.wire.copper_mm + 0.5
    return _bare(spec, view, reach, inside, inside + 2 * wall)


def _bare(spec: Spec, view: View, reach: Reach, inside: float, outside: float) -> Picture:
    middle = spec.strip_mm + _GAP
    tube = _barrel(spec, middle, inside, outside, behind=False)
    half = max(outside, spec.wire.outside_mm) / 2 + 0.6
    rear = -0.9 * spec.strip_mm
    start = 1.5 if view is View.SECOND else rear
    shrink = Rect(start, -half, 2 * middle - rear - start, 2 * half, 0.5, GHOST)
    return _joined(
        spec,
        reach,
        tube,
        middle,
        half,
        (),
        rear,
        {View.FIRST: "short", View.SECOND: "bare"}.get(view, ""),
        over=(shrink,),
    )


def _barrel(spec: Spec, middle: float, inside: float, outside: float, *, behind: bool) -> Tube:
    near = 0.35 * spec.strip_mm
    wide = 0.3 * spec.strip_mm
    right = (2 * middle - near - wide, 2 * middle - near)
    crimps = (right,) if behind else ((near, near + wide), right)
    return Tube(_GAP, 2 * middle - _GAP, inside, outside, crimps, pressed(spec.wire, inside))


def _joined(
    spec: Spec,
    reach: Reach,
    tube: Tube,
    middle: float,
    half: float,
    cover: tuple[Item, ...],
    rear: float,
    fault: str,
    over: tuple[Item, ...] = (),
) -> Picture:
    wire = spec.wire
    tip = 0.42 * middle if fault == "short" else middle - 0.1
    far = 2 * middle
    stop = Line((middle, -tube.inside_mm / 2), (middle, tube.inside_mm / 2), Stroke(INK, 0.5))
    items = (
        *cover,
        insulation(wire, reach.left, 0.0),
        insulation(wire, far, reach.right),
        *tube.drawn(),
        copper(wire, -_GAP, tip, tube=tube),
        copper(wire, middle + 0.1, far + _GAP, tube=tube),
        stop,
        *over,
    )
    if fault == "bare":
        items = (*items, copper(wire, -1.6, 0.2), insulation(wire, reach.left, -1.6))
    spot = {
        "short": (tip + 0.3, 0.0),
        "behind": (rear / 2 - 0.1, -half + 0.4),
        "bare": (-0.7, -wire.copper_mm / 2),
    }.get(fault)
    core = Box(rear - 0.5, -half - 0.3, far - rear + 0.5, half + 0.3)
    spots = {
        "stop": (middle, 0.0),
        "crimp": (tube.crimps[0][0] + 0.8, tube.outside_mm / 2 - tube.squeeze_mm),
        "cover": (far - 0.6 * rear, half),
        "insulation": (-0.1, 0.4 * wire.outside_mm),
    }
    return Picture(items, core, spots, spot)


# ------------------------------------------------------------------ lever connector and solder
def lever_joint(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a lever connector from above, both wires from one side: good, too short, lever open."""
    wire, strip = spec.wire, spec.strip_mm
    pitch = max(5.6, wire.outside_mm + 1.8)
    front, stop = -1.8, strip - 0.2
    back = stop + 2.0
    box = Rect(front, -pitch, back - front, 2 * pitch, 1.0, OUTLINE, PLASTIC)
    items: list[Item] = [box]
    for n, y in enumerate((-pitch / 2, pitch / 2)):
        faulty = n == 0
        half = max(wire.outside_mm / 2 + 0.35, 1.2)
        items.append(Rect(front, y - half, stop - front, 2 * half, 0.3, FINE, CLEAR))
        end = 0.55 * strip if faulty and view is View.FIRST else 0.0
        items += [insulation(wire, reach.left, end, y), copper(wire, end, stop, y)]
        press = 0.48 * strip
        opened = faulty and view is View.SECOND
        reach_up = half - 0.2 if opened else (wire.outside_mm if end else wire.copper_mm) / 2
        items.append(Rect(press, y - half - 0.6, 1.1, half + 0.6 - reach_up, 0.2, OUTLINE, METAL_SHADE))
        if opened:
            items.append(Rect(back - 1.6, y - 2.0, 5.2, 4.0, 1.2, OUTLINE, METAL_SHADE))
        else:
            items.append(Rect(back - 1.3, y - 2.0, 1.0, 4.0, 0.4, OUTLINE, METAL_SHADE))
    fault: Point | None = None
    if view is View.FIRST:
        fault = (0.53 * strip, -pitch / 2 - wire.outside_mm / 2)
    if view is View.SECOND:
        fault = (back + 3.6, -pitch / 2 - 1.6)
    core = Box(front - 2, -pitch - 0.2, back + 6.2, pitch + 0.2)
    spots = {
        "inlet": (front + 0.8, pitch / 2 + wire.outside_mm / 2),
        "stop": (stop - 0.2, pitch / 2),
        "lever": (back - 0.8, pitch / 2 + 1.6),
        "clamp": (0.48 * strip + 0.5, pitch / 2 - wire.copper_mm / 2),
    }
    return Picture(tuple(items), core, spots, fault)


def solder(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a soldered splice: good, a cold joint, one that bends where the solder ends."""
    wire, strip = spec.wire, spec.strip_mm
    far = 1.0 * strip
    d = wire.copper_mm
    left = (insulation(wire, reach.left, 0.0),)
    bent = view is View.SECOND
    right: tuple[Item, ...] = (insulation(wire, far, reach.right),)
    if bent:
        y = wire.outside_mm / 2
        tail = [(far, -y), (far + 2.5, -y), (far + 4.2, -y + 0.8), (far + 6.4, 5.2), (far + 6.4 - 2 * y, 5.2)]
        inner_edge = [(far + 3.2 - y * 0.4, y + 0.6), (far + 2.2, y), (far, y)]
        right = (polygon([*tail, *inner_edge], OUTLINE, INSULATION),)
    strands = (copper(wire, 0.0, far, -0.42 * d), copper(wire, 0.0, far, 0.42 * d))
    blob: tuple[Item, ...]
    if view is View.FIRST:
        blob = (
            Circle((0.45 * far, -1.25 * d - 0.4), 1.25 * d, OUTLINE, SOLDER),
            Circle((0.45 * far - 0.4 * d, -1.25 * d - 0.4 - 0.4 * d), 0.25 * d, None, CLEAR),
        )
    else:
        r = 1.05 * d
        body = Path(
            (
                Move((0.8, -0.75 * r)),
                Straight((2.2, -r)),
                Straight((far - 2.2, -r)),
                Straight((far - 0.8, -0.75 * r)),
                Arc((far - 0.8, 0.75 * r), 1.2 * r),
                Straight((far - 2.2, r)),
                Straight((2.2, r)),
                Straight((0.8, 0.75 * r)),
                Arc((0.8, -0.75 * r), 1.2 * r),
            ),
            OUTLINE,
            SOLDER,
        )
        wraps = tuple(
            Line((2.4 + n * 1.5, 0.9 * r), (2.4 + n * 1.5 + 1.0, -0.9 * r), FINE)
            for n in range(int((far - 5.0) / 1.5) + 1)
        )
        blob = (body, *wraps)
    half = max(wire.outside_mm / 2, 1.05 * d) + 0.7
    rear = -0.5 * strip
    shrink: tuple[Item, ...] = (
        ()
        if view is View.FIRST
        else (Rect(rear, -half, far - 2 * rear if not bent else far - rear + 0.6, 2 * half, 0.5, GHOST),)
    )
    fault: Point | None = None
    if view is View.FIRST:
        fault = (0.45 * far + d, -1.6 * d - 0.4)
    if bent:
        fault = (far + 4.0, -wire.outside_mm / 2 + 0.5)
    top = 2.5 * d + 0.9 if view is View.FIRST else half + 0.3
    core = Box(rear - 0.5, -top, far - rear + 1, max(half, 5.2 if bent else 0) + 0.3)
    spots = {
        "solder": (0.5 * far, 0.5 * d),
        "cover": (far - 0.7 * rear, half),
        "insulation": (-0.2, 0.45 * wire.outside_mm),
    }
    return Picture((*left, *right, *strands, *blob, *shrink), core, spots, fault)
