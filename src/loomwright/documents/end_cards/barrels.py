"""A wire in the barrel that it is crimped in, cut open: sleeved barrels and the tubes of lugs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from loomwright.documents.end_cards.ink import GHOST, SLEEVES
from loomwright.documents.end_cards.picture import Reach, Spec
from loomwright.documents.end_cards.sizes import by_gauge, sizes_mm
from loomwright.documents.end_cards.wires import Tube, copper, insulation, pressed, stray
from loomwright.documents.scene import Item, Point, Rect

_GAP: Final = 0.2
"""Between insulation and barrel [mm]."""


@dataclass(frozen=True, slots=True)
class Held:
    """A wire in a barrel: what lies under the terminal's flat part and what lies over it."""

    behind: tuple[Item, ...]
    before: tuple[Item, ...]
    tube: Tube
    left: float
    half: float
    spots: dict[str, Point]
    fault: Point | None


def sleeved(spec: Spec, reach: Reach, fault: str, *, whole: bool = True) -> Held:
    """Draw a wire in a sleeved barrel; `whole` with the sleeve, which a quick-connect's own cover replaces."""
    sizes = sizes_mm("sleeved barrel", spec.variant)
    start, end = _GAP, _GAP + sizes["length"]
    middle = (start + end) / 2
    wire = spec.wire
    crimps = () if fault == "behind" else ((middle - 1.1, middle + 1.1),)
    tube = Tube(start, end, sizes["inside"], sizes["outside"], crimps, pressed(wire, sizes["inside"]))
    rear = end - sizes["sleeve length"]
    half = max(sizes["sleeve outside"], wire.outside_mm + 1.0) / 2
    pinch = ((rear + 1.2, -1.0),) if fault == "behind" else ()
    cover = Tube(rear, end + 0.3, 2 * half - 1.0, 2 * half, pinch, 0.16 * wire.outside_mm if pinch else 0.0)
    behind = (*(cover.drawn(fill=SLEEVES[spec.variant]) if whole else ()),)
    return _held(spec, reach, fault, tube, behind, rear, half)


def tubed(spec: Spec, reach: Reach, fault: str) -> Held:
    """Draw a wire in a tube lug's barrel, with the heat-shrink as a dashed outline."""
    wire = spec.wire
    sizes = by_gauge("tube", wire.gauge)
    inside = max(sizes["inside"], wire.copper_mm + 0.4)
    outside = inside + sizes["outside"] - sizes["inside"]
    start, end = _GAP, max(4.0, spec.strip_mm - 0.3)
    room = (end - start) / 5
    crimps = ((start + room, start + 2 * room), (start + 3 * room, start + 4 * room))
    tube = Tube(start, end, inside, outside, crimps, pressed(wire, inside))
    half = max(outside, wire.outside_mm) / 2 + 0.7
    left = -0.7 * spec.strip_mm
    shrink = Rect(left, -half, end - 0.4 - left, 2 * half, 0.5, GHOST)
    held = _held(spec, reach, fault, tube, (), left, half)
    spots = {**held.spots, "shrink": (left + 1.5, half)}
    return Held(held.behind, (*held.before, shrink), tube, left, half, spots, held.fault)


def _held(spec: Spec, reach: Reach, fault: str, tube: Tube, cover: tuple[Item, ...], rear: float, half: float) -> Held:
    wire = spec.wire
    ends = {
        "long": spec.strip_mm + 0.65 * spec.strip_mm,
        "short": tube.start + 0.45 * (tube.end - tube.start),
    }
    tip = ends.get(fault, spec.strip_mm)
    astray: tuple[Item, ...] = ()
    if fault == "stray":
        r, out = wire.copper_mm / 2, tube.outside_mm / 2
        astray = (
            *stray([(-0.1, -0.5 * r), (0.1, -out - 0.5), (0.5 * tube.end, -out - 0.8), (tube.end + 1.5, -out - 0.1)]),
            *stray([(-0.1, 0.5 * r), (0.1, out + 0.5), (0.4 * tube.end, out + 0.9), (0.8 * tube.end, out + 1.6)]),
        )
    spot = {
        "long": (tip - 0.3, -wire.copper_mm / 2),
        "short": (tip + 0.3, 0.0),
        "behind": (rear / 2 - 0.1, -half + 0.4),
        "stray": (0.7 * tube.end, tube.outside_mm / 2 + 1.4),
    }.get(fault)
    before = (*tube.drawn(), copper(wire, -_GAP, tip, tube=tube), *astray)
    middle = (tube.start + tube.end) / 2
    spots = {
        "copper": (spec.strip_mm - 0.25, 0.3 * wire.copper_mm),
        "insulation": (-0.1, wire.outside_mm / 2),
        "crimp": (tube.crimps[0][0] + 1.0 if tube.crimps else middle, tube.outside_mm / 2 - tube.squeeze_mm),
    }
    return Held((*cover, insulation(wire, reach.left, 0)), before, tube, rear, half, spots, spot)
