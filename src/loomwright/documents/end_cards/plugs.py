"""Plugs that nobody makes: a ready-made network plug, a plug that the maker fitted; seen from the side."""

from __future__ import annotations

from loomwright.documents.end_cards.geometry import polygon
from loomwright.documents.end_cards.ink import (
    CLEAR,
    COPPER,
    FINE,
    INSULATION,
    INSULATION_SHADE,
    METAL,
    METAL_SHADE,
    OUTLINE,
    PLASTIC,
)
from loomwright.documents.end_cards.picture import Picture, Reach, Spec, View
from loomwright.documents.end_cards.sizes import sizes_mm
from loomwright.documents.scene import Box, Item, Point, Rect


def network(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a network plug in its socket: before, good, latch not clicked, cable not tied."""
    return _plug(spec, view, reach, "network plug", latch=True)


def fitted(spec: Spec, view: View, reach: Reach) -> Picture:
    """Draw a fitted plug in its socket: before, good, not to the stop, cable not tied."""
    return _plug(spec, view, reach, "fitted plug", latch=False)


def _plug(spec: Spec, view: View, reach: Reach, shape: str, *, latch: bool) -> Picture:
    del spec
    sizes = sizes_mm(shape, "any")
    long, half, r = sizes["length"], sizes["height"] / 2, sizes["cable"] / 2
    out = {View.STRIPPED: 9.0, View.FIRST: 2.6}.get(view, 0.0)
    stop, deep = long, 0.55 * long
    wall = stop - deep
    top = half + (2.6 if latch else 1.2)
    notch = stop - 0.42 * deep
    socket: list[Item] = [
        Rect(wall, -top - 1.2, deep + 3.0, top + half + 3.0, 0.6, OUTLINE, PLASTIC),
        Rect(
            wall,
            -half - 0.15 - (1.9 if latch else 0.0),
            deep,
            2 * half + 0.3 + (1.9 if latch else 0.0),
            0.0,
            FINE,
            CLEAR,
        ),
        Rect(stop - 0.45 * deep, half - 0.5, 0.45 * deep, 0.7, 0.0, FINE, METAL),
    ]
    if latch:
        socket.append(Rect(wall, -half - 2.05, notch - wall, 1.0, 0.0, OUTLINE, METAL_SHADE))
    body: list[Item] = [
        Rect(-out, -half, long, 2 * half, 0.8, OUTLINE, METAL),
        Rect(-out - 5.0, -0.75 * half, 5.0, 1.5 * half, 0.6, OUTLINE, METAL_SHADE),
        Rect(long - out - 3.4, half - 1.7, 3.0, 1.2, 0.2, FINE, COPPER),
    ]
    if latch:
        up = 1.5 if view is View.GOOD or view is View.SECOND or view is View.STRIPPED else 0.9
        x = notch - out
        body.append(
            polygon(
                [
                    (long - out - 0.6, -half),
                    (x + 0.2, -half - up),
                    (x + 0.2, -half - up + 0.75 - 0.1),
                    (wall - out - 5.5, -half - 2.0),
                    (wall - out - 5.5, -half - 2.7),
                    (x - 0.6, -half - 0.55),
                    (long - out - 2.6, -half),
                ],
                OUTLINE,
                PLASTIC,
            )
        )
    slack = view is View.SECOND
    cable: list[Item] = []
    if slack:
        cable = _hanging(-out - 5.0, r)
    else:
        cable = [
            Rect(reach.left, -r, -out - 5.0 - reach.left, 2 * r, 0.0, OUTLINE, INSULATION),
            Rect(reach.left, 0.45 * r, -out - 5.0 - reach.left, 0.55 * r, 0.0, None, INSULATION_SHADE),
            Rect(reach.left, -r, -out - 5.0 - reach.left, 2 * r, 0.0, OUTLINE),
        ]
    tie: list[Item] = []
    if view is View.GOOD or view is View.FIRST:
        tie = [
            Rect(-15.5, -r - 0.6, 1.6, 2 * r + 1.2, 0.4, OUTLINE, CLEAR),
            Rect(-15.9, -r - 1.5, 2.4, 1.6, 0.3, OUTLINE, METAL_SHADE),
        ]
    items = (*socket, *cable, *body, *tie)
    fault: Point | None = None
    if view is View.FIRST:
        fault = (notch - out + 0.3, -half - 0.9) if latch else (wall - 1.2, -half + 0.2)
    if slack:
        fault = (-8.6, -r + 1.2)
    core = Box(-18.0, -top - 1.4, stop + 3.4, max(half + 2.0, 11.0 if slack else 0.0))
    spots = {"latch": (notch + 0.1, -half - 0.9), "tie": (-14.7, r + 0.4), "stop": (stop - 0.2, 0.0)}
    return Picture(items, core, spots, fault)


def _hanging(start: float, r: float) -> list[Item]:
    """Draw a cable that hangs straight down behind its plug."""
    x = start - 3.0
    outline = [
        (start, -r),
        (x - 1.2, -r),
        (x - 2.9, -r + 0.9),
        (x - 2 * r + 0.3, 1.2),
        (x - 2 * r, 10.8),
        (x, 10.8),
        (x, r + 1.2),
        (x + 0.8, r),
        (start, r),
    ]
    return [polygon(outline, OUTLINE, INSULATION)]
