"""Scene items in real mm, moved, turned and brought to the scale of a drawing; line widths stay as they are."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import replace

from loomwright.documents.scene import (
    Arc,
    Circle,
    Fill,
    Group,
    Item,
    Line,
    Move,
    Path,
    Point,
    Polyline,
    Rect,
    Straight,
    Stroke,
    Text,
)


def placed(items: Iterable[Item], *, scale: float, at: Point) -> tuple[Item, ...]:
    """Bring items in real mm to a page: `scale` page mm for each, real (0, 0) at the point `at`."""

    def move(point: Point) -> Point:
        return (at[0] + point[0] * scale, at[1] + point[1] * scale)

    return tuple(_mapped(item, move, scale) for item in items)


def turned(items: Iterable[Item], *, about: Point, by_deg: float) -> tuple[Item, ...]:
    """Turn lines, circles and closed shapes about a point, clockwise on the page."""
    cos, sin = math.cos(math.radians(by_deg)), math.sin(math.radians(by_deg))

    def move(point: Point) -> Point:
        x, y = point[0] - about[0], point[1] - about[1]
        return (about[0] + x * cos - y * sin, about[1] + x * sin + y * cos)

    return tuple(_mapped(item, move, 1.0) for item in items)


def shifted(items: Iterable[Item], *, x: float = 0.0, y: float = 0.0) -> tuple[Item, ...]:
    """Move items by so much."""
    return placed(items, scale=1.0, at=(x, y))


def mirrored(items: Iterable[Item], *, about_x: float) -> tuple[Item, ...]:
    """Mirror items left to right about an upright line."""
    return tuple(_mirror(item, about_x) for item in items)


def polygon(points: Iterable[Point], stroke: Stroke | None = None, fill: Fill = "") -> Path:
    """Draw a closed shape of straight pieces."""
    first, *rest = points
    return Path((Move(first), *(Straight(point) for point in rest)), stroke, fill)


def disc(centre: Point, radius: float) -> tuple[Move | Straight | Arc, ...]:
    """Give a full circle as an outline of a shape."""
    x, y = centre
    left, right = (x - radius, y), (x + radius, y)
    top, bottom = (x, y - radius), (x, y + radius)
    return (Move(left), *(Arc(point, radius) for point in (top, right, bottom, left)))


def _mapped(item: Item, move: Callable[[Point], Point], scale: float) -> Item:
    if isinstance(item, Group):
        return replace(item, items=tuple(_mapped(inner, move, scale) for inner in item.items))
    if isinstance(item, Path):
        return replace(item, steps=tuple(_step(step, move, scale) for step in item.steps))
    if isinstance(item, Line):
        return replace(item, start=move(item.start), end=move(item.end))
    if isinstance(item, Polyline):
        return replace(item, points=tuple(map(move, item.points)))
    return _sized(item, move, scale)


def _sized(item: Rect | Circle | Text, move: Callable[[Point], Point], scale: float) -> Item:
    if isinstance(item, Rect):
        x, y = move((item.x, item.y))
        wide, tall, radius = (size * scale for size in (item.width, item.height, item.radius))
        return replace(item, x=x, y=y, width=wide, height=tall, radius=radius)
    if isinstance(item, Circle):
        return replace(item, centre=move(item.centre), radius=item.radius * scale)
    return replace(item, at=move(item.at))


def _step(step: Move | Straight | Arc, move: Callable[[Point], Point], scale: float) -> Move | Straight | Arc:
    if isinstance(step, Arc):
        return replace(step, to=move(step.to), radius=step.radius * scale)
    return replace(step, to=move(step.to))


def _mirror(item: Item, about_x: float) -> Item:
    def move(point: Point) -> Point:
        return (2 * about_x - point[0], point[1])

    if isinstance(item, Group):
        return replace(item, items=tuple(_mirror(inner, about_x) for inner in item.items))
    if isinstance(item, Rect):
        return replace(item, x=2 * about_x - item.x - item.width)
    if isinstance(item, Path):
        flipped = (replace(s, clockwise=not s.clockwise) if isinstance(s, Arc) else s for s in item.steps)
        return replace(item, steps=tuple(_step(step, move, 1.0) for step in flipped))
    return _mapped(item, move, 1.0)
