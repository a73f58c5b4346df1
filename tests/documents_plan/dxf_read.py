"""Read a DXF of the Plate back: every shape by what its extended data says it is, in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from io import StringIO
from itertools import pairwise
from typing import Any

from ezdxf.filemanagement import read

from loomwright.documents.dxf.writer import APP

_STRING = 1000


@dataclass(frozen=True)
class Shape:
    """One shape of the file: its kind, its layer, what it is about, its points, its width or radius."""

    kind: str
    layer: str
    about: tuple[str, ...]
    points: tuple[tuple[float, float, float], ...]
    size: float = 0.0
    text: str = ""

    @property
    def length(self) -> float:
        """Its length, up and down too."""
        return sum(math.dist(a, b) for a, b in pairwise(self.points))


@dataclass(frozen=True)
class Read:
    """A DXF file as a CAD program sees it."""

    document: Any
    faults: tuple[str, ...]
    shapes: tuple[Shape, ...]

    def of(self, what: str) -> tuple[Shape, ...]:
        """Return the shapes of one kind of thing."""
        return tuple(shape for shape in self.shapes if shape.about[:1] == (what,))

    @property
    def texts(self) -> tuple[str, ...]:
        """Every text, as it is shown."""
        return tuple(shape.text for shape in self.shapes if shape.kind == "TEXT")


def read_dxf(data: bytes) -> Read:
    """Read a file and have it audited."""
    document = read(StringIO(data.decode("utf-8").replace("\r\n", "\n")))
    auditor = document.audit()
    faults = tuple(entry.message for entry in (*auditor.errors, *auditor.fixes))
    return Read(document, faults, tuple(_shape(entity) for entity in document.modelspace()))


def _shape(entity: Any) -> Shape:  # noqa: ANN401  any entity of ezdxf
    about = tuple(tag.value for tag in entity.get_xdata(APP) if tag.code == _STRING) if entity.has_xdata(APP) else ()
    kind, layer = entity.dxftype(), entity.dxf.layer
    match kind:
        case "POLYLINE":
            return Shape(kind, layer, about, tuple(tuple(v.dxf.location) for v in entity.vertices))
        case "LWPOLYLINE":
            up = entity.dxf.elevation
            points = tuple((x, y, up) for x, y in entity.get_points("xy"))
            return Shape(kind, layer, about, points, entity.dxf.const_width)
        case "CIRCLE":
            return Shape(kind, layer, about, (tuple(entity.dxf.center),), entity.dxf.radius)
        case _:
            return Shape(kind, layer, about, (tuple(entity.dxf.insert),), entity.dxf.height, entity.plain_text())
