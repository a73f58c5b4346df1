"""Can a drawing be read? Measures a scene and says in sentences what could not.

Every drawing's tests ask this; a drawing with an answer other than "nothing" is wrong.
"""

from __future__ import annotations

from itertools import combinations

from loomwright.documents.look import TEXT_CONTRAST, WHITE, contrast
from loomwright.documents.scene import Box, Circle, Hatch, Line, Mark, Point, Polyline, Rect, Scene, Text

_SLACK_MM = 0.05


def faults(scene: Scene) -> tuple[str, ...]:
    """List everything that hurts reading: overlaps, texts out of their room or page, crossings, weak contrast."""
    return (*outside(scene), *overlaps(scene), *crossings(scene), *weak_contrasts(scene))


def outside(scene: Scene) -> tuple[str, ...]:
    """List marks that leave the page and texts that leave the room they were given."""
    off_page = [f"{_name(mark)} leaves the page" for mark in scene.marks() if not scene.page.holds(mark.box)]
    off_room = [
        f"{_name(text)} leaves its room"
        for text in scene.texts()
        if text.room is not None and not text.room.holds(text.box, _SLACK_MM)
    ]
    return (*off_page, *off_room)


def overlaps(scene: Scene) -> tuple[str, ...]:
    """List pairs of texts whose boxes share area."""
    boxes = sorted(((text.box, text) for text in scene.texts() if text.text), key=lambda pair: pair[0].top)
    found = []
    for (box, text), (other_box, other) in combinations(boxes, 2):
        if box.overlaps(other_box):
            found.append(f"{_name(text)} overlaps {_name(other)}")
    return tuple(found)


def crossings(scene: Scene) -> tuple[str, ...]:
    """List texts that a line, an edge or a hatch runs through, unless a filled box under the text hides it."""
    painted = _painted(scene)
    found = []
    for i, (text, box) in enumerate(painted):
        if not isinstance(text, Text):
            continue
        ground = _ground_index(painted, i)
        found += [
            f"{_name(mark)} runs through {_name(text)}"
            for j, (mark, reach) in enumerate(painted)
            if j > ground and reach.overlaps(box) and not isinstance(mark, Text) and _disturbs(mark, box, over=j > i)
        ]
    return tuple(found)


def weak_contrasts(scene: Scene) -> tuple[str, ...]:
    """List texts whose contrast to what they stand on is under 7 to 1."""
    painted = _painted(scene)
    found = []
    for i, (text, _) in enumerate(painted):
        if isinstance(text, Text):
            ground = _ground_index(painted, i)
            under = painted[ground][0] if ground >= 0 else None
            fill = under.fill if isinstance(under, Rect) and isinstance(under.fill, str) else WHITE
            ratio = contrast(text.colour, fill)
            if ratio < TEXT_CONTRAST:
                found.append(f"{_name(text)} has a contrast of only {ratio:.1f}")
    return tuple(found)


def _painted(scene: Scene) -> list[tuple[Mark, Box]]:
    """List all marks with the area that they ink; texts a hair smaller, so that touching is no fault."""
    return [(mark, mark.box.grown(-_SLACK_MM) if isinstance(mark, Text) else mark.box) for mark in scene.marks()]


def _ground_index(painted: list[tuple[Mark, Box]], text: int) -> int:
    """Return which mark a text stands on: the last plainly filled rectangle that holds it, or -1 for the page."""
    box = painted[text][1]
    for i in range(text - 1, -1, -1):
        mark, reach = painted[i]
        if not reach.holds(box) or not isinstance(mark, Rect):
            continue
        if mark.fill and isinstance(mark.fill, str) and _inside(mark).holds(box):
            return i
    return -1


def _inside(rect: Rect) -> Box:
    """Return what of a rectangle its own stroke leaves free."""
    return rect.body.grown(-(rect.stroke.width_mm / 2 if rect.stroke else 0.0))


def _disturbs(mark: Mark, box: Box, *, over: bool) -> bool:
    """Tell whether a mark painted on the ground (or `over` the text) puts ink into the box that it reaches into."""
    if isinstance(mark, Line):
        upright = mark.start[0] == mark.end[0] or mark.start[1] == mark.end[1]
        return upright or meets(mark.start, mark.end, box.grown(mark.stroke.width_mm / 2))
    if isinstance(mark, Polyline):
        room = box.grown(mark.stroke.width_mm / 2)
        return any(meets(a, b, room) for a, b in zip(mark.points, mark.points[1:], strict=False))
    if isinstance(mark, Rect) and not (mark.fill and over) and not isinstance(mark.fill, Hatch):
        return not _inside(mark).holds(box)
    if isinstance(mark, Circle) and not mark.fill:
        corners = [(x, y) for x in (box.left, box.right) for y in (box.top, box.bottom)]
        return any((x - mark.centre[0]) ** 2 + (y - mark.centre[1]) ** 2 > mark.radius**2 for x, y in corners)
    return True


def meets(a: Point, b: Point, box: Box) -> bool:
    """Tell whether a straight piece touches a box (clipping by Liang and Barsky)."""
    low, high = 0.0, 1.0
    for start, end, near, far in ((a[0], b[0], box.left, box.right), (a[1], b[1], box.top, box.bottom)):
        run = end - start
        if run == 0:
            if not near < start < far:
                return False
            continue
        enter, leave = sorted(((near - start) / run, (far - start) / run))
        low, high = max(low, enter), min(high, leave)
    return low < high


def _name(mark: Mark) -> str:
    """Name a mark for a person who reads a failed test."""
    box = mark.box
    place = f"({box.left:.1f}, {box.top:.1f}, {box.right:.1f}, {box.bottom:.1f})"
    return f"{mark.text!r} at {place}" if isinstance(mark, Text) else f"a {type(mark).__name__.lower()} at {place}"
