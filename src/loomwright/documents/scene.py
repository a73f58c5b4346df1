"""A drawing as a scene: primitives in mm on a page, y downwards, that can be measured and written out.

Nothing is transformed: every coordinate is a place on the page, so a test can measure the drawing and
any writer (SVG now, DXF later) says the same. Later items are painted over earlier ones.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from loomwright.documents.look import INK
from loomwright.documents.type import Face, ink_mm, width_mm

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the page [mm]."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Width [mm]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height [mm]."""
        return self.bottom - self.top

    def overlaps(self, other: Box) -> bool:
        """Tell whether the two share area; touching edges do not."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )

    def holds(self, other: Box, slack_mm: float = 0.0) -> bool:
        """Tell whether the other lies inside, but for a slack."""
        return (
            self.left - slack_mm <= other.left
            and other.right <= self.right + slack_mm
            and self.top - slack_mm <= other.top
            and other.bottom <= self.bottom + slack_mm
        )

    def grown(self, by_mm: float) -> Box:
        """Return the box moved outwards on all sides."""
        return Box(self.left - by_mm, self.top - by_mm, self.right + by_mm, self.bottom + by_mm)


def around(points: list[Point]) -> Box:
    """Return the smallest box around some points; there must be one."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True, slots=True)
class Stroke:
    """A drawn line: colour, width [mm], dashes [mm, on and off in turn], round or square-cut ends."""

    colour: str = INK
    width_mm: float = 0.3
    dash_mm: tuple[float, ...] = ()
    round_ends: bool = False


@dataclass(frozen=True, slots=True)
class Hatch:
    """A fill of parallel lines on a ground: spacing and line width [mm], angle from the x axis [degrees]."""

    spacing_mm: float = 1.6
    width_mm: float = 0.5
    angle_deg: float = 45.0
    colour: str = INK
    ground: str = ""


Fill = str | Hatch


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    start: Point
    end: Point
    stroke: Stroke = Stroke()

    @property
    def box(self) -> Box:
        """The area that it inks; square-cut ends add nothing to its length."""
        half = self.stroke.width_mm / 2
        long = math.dist(self.start, self.end)
        if self.stroke.round_ends or not long:
            return around([self.start, self.end]).grown(half)
        across = (half * (self.end[1] - self.start[1]) / long, half * (self.end[0] - self.start[0]) / long)
        return around([(x + s * across[0], y - s * across[1]) for x, y in (self.start, self.end) for s in (-1, 1)])


@dataclass(frozen=True, slots=True)
class Polyline:
    """An open run of straight pieces with round corners."""

    points: tuple[Point, ...]
    stroke: Stroke = Stroke()

    @property
    def box(self) -> Box:
        """The area that it inks."""
        return around(list(self.points)).grown(self.stroke.width_mm / 2)


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle with rounded corners; its stroke lies half inside, half outside."""

    x: float
    y: float
    width: float
    height: float
    radius: float = 0.0
    stroke: Stroke | None = None
    fill: Fill = ""

    @property
    def body(self) -> Box:
        """The rectangle itself, without its stroke."""
        return Box(self.x, self.y, self.x + self.width, self.y + self.height)

    @property
    def box(self) -> Box:
        """The area that it inks."""
        return self.body.grown(self.stroke.width_mm / 2 if self.stroke else 0.0)


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle."""

    centre: Point
    radius: float
    stroke: Stroke | None = None
    fill: Fill = ""

    @property
    def box(self) -> Box:
        """The area that it inks."""
        return around([self.centre]).grown(self.radius + (self.stroke.width_mm / 2 if self.stroke else 0.0))


@dataclass(frozen=True, slots=True)
class Move:
    """Begin a new outline at a point."""

    to: Point


@dataclass(frozen=True, slots=True)
class Straight:
    """Go straight to a point."""

    to: Point


@dataclass(frozen=True, slots=True)
class Arc:
    """Go to a point on a circle's arc of less than half a turn; `clockwise` as seen on the page."""

    to: Point
    radius: float
    clockwise: bool = True


