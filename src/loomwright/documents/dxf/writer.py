"""Write shapes as a DXF file: one drawing unit is one mm, no clock, the same shapes give the same bytes."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Final

from loomwright.documents.dxf.shapes import Area, Band, Layer, Mm, Ring, Shape, Way, Words
from loomwright.documents.dxf.words import dxf_text, layer_names

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.entities.dxfgfx import DXFGraphic
    from ezdxf.layouts.layout import Modelspace

#: The name that our extended data stands under.
APP: Final = "LOOMWRIGHT"

_VERSION: Final = "R2010"
_METRIC: Final = 1
_STRING: Final = 1000  # the group code of a text in extended data
_VIEW: Final = 1.1
_PLACES: Final = 6  # digits behind the point that a coordinate keeps: a millionth of a mm


def write(layers: Sequence[Layer], shapes: Sequence[Shape]) -> bytes:
    """Return the DXF file of shapes on layers; KeyError where a shape lies on a layer that is not among them."""
    from ezdxf import units  # noqa: PLC0415  heavy: only where a DXF is made
    from ezdxf.filemanagement import new  # noqa: PLC0415

    with _no_clock():
        document = new(_VERSION, setup=["linetypes"], units=units.MM)
        document.header["$MEASUREMENT"] = _METRIC
        document.appids.add(APP)
        given = layer_names(tuple(layer.name for layer in layers))
        for layer in layers:
            _add_layer(document, layer, given[layer.name])
        space = document.modelspace()
        for shape in shapes:
            for entity in _draw(space, shape, {"layer": given[shape.layer]}):
                if not isinstance(shape, Words) and shape.about:
                    entity.set_xdata(APP, [(_STRING, dxf_text(word)) for word in shape.about])
        _show_all(document, shapes)
        for kind in sorted(document.entitydb.dxf_types_in_use()):  # written in the order of a set otherwise
            document.classes.add_class(kind)
        stream = io.StringIO()
        document.write(stream)
        return document.encode(stream.getvalue())


@contextmanager
def _no_clock() -> Iterator[None]:
    """Have the dates and the two identifiers of the file be constants while a drawing is made and written."""
    from ezdxf._options import options  # noqa: PLC0415

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _add_layer(document: Drawing, layer: Layer, name: str) -> None:
    line = "DASHED" if layer.dashed else "CONTINUOUS"
    added = document.layers.add(name, color=layer.colour, linetype=line, lineweight=round(layer.line_mm * 100))
    added.description = dxf_text(layer.name)
    if layer.off:
        added.off()


def _draw(space: Modelspace, shape: Shape, on: dict[str, str]) -> Iterator[DXFGraphic]:
    """Draw one shape."""
    from ezdxf.enums import TextEntityAlignment  # noqa: PLC0415

    match shape:
        case Way():
            yield space.add_polyline3d([_exact(point) for point in shape.points], dxfattribs=on)
        case Band():
            level = {"elevation": _exact(shape.points[0])[2], "const_width": round(shape.width_mm, _PLACES)}
            yield space.add_lwpolyline([_exact(point)[:2] for point in shape.points], dxfattribs=on | level)
        case Area():
            raised = {"elevation": _exact(shape.corners[0])[2]}
            yield space.add_lwpolyline([_exact(p)[:2] for p in shape.corners], close=True, dxfattribs=on | raised)
        case Ring() if shape.filled:
            yield _disc(space, shape, on)
        case Ring():
            yield space.add_circle(_exact(shape.centre), round(shape.radius_mm, _PLACES), dxfattribs=on)
        case Words():
            turned = {"height": round(shape.height_mm, 3), "rotation": shape.turn_deg}
            text = space.add_text(dxf_text(shape.text) or "?", dxfattribs=on | turned)
            where = TextEntityAlignment.LEFT if shape.begins else TextEntityAlignment.MIDDLE_CENTER
            yield text.set_placement(_exact(shape.at), align=where)


def _disc(space: Modelspace, ring: Ring, on: dict[str, str]) -> DXFGraphic:
    """Draw a disc as a round line as wide as its own radius, which every reader can fill."""
    x, y, z = _exact(ring.centre)
    half = ring.radius_mm / 2
    points = [(x - half, y, 1.0), (x + half, y, 1.0)]
    filled = {"elevation": z, "const_width": ring.radius_mm}
    return space.add_lwpolyline(points, format="xyb", close=True, dxfattribs=on | filled)


def _exact(point: Mm) -> Mm:
    right, forward, up = (round(value, _PLACES) + 0.0 for value in point)
    return (right, forward, up)


def _show_all(document: Drawing, shapes: Sequence[Shape]) -> None:
    """Tell readers how large the drawing is, and to open it with all of it in view."""
    places = [point for shape in shapes for point in _places(shape)] or [(0.0, 0.0, 0.0)]
    low: Mm = (min(p[0] for p in places), min(p[1] for p in places), min(p[2] for p in places))
    high: Mm = (max(p[0] for p in places), max(p[1] for p in places), max(p[2] for p in places))
    space = document.modelspace()
    space.dxf.extmin, space.dxf.extmax = _exact(low), _exact(high)
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    tall = max(high[1] - low[1], (high[0] - low[0]) * 0.7, 1.0)
    document.set_modelspace_vport(tall * _VIEW, middle)


def _places(shape: Shape) -> tuple[Mm, ...]:
    match shape:
        case Way() | Band():
            return shape.points
        case Area():
            return shape.corners
        case Ring():
            return (shape.centre,)
        case Words():
            return (shape.at,)
