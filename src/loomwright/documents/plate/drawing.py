"""The Plate: the robot from above, to scale, with its devices and the way of every wire.

The page is A4 or A3, whichever carries the largest drawing together with the table of bundles beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loomwright.documents.label import label
from loomwright.documents.look import NAME_MM, SMALL_MM, WHITE
from loomwright.documents.plate.bands import band_items
from loomwright.documents.plate.blocks import Block, new_column, separator
from loomwright.documents.plate.devices import device_items, plate_items, terminal_items
from loomwright.documents.plate.foot import footer
from loomwright.documents.plate.frame import Frame, extent_of
from loomwright.documents.plate.info import caution, notes, scale_block, title
from loomwright.documents.plate.lanes import Lanes, Ribbon, lanes, ribbons
from loomwright.documents.plate.legend import how_to_read
from loomwright.documents.plate.names import Names, names
from loomwright.documents.plate.nowhere import nowhere
from loomwright.documents.plate.page import Page, choose, flow
from loomwright.documents.plate.rulers import front_mark, on_white, rulers, unit_mark
from loomwright.documents.plate.sheet import PlatePanel, PlateSheet
from loomwright.documents.plate.table import facts, table
from loomwright.documents.plate.wires import (
    grommet_items,
    passage_items,
    ribbon_items,
    tie_items,
    tube_items,
)
from loomwright.documents.scene import Box, Group, Item, Rect, Scene
from loomwright.documents.type import Face, clean


@dataclass(frozen=True, slots=True)
class _Drawn:
    """The lines of all wires on the page."""

    lanes: Lanes
    ribbons: tuple[Ribbon, ...]

    def on(self, plate: int) -> tuple[Ribbon, ...]:
        """Return those of one plate."""
        return tuple(ribbon for ribbon in self.ribbons if ribbon.plate == plate)


def draw(sheet: PlateSheet) -> Scene:
    """Draw the sheet as a scene; where no thing has a place, a page that says how to give it one."""
    if not sheet.panels:
        return nowhere(sheet)
    extents = [extent_of(sheet, plate) for plate in range(len(sheet.panels))]
    drawing = lay_out(sheet, choose(extents, lambda scale, paper: said(sheet, scale, paper, ())))
    if homeless := drawing.homeless:
        drawing = lay_out(sheet, choose(extents, lambda scale, paper: said(sheet, scale, paper, homeless)))
    page = drawing.page
    items: list[Item] = [Rect(0, 0, page.paper.width_mm, page.paper.height_mm, fill=WHITE), *drawing.panels]
    items += flow(said(sheet, page.scale, page.paper.name, homeless), page.columns) or ()
    items += footer(sheet, page.paper.width_mm, page.paper.height_mm)
    return Scene(*called(sheet), page.paper.width_mm, page.paper.height_mm, tuple(items))


@dataclass(frozen=True, slots=True)
class Drawing:
    """The panels of a sheet as they are drawn on a page, and the things whose names found no room there."""

    page: Page
    panels: tuple[Item, ...]
    homeless: tuple[str, ...]


def lay_out(sheet: PlateSheet, page: Page) -> Drawing:
    """Give every wire its line on a page and every name its place, and draw the panels."""
    held = lanes(sheet, page.frames)
    drawn = _Drawn(held, ribbons(sheet, held, page.frames))
    written = {plate: names(sheet, plate, frame, held, drawn.on(plate)) for plate, frame in page.frames.items()}
    panels = tuple(_panel(sheet, plate, frame, drawn, written[plate]) for plate, frame in page.frames.items())
    return Drawing(page, panels, tuple(name for found in written.values() for name in found.homeless))


def called(sheet: PlateSheet) -> tuple[str, str, str]:
    """Return the name of the drawing in files, its title and what it shows."""
    return "plate", f"Plate of {clean(sheet.robot)}", _description(sheet)


def said(sheet: PlateSheet, scale: float, paper: str, homeless: Sequence[str]) -> list[Block]:
    """Return what stands beside the panels, in order."""
    blocks: list[Block] = [title(sheet, scale, paper), separator, caution(), separator, scale_block(scale), separator]
    blocks += [*how_to_read(sheet), *notes(sheet, homeless)]
    if sheet.bundles:
        blocks += [facts(sheet), separator]
    return [*blocks, new_column, *table(sheet)]


def _panel(sheet: PlateSheet, plate: int, frame: Frame, drawn: _Drawn, written: Names) -> Group:
    """Draw one plate: what lies lowest first, words last."""
    panel, held = sheet.panels[plate], drawn.lanes
    items = (
        *plate_items(panel, frame),
        *band_items(sheet, plate, frame, held),
        *device_items(sheet, plate, frame),
        *ribbon_items(drawn.on(plate)),
        *tube_items(sheet, plate, held),
        *tie_items(sheet, plate, frame, held),
        *grommet_items(sheet, plate, frame, held),
        *passage_items(sheet, plate, frame),
        *terminal_items(sheet, plate, frame),
        *written.items,
        *rulers(frame),
        *unit_mark(frame),
        *front_mark(frame),
        *_plate_name(panel, frame),
    )
    return Group(items, "panel", panel.name, _called(panel))


def _called(panel: PlatePanel) -> str:
    """Name a plate with its height."""
    if not panel.name:
        return "Base plate"
    return f"{clean(panel.name)}, {panel.height_m * 100:.0f} cm up"


def _plate_name(panel: PlatePanel, frame: Frame) -> tuple[Item, ...]:
    """Write a plate's name above its left corner."""
    box = Box(frame.box.left, frame.box.top - 6, (frame.box.left + frame.box.right) / 2 - 14, frame.box.top)
    down = box.bottom - 1.6
    return on_white(
        label(_called(panel), box, size_mm=NAME_MM, least_mm=SMALL_MM, face=Face.BOLD, baseline_mm=down, narrow=True)
    )


def _description(sheet: PlateSheet) -> str:
    """Say in two sentences what a person who can't see the drawing would want to know first."""
    plates = "one plate" if len(sheet.panels) == 1 else f"{len(sheet.panels)} plates"
    ways = f"{len(sheet.runs)} runs of wires in {len(sheet.bundles)} bundles" if sheet.runs else "no wires routed"
    return f"The robot from above, to scale: {plates} with {len(sheet.devices)} devices, {ways}."
