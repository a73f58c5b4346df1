"""What stands beside the plate: title, caution, scale, and what has to be known of the drawing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from loomwright.documents.every_sheet import CAUTION
from loomwright.documents.label import label, paragraph
from loomwright.documents.look import BODY_MM, HI_VIS, INK, NAME_MM, RULE_MM, SMALL_MM, TITLE_MM, WHITE
from loomwright.documents.plate.blocks import Block, Drawn, below, headed, separator, text_block
from loomwright.documents.plate.rulers import scale_bar, scale_words
from loomwright.documents.plate.sheet import PlateSheet
from loomwright.documents.plate.table import id_ranges
from loomwright.documents.scene import Box, Group, Hatch, Item, Rect, Stroke
from loomwright.documents.type import Face, clean, width_mm

PROPOSED = "Dashed: proposed. Write it under trunks: to keep or change it."


def title(sheet: PlateSheet, scale: float | None, paper: str) -> Block:
    """Write the robot's name large, and under it what this sheet is."""
    told = [f"Plate: from above, to scale {scale_words(scale)}" if scale else "Plate", clean(sheet.build)]
    under = " · ".join(word for word in (*told, paper) if word)

    def draw(room: Box) -> Drawn:
        name = Box(room.left, room.top - 3, room.right, room.top + 12)
        items: tuple[Item, ...] = label(
            sheet.robot or "robot?",
            name,
            size_mm=TITLE_MM,
            least_mm=7.0,
            face=Face.BOLD,
            baseline_mm=room.top + 8.4,
        )
        second = Box(room.left, room.top + 11, room.right, room.top + 17)
        items = (*items, *label(under, second, size_mm=NAME_MM, least_mm=SMALL_MM, baseline_mm=room.top + 15.4))
        return (Group(items, "title"),), room.top + 17

    return draw


def caution() -> Block:
    """Draw the caution between hazard stripes, on as many lines as it needs."""

    def draw(room: Box) -> Drawn:
        tab = 6.0
        inner = room.width - 2 * tab - 6
        size = min(5.0, max(BODY_MM, 5.0 * inner / (width_mm(CAUTION, Face.BOLD, 5.0) + 0.1)))
        lines = paragraph(CAUTION, below(Box(room.left, 0, room.left + inner, 0), 0), size_mm=size, face=Face.BOLD)
        tall = 5.0 + len(lines) * size * 1.35
        stripes = Hatch(4.0, 2.0, 45.0, INK, HI_VIS)
        text = Box(room.left + tab + 3, room.top + 2.9, room.right - tab - 3, room.top + tall)
        items: tuple[Item, ...] = (
            Rect(room.left, room.top, room.width, tall, 0, Stroke(INK, RULE_MM), WHITE),
            Rect(room.left, room.top, tab, tall, 0, Stroke(INK, RULE_MM), stripes),
            Rect(room.right - tab, room.top, tab, tall, 0, Stroke(INK, RULE_MM), stripes),
            *paragraph(CAUTION, text, size_mm=size, face=Face.BOLD),
        )
        return (Group(items, "caution", "", CAUTION),), room.top + tall

    return draw


def scale_block(scale: float) -> Block:
    """Draw the scale bar with what it is for."""
    words = "On the robot. Bar and rulers stay true when printed smaller."

    def draw(room: Box) -> Drawn:
        bar = scale_bar(scale, Box(room.left + 0.3, room.top + 0.5, room.right, room.top + 12))
        said, end = text_block(words, below(room, room.top + 7.4))
        return (*bar, *said), end

    return draw


def notes(sheet: PlateSheet, homeless: Sequence[str]) -> Iterator[Block]:
    """Give what a reader has to know beyond the drawing."""
    if any(trunk.proposed for trunk in sheet.trunks):
        yield _note(PROPOSED, face=Face.BOLD)
        yield separator
    if homeless:
        yield _note(f"No room to write on the drawing: {clean(', '.join(homeless))}.")
        yield separator
    if sheet.undrawn:
        yield _undrawn(sheet)
        yield separator
    if sheet.missing:
        yield not_shown(sheet)
        yield separator


def _undrawn(sheet: PlateSheet) -> Block:
    """Name the wires that have no line, with the reason."""
    told = [f"{clean(why)}: {id_ranges(ids)}" for why, ids in sheet.undrawn]
    return _listed("WIRES THAT ARE NOT DRAWN", told, "undrawn")


def not_shown(sheet: PlateSheet) -> Block:
    """Name what is not on the drawing, with the reason."""
    told = [f"{clean(why)}: {clean(', '.join(things))}" for why, things in _by_reason(sheet.missing)]
    return _listed("NOT ON THIS DRAWING", told, "missing")


def _listed(head: str, told: Sequence[str], role: str) -> Block:
    def draw(room: Box) -> Drawn:
        items, end = headed(head, room)
        for words in told:
            said, end = text_block(words, below(room, end))
            items = (*items, *said)
        return (Group(items, role),), end

    return draw


def _by_reason(missing: Sequence[tuple[str, str]]) -> list[tuple[str, list[str]]]:
    """Gather what is missing for the same reason."""
    found: dict[str, list[str]] = {}
    for thing, why in missing:
        found.setdefault(why, []).append(thing)
    return list(found.items())


def _note(words: str, *, face: Face = Face.TEXT) -> Block:
    def draw(room: Box) -> Drawn:
        return text_block(words, room, face=face)

    return draw
