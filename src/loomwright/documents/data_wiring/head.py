"""The head of the Data drawing: which robot, what to measure, how a break shows, what is not known, how to read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from loomwright.documents.data_wiring.sheet import DataSheet, DataWire
from loomwright.documents.data_wiring.wire import strand
from loomwright.documents.every_sheet import CAUTION, LAST_WORD
from loomwright.documents.label import label
from loomwright.documents.look import (
    BODY_MM,
    INK,
    LINE_MM,
    NAME_MM,
    RULE_MM,
    SMALL_MM,
    wire_colour,
)
from loomwright.documents.plate.blocks import text_block
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Stroke
from loomwright.documents.sheet_head import caution_band, title
from loomwright.documents.spine.margin import marked
from loomwright.documents.type import Face, clean, width_mm
from loomwright.documents.wirebar import chip
from loomwright.units import Dimension, show

WHAT: Final = "Data: who follows whom on each chain, network and signal leads"

_WIDE_MM = 230.0
_GAP_MM = 5.0
_FIGURE_MM = 7.4
_MARKED_MM = 6.2
_LEAST_FIGURE_MM = 4.0
_NOTHING: Final = "nothing"
_CAUTION_MM = 12.0
_TITLE_ROOM_MM = 19.0
_SOUND_OHM = 60.0  # two terminators of 120 ohm in parallel
_Part = tuple[tuple[Item, ...], float]


def head(sheet: DataSheet, room: Box) -> _Part:
    """Draw the head of the first page; return it and where it ends."""
    wide = room.width >= _WIDE_MM
    middle = (room.left + room.right + _GAP_MM) / 2
    names = Box(room.left, room.top, middle - _GAP_MM if wide else room.right, room.top + _TITLE_ROOM_MM)
    items: list[Item] = [Group(title(sheet.robot, sheet.build, WHAT, names), "title")]
    y = room.top + _TITLE_ROOM_MM
    if wide:
        caution = Box(middle, room.top + 3, room.right, room.top + 3 + _CAUTION_MM)
    else:
        caution = Box(room.left, y + 2, room.right, y + 2 + _CAUTION_MM)
        y = caution.bottom
    items.append(Group(caution_band(caution, end_mm=8), "caution", "", CAUTION))
    y += 5
    panels = _panels(sheet)
    count = len(panels) if wide else min(2, len(panels))
    cell = (room.width + _GAP_MM) / count
    for begin in range(0, len(panels), count):
        ends = []
        for i, panel in enumerate(panels[begin : begin + count]):
            drawn, end = panel(Box(room.left + i * cell, y, room.left + (i + 1) * cell - _GAP_MM, room.bottom))
            items.append(Group(drawn, "panel"))
            ends.append(end)
        y = max(ends) + 4
    return tuple(items), y


def slim_head(sheet: DataSheet, room: Box, page: int, of: int) -> _Part:
    """Draw the head of a later page; return it and where it ends."""
    who = clean(sheet.robot) or "robot?"
    where = f"Data, page {page} of {of}"
    left = room.right - width_mm(where, Face.TEXT, NAME_MM) - 4
    names = Box(room.left, room.top, left, room.top + 8)
    return (
        *label(who, names, size_mm=NAME_MM * 1.25, face=Face.BOLD, baseline_mm=room.top + 5.4),
        *label(
            where,
            Box(left, room.top, room.right, room.top + 8),
            size_mm=NAME_MM,
            anchor=Anchor.END,
            baseline_mm=room.top + 5.4,
        ),
    ), room.top + 9.5


def footer(sheet: DataSheet, room: Box) -> tuple[Item, ...]:
    """Write the footer at the bottom of a room: robot, build, plan revision, and which source wins."""
    revision = f"plan {clean(sheet.revision)}" if clean(sheet.revision) else ""
    who = " · ".join(word for word in (clean(sheet.robot), clean(sheet.build), revision) if word)
    y = room.bottom - 6
    middle = (room.left + room.right) / 2
    items: tuple[Item, ...] = (
        Line((room.left, y), (room.right, y), Stroke(INK, LINE_MM)),
        *label(who, Box(room.left, y, middle - 4, room.bottom), size_mm=SMALL_MM, baseline_mm=y + 4.8),
        *label(
            LAST_WORD,
            Box(middle - 2, y, room.right, room.bottom),
            size_mm=SMALL_MM,
            anchor=Anchor.END,
            baseline_mm=y + 4.8,
            narrow=True,
        ),
    )
    return (Group(items, "footer"),)


# ------------------------------------------------------------------ panels
def _panels(sheet: DataSheet) -> list[Callable[[Box], _Part]]:
    """Return what there is to say; without a chain, nothing about chains."""

    def told(box: Box) -> _Part:
        figure, words = _unknown(sheet)
        return _panel("NOT KNOWN HERE", figure, words, box, alarming=figure != _NOTHING)

    def read(box: Box) -> _Part:
        return _how_to_read(sheet, box)

    def measure(box: Box) -> _Part:
        return _panel("POWER OFF, METER ON HIGH AND LOW", _reading(sheet), READINGS, box)

    def broken(box: Box) -> _Part:
        return _panel("A BREAK IN A CHAIN", "all after it missing", BREAK, box)

    return [measure, broken, told, read] if sheet.chains else [told, read]


#: Two resistors of 120 ohm in parallel give 60, three give 40; the window is common practice.
READINGS: Final = (
    "50 to 70 is right. 120: one terminator missing, or a break. 40: one too many. "
    "Near 0: high touches low. Open: no terminator."
)
BREAK: Final = (
    "Count from the robot controller. The first device missing is at place 7? Look at the pair from 6 to 7 "
    "and at both of its ends."
)


def _reading(sheet: DataSheet) -> str:
    """Return the reading to expect where all chains that tell it agree; what a chain should read stands at each."""
    known = {chain.expect for chain in sheet.chains if chain.expect} or {show(_SOUND_OHM, Dimension.RESISTANCE)}
    return f"about {known.pop()}" if len(known) == 1 else "see each chain"


def _unknown(sheet: DataSheet) -> tuple[str, str]:
    """Count what is not known yet."""
    orders = sum(not chain.ordered for chain in sheet.chains)
    ids = sum(place.asks for chain in sheet.chains for place in chain.places)
    ends = sum(end is not None and end.state != "fitted" for chain in sheet.chains for end in (chain.start, chain.end))
    wires = sum(not wire.complete for wire in sheet.wires())
    wires += sum(not hop for chain in sheet.chains for hop in chain.hops)
    counted = ((orders, "order"), (ends, "end"), (ids, "id"), (wires, "wire"))
    told = ", ".join(f"{count} {word}{'' if count == 1 else 's'}" for count, word in counted if count)
    if not told:
        return _NOTHING, "Every order, end, id and wire here is known."
    return told, "What is dashed or has a ? waits for an answer. Never guess it."


def _panel(title: str, figure: str, words: str, box: Box, *, alarming: bool = False) -> _Part:
    inset = (2.0, 8.0) if alarming else (0.0, 0.0)
    room = Box(box.left + inset[0], box.top, box.right - inset[1], box.top + 20)
    size = _MARKED_MM if alarming else _FIGURE_MM
    shown = label(figure, room, size_mm=size, least_mm=_LEAST_FIGURE_MM, face=Face.BOLD, baseline_mm=box.top + 13.2)
    below, end = text_block(words, Box(box.left, box.top + (17.6 if alarming else 16.2), box.right, box.bottom))
    return (*_headed(title, box), *(marked(shown) if alarming else shown), *below), end


def _headed(words: str, box: Box) -> tuple[Item, ...]:
    rule = Line((box.left, box.top), (box.right, box.top), Stroke(INK, RULE_MM))
    return (rule, *label(words, box, size_mm=BODY_MM, face=Face.TAG, baseline_mm=box.top + 4.8))


def _how_to_read(sheet: DataSheet, box: Box) -> _Part:
    """Draw one wire with its parts named, and name the colours that the drawing uses."""
    y = box.top + 9.6
    middle = (box.left + box.right) / 2
    colour = next((wire.colour for wire in sheet.wires() if wire.colour), "YE")
    wire = DataWire("W0", colour=colour)
    specimen = strand(wire, box.left, box.right, y, chip((middle, y), (("W0", Face.BOLD), (colour, Face.TAG))))
    named = (("end A", Anchor.START), ("id, colour", Anchor.MIDDLE), ("end B", Anchor.END))
    texts = [
        text
        for words, anchor in named
        for text in label(words, box, size_mm=SMALL_MM, anchor=anchor, baseline_mm=box.top + 15.2)
    ]
    below, end = text_block(" ".join(_reading_words(sheet)), Box(box.left, box.top + 17.8, box.right, box.bottom))
    return (*_headed("HOW TO READ A WIRE", box), Group((*specimen.items,), "specimen"), *texts, *below), end


def _reading_words(sheet: DataSheet) -> list[str]:
    written = {wire.colour for wire in sheet.wires()}
    codes = sorted({code[i : i + 2] for code in written for i in range(0, len(code), 2)})
    words = ["High is the upper wire of a pair; the two are twisted."] if any(c.hops for c in sheet.chains) else []
    return [*words, f"{', '.join(f'{code} {wire_colour(code).name}' for code in codes)}."] if codes else words
