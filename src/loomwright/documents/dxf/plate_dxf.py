"""Write the Plate as DXF: the robot in mm as it stands, for a CAD program, a drill template or a plotter.

One drawing unit is one mm. Right is x, forward is y, up is z, from the left rear corner of the base plate.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.documents.dxf.apart import apart
from loomwright.documents.dxf.layers import Kind, layer_of, plate_layers
from loomwright.documents.dxf.shapes import Words
from loomwright.documents.dxf.things import device_shapes, plate_shapes, terminal_shapes
from loomwright.documents.dxf.ways import bundle_shapes, drop_shapes, trunk_shapes, way_shapes
from loomwright.documents.dxf.writer import write
from loomwright.documents.every_sheet import CAUTION, LAST_WORD
from loomwright.documents.plate.nowhere import HOW, WORDS
from loomwright.documents.plate.plan import plate_sheet
from loomwright.documents.plate.table import id_ranges
from loomwright.documents.type import clean

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.documents.dxf.shapes import Shape
    from loomwright.plan.result import Plan

_TITLE_MM, _LINE_MM, _SMALL_MM = 12.0, 6.0, 4.0
_BELOW_MM = 30.0


def plate_dxf(plan: Plan) -> bytes:
    """Return the robot from above as a DXF file, to scale in mm, with a layer for every trunk and kind of thing.

    A plan without any place gives a file that says so in words.
    """
    robot, layout = plan.robot, plan.layout
    sheet = plate_sheet(plan)
    trunks = [trunk.name for plate in robot.plates for trunk in plate.trunks]
    proposed = [section.trunk for section in layout.sections if section.proposed] if layout is not None else []
    layers = plate_layers(robot.plates, trunks, proposed)
    if not sheet.panels:
        return write(layers, tuple(_said(plan, (WORDS, HOW))))
    shapes: list[Shape] = [shape for plate in robot.plates for shape in plate_shapes(plate)]
    shapes += trunk_shapes(robot)
    shapes += device_shapes(sheet, robot)
    if layout is not None:
        at = {node.name: node.at for node in layout.net.nodes}
        heights = {terminal: at[node][2] for terminal, node in layout.net.terminals.items()}
        shapes += terminal_shapes(sheet, robot, heights)
        shapes += bundle_shapes(robot, layout)
        shapes += drop_shapes(robot, layout)
        shapes += way_shapes(plan, layout)
    missing = [f"Wires without a line: {id_ranges(ids)}: {why}" for why, ids in sheet.undrawn]
    missing += [f"Not on this drawing: {name}: {why}" for name, why in sorted(sheet.missing)]
    in_order = sorted(shapes, key=repr)  # whatever the order of things in the file
    return write(layers, (*apart(in_order), *_said(plan, missing)))


def _said(plan: Plan, more: Sequence[str]) -> Iterator[Shape]:
    """Write below the plate whose drawing it is, how it is to be read, the caution, and what is not on it."""
    layer = layer_of(Kind.TEXT, plan.robot.plate)
    said = (clean(plan.robot.name) or "robot?", clean(plan.robot.build), f"plan {plan.revision}")
    who = ", ".join(word for word in said if word)
    lines = (
        (_TITLE_MM, who),
        (_LINE_MM, "The Plate from above. 1 drawing unit = 1 mm. Front is up the page (y), up is z."),
        (_LINE_MM, CAUTION),
        (_SMALL_MM, LAST_WORD),
        *((_SMALL_MM, words) for words in more),
    )
    low = -_BELOW_MM
    for height, words in lines:
        yield Words(layer, (0.0, low, 0.0), words, height, begins=True)
        low -= 12.0
