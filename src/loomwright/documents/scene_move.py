"""Move what is drawn to another place on the page."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from loomwright.documents.scene import (
    Arc,
    Box,
    Circle,
    Group,
    Item,
    Line,
    Mark,
    Move,
    Path,
    Point,
    Polyline,
    Rect,
    Straight,
)

if TYPE_CHECKING:
    from collections.abc import Iterable


def moved(items: Iterable[Item], right_mm: float, down_mm: float) -> tuple[Item, ...]:
    """Return items as they are, so far to the right and down."""
    return tuple(
        replace(item, items=moved(item.items, right_mm, down_mm))
        if isinstance(item, Group)
        else _moved(item, right_mm, down_mm)
        for item in items
    )


def _moved(item: Mark, right: float, down: float) -> Mark:
    def at(point: Point) -> Point:
        return (point[0] + right, point[1] + down)

    match item:
        case Line():
            return replace(item, start=at(item.start), end=at(item.end))
        case Polyline():
            return replace(item, points=tuple(at(point) for point in item.points))
        case Rect():
            return replace(item, x=item.x + right, y=item.y + down)
        case Circle():
            return replace(item, centre=at(item.centre))
        case Path():
            steps: tuple[Move | Straight | Arc, ...] = tuple(replace(step, to=at(step.to)) for step in item.steps)
            return replace(item, steps=steps)
        case _:
            room = item.room
            shifted = room and Box(room.left + right, room.top + down, room.right + right, room.bottom + down)
            return replace(item, at=at(item.at), room=shifted)