@dataclass(frozen=True, slots=True)
class Path:
    """A closed shape: one or more outlines, filled by the even-odd rule (a second outline is a hole)."""

    steps: tuple[Move | Straight | Arc, ...]
    stroke: Stroke | None = None
    fill: Fill = ""

    @property
    def box(self) -> Box:
        """The area that it inks, arcs counted by the box of their whole circle's reach (never too small)."""
        points: list[Point] = []
        here: Point = self.steps[0].to
        for step in self.steps:
            points.append(step.to)
            if isinstance(step, Arc):
                sagitta = _sagitta(math.dist(here, step.to), step.radius)
                middle = around([((here[0] + step.to[0]) / 2, (here[1] + step.to[1]) / 2)])
                points += [
                    (middle.left - sagitta, middle.top - sagitta),
                    (middle.right + sagitta, middle.top + sagitta),
                ]
            here = step.to
        return around(points).grown(self.stroke.width_mm / 2 if self.stroke else 0.0)


def _sagitta(chord_mm: float, radius_mm: float) -> float:
    """Return how far an arc of less than half a turn bulges from its chord [mm]."""
    return radius_mm - math.sqrt(max(0.0, radius_mm**2 - (chord_mm / 2) ** 2))


class Anchor(StrEnum):
    """Which point of a text its place names."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text on a baseline.

    `full` is the whole text where `text` had to be shortened; `room` is the box that it must stay in;
    `turn_deg` turns it clockwise about its place. The text must be clean (`type.clean`).
    """

    at: Point
    text: str
    size_mm: float
    face: Face = Face.TEXT
    anchor: Anchor = Anchor.START
    colour: str = INK
    full: str = ""
    room: Box | None = None
    turn_deg: float = 0.0

    @property
    def width_mm(self) -> float:
        """Advance width [mm]."""
        return width_mm(self.text, self.face, self.size_mm)

    @property
    def box(self) -> Box:
        """The box around its ink and advance; turned text gives the upright box around the turned one."""
        below, above = ink_mm(self.text, self.face, self.size_mm)
        width = self.width_mm
        left = {Anchor.START: 0.0, Anchor.MIDDLE: -width / 2, Anchor.END: -width}[self.anchor]
        turn = math.radians(self.turn_deg)
        corners = [(x, y) for x in (left, left + width) for y in (-above, below)]
        return around(
            [
                (
                    self.at[0] + x * math.cos(turn) - y * math.sin(turn),
                    self.at[1] + x * math.sin(turn) + y * math.cos(turn),
                )
                for x, y in corners
            ]
        )


@dataclass(frozen=True, slots=True)
class Group:
    """Items that belong together: `role` says what they are, `about` which thing of the plan (a wire id, a slot).

    `title` is read out and shown by programs that can; ids in the written file come from `role` and `about`.
    """

    items: tuple[Item, ...]
    role: str
    about: str = ""
    title: str = ""


Mark = Line | Polyline | Rect | Circle | Path | Text
Item = Mark | Group


@dataclass(frozen=True, slots=True)
class Scene:
    """One page: its size [mm], what it is called, what it shows in a sentence or two, and its items.

    `name` is a lower-case word that begins every id in the written file, so that pages can share several drawings.
    """

    name: str
    title: str
    description: str
    width_mm: float
    height_mm: float
    items: tuple[Item, ...]

    @property
    def page(self) -> Box:
        """The page as a box."""
        return Box(0.0, 0.0, self.width_mm, self.height_mm)

    def marks(self) -> Iterator[Mark]:
        """Yield everything that is drawn, in painting order."""
        yield from marks(self.items)

    def texts(self) -> tuple[Text, ...]:
        """Return all texts in painting order."""
        return tuple(mark for mark in self.marks() if isinstance(mark, Text))

    def groups(self, role: str = "") -> tuple[Group, ...]:
        """Return all groups, or those of one role, outer before inner."""
        return tuple(group for group in _groups(self.items) if not role or group.role == role)


def marks(items: tuple[Item, ...]) -> Iterator[Mark]:
    """Yield the marks of some items, in painting order."""
    for item in items:
        if isinstance(item, Group):
            yield from marks(item.items)
        else:
            yield item


def _groups(items: tuple[Item, ...]) -> Iterator[Group]:
    """Yield groups, outer before inner."""
    for item in items:
        if isinstance(item, Group):
            yield item
            yield from _groups(item.items)
