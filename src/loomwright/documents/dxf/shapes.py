"""What the DXF of the Plate is made of: lines, areas, rings and words on layers, in mm on the robot.

Right is x, forward is y, up is z, from the left rear corner of the base plate. `about` says of a shape what it is and
of which thing of the plan; it goes into the file as extended data.
"""

from __future__ import annotations

from dataclasses import dataclass

Mm = tuple[float, float, float]
"""A place on the robot: right, forward, up [mm]."""


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer: its name as the plan says it, its colour by the usual index (7: black on white), its line width [mm]."""

    name: str
    colour: int = 7
    line_mm: float = 0.25
    dashed: bool = False
    off: bool = False


@dataclass(frozen=True, slots=True)
class Way:
    """A line through places on the robot."""

    layer: str
    points: tuple[Mm, ...]
    about: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Band:
    """A level line that is really as wide as it is drawn [mm]."""

    layer: str
    points: tuple[Mm, ...]
    width_mm: float
    about: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Area:
    """A closed outline, level at the height of its first corner."""

    layer: str
    corners: tuple[Mm, ...]
    about: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ring:
    """A level circle, or a disc where it is `filled`."""

    layer: str
    centre: Mm
    radius_mm: float
    filled: bool = False
    about: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text as high as its capitals [mm], its middle at a place unless it begins there.

    `loose` words may be moved a little, so that they lie over no others.
    """

    layer: str
    at: Mm
    text: str
    height_mm: float
    begins: bool = False
    turn_deg: float = 0.0
    loose: bool = False


Shape = Way | Band | Area | Ring | Words
