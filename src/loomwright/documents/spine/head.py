"""The head of the Spine: battery to block as an upright chain, and beside it what to know before anything else."""

from __future__ import annotations

import math

from loomwright.documents.every_sheet import CAUTION, LAST_WORD
from loomwright.documents.label import label, paragraph
from loomwright.documents.look import (
    BODY_MM,
    CORNER_MM,
    INK,
    LINE_MM,
    NAME_MM,
    RULE_MM,
    SMALL_MM,
    TITLE_MM,
    WHITE,
    wire_colour,
)
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Polyline, Rect, Stroke
from loomwright.documents.sheet_head import caution_band
from loomwright.documents.spine.columns import EDGE_MM, Columns
from loomwright.documents.spine.margin import TIGHT, margin_words, marked
from loomwright.documents.spine.rows import HEAD_MM
from loomwright.documents.spine.sheet import SpineBlock, SpineBranch, SpineSheet, SpineStation, SpineWire
from loomwright.documents.spine.titled import Baselines, titled
from loomwright.documents.type import Face, clean, shorten
from loomwright.documents.wirebar import LUG_MM, THINNEST_MM, bar, chip, lug

_CHAIN_MM = 62.0
_BOX_MM = 12.4
_LEAD_MM = 23.6
_STATION_LINES = Baselines((5.6, 9.8), (4.5, 7.9, 11.0))
_BLOCK_LINES = Baselines((5.7, 10.1), (5.0, 8.4, 11.5))
_PLUS_MM, _MINUS_MM = 15.0, 48.0
_PANEL_GAP_MM = 8.0
_CLEAR_MM = 0.7  # keeps a lug's round eye off the edge of a box


def head_mm(sheet: SpineSheet) -> float:
    """Return where the first block's box begins [mm]."""
    count = len(sheet.stations)
    return max(EDGE_MM + count * (_BOX_MM + _LEAD_MM), EDGE_MM + 82.0)


def chain(sheet: SpineSheet, at: Columns, top: float) -> tuple[Item, ...]:
    """Draw the stations from the top edge down, with the leads between them, ending above the first block."""
    items: list[Item] = []
    y = EDGE_MM
    gap = (top - EDGE_MM - len(sheet.stations) * _BOX_MM) / max(1, len(sheet.stations))
    places = [y + i * (_BOX_MM + gap) for i in range(len(sheet.stations))]
    first = sheet.roots[0] if sheet.roots else None
    for i, (station, place) in enumerate(zip(sheet.stations, places, strict=True)):
        items += _station(station, at, place)
        last = i == len(sheet.stations) - 1
        plus = first.plus if last and first else station.plus
        items += _lead(plus, at.left + _PLUS_MM, place + _BOX_MM, top if last else places[i + 1], "+")
        if station.both:
            nexts = [p for s, p in zip(sheet.stations[i + 1 :], places[i + 1 :], strict=True) if s.both]
            minus = station.minus if nexts or not first else first.minus
            items += _lead(minus, at.left + _MINUS_MM, place + _BOX_MM, nexts[0] if nexts else top, "−")
    return tuple(items)


def _station(station: SpineStation, at: Columns, top: float) -> tuple[Item, ...]:
    """Draw one station's box; where minus runs past it, the box leaves room for that."""
    width = _CHAIN_MM if station.both else _MINUS_MM - 6.5
    items: list[Item] = [Rect(at.left, top, width, _BOX_MM, CORNER_MM, Stroke(INK, RULE_MM), WHITE)]
    room = Box(at.left + 3, top, at.left + width - 2, top + _BOX_MM)
    items += titled(station.title, station.detail, room, _STATION_LINES)
    return (Group(tuple(items), "station", station.title, clean(f"{station.title} {station.detail}")),)


def _lead(wire: SpineWire | None, x: float, top: float, bottom: float, sign: str) -> tuple[Item, ...]:
    """Draw one lead downwards, end A above, with its sign, its name, and its gauge and length upon it."""
    middle = min(top + bottom, 2 * top + _LEAD_MM) / 2
    signs = [
        text
        for y in (top + 2.6, bottom - 2.6)
        for text in label(sign, Box(x - 8, y - 4, x - 2.6, y + 4), size_mm=BODY_MM, face=Face.BOLD, anchor=Anchor.END)
    ]
    if wire is None:
        gone = Line((x, top), (x, bottom), Stroke(INK, LINE_MM, (2.0, 1.4)))
        return (gone, *signs, *chip((x, middle), (("wire?", Face.BOLD),), dashed=True))
    name = shorten(clean(wire.id), Face.BOLD, SMALL_MM, 14)
    code = clean(wire.colour) or "colour?"
    size = shorten(f"{clean(wire.gauge) or 'gauge?'} · {clean(wire.length) or 'length?'}", Face.TEXT, SMALL_MM, 25)
    items = (
        *bar(
            (x, top + LUG_MM + _CLEAR_MM),
            (x, bottom - LUG_MM - _CLEAR_MM),
            colour=wire.colour,
            copper_mm=wire.copper_mm,
        ),
        lug((x, top + _CLEAR_MM), "down", filled=True),
        lug((x, bottom - _CLEAR_MM), "up", filled=False),
        *chip((x, middle - 2.3), ((name, Face.BOLD), (code, Face.TAG)) if name else ((code, Face.TAG),)),
        *chip((x, middle + 2.3), ((size, Face.TEXT),), dashed="?" in size),
    )
    return (Group(items, "wire", wire.id, clean(f"{wire.id} {code} {size}")), *signs)


def block_box(block: SpineBlock, at: Columns, top: float) -> tuple[Item, ...]:
    """Draw the box at the top of a block's bar."""
    room = Box(at.left + 3, top, at.left + _CHAIN_MM - 3, top + HEAD_MM)
    return (
        Rect(at.left, top, _CHAIN_MM, HEAD_MM, CORNER_MM, Stroke(INK, RULE_MM * 1.8), WHITE),
        *titled(block.title, block.detail, room, _BLOCK_LINES),
    )


def second_feed(sheet: SpineSheet, block: SpineBlock, at: Columns, top: float) -> tuple[Item, ...]:
    """Draw how a further block hangs on the last stations: thin lines down the left edge, then its own leads."""
    stations = list(enumerate(sheet.stations))
    gap = (head_mm(sheet) - EDGE_MM - len(stations) * _BOX_MM) / max(1, len(stations))
    heights = [EDGE_MM + i * (_BOX_MM + gap) + _BOX_MM / 2 for i, _ in stations]
    both = [height for (_, station), height in zip(stations, heights, strict=True) if station.both]
    begin = top - _LEAD_MM
    items: list[Item] = []
    for start, lane, x, turn, wire, sign in (
        (heights[-1:], at.left - 4, at.left + _PLUS_MM, begin - 4, block.plus, "+"),
        (both[-1:], at.left - 8, at.left + _MINUS_MM, begin - 1.5, block.minus, "−"),
    ):
        if start:
            y = start[0] + (2 if x > at.left + _PLUS_MM else -2)
            items.append(Polyline(((at.left, y), (lane, y), (lane, turn), (x, turn), (x, begin)), Stroke(INK, LINE_MM)))
        items += _lead(wire, x, begin, top, sign)
    return tuple(items)


SECOND_FEED_MM = _LEAD_MM + 6


ONE_SHEET = "Spine: the power path on one sheet"


def panel(sheet: SpineSheet, at: Columns, bottom: float, under: str = ONE_SHEET) -> tuple[Item, ...]:
    """Draw title, caution, the three things to know and how to read, to the right of the chain."""
    box = Box(at.left + _CHAIN_MM + _PANEL_GAP_MM, EDGE_MM, at.drop_end, bottom)
    return (
        Group(_title(sheet, box, under), "title"),
        Group(
            caution_band(Box(box.left, box.top + 24, box.right, box.top + 38), end_mm=9, size_mm=5.6),
            "caution",
            "",
            CAUTION,
        ),
        Group(_glance(sheet, Box(box.left, box.top + 46, box.right, box.top + 68)), "glance"),
        Group(_how_to_read(sheet, Box(box.left, box.top + 75, box.right, bottom + HEAD_MM)), "how-to-read"),
    )


def _title(sheet: SpineSheet, box: Box, what: str) -> tuple[Item, ...]:
    """Write the robot's name large, and under it what this sheet is."""
    under = " · ".join(w for w in (what, clean(sheet.build)) if w)
    return (
        *label(
            sheet.robot or "robot?",
            Box(box.left, box.top - 4, box.right, box.top + 13),
            size_mm=TITLE_MM,
            face=Face.BOLD,
            baseline_mm=box.top + 9.2,
        ),
        *label(
            under, Box(box.left, box.top + 12, box.right, box.top + 22), size_mm=NAME_MM, baseline_mm=box.top + 17.6
        ),
    )


def _glance(sheet: SpineSheet, box: Box) -> tuple[Item, ...]:
    """Write the least margin, the slots in use and what is not known yet."""
    third = (box.width + 5) / 3
    items: list[Item] = []
    for i, (head, figure, words, alarming) in enumerate((_least(sheet), _branches(sheet), _unknown(sheet))):
        room = Box(box.left + i * third, box.top, box.left + (i + 1) * third - 5, box.bottom)
        shown = label(figure, room, size_mm=7.4, face=Face.BOLD, baseline_mm=room.top + 13.6)
        items += _headed(head, room)
        items += marked(shown) if alarming else shown
        items += label(words, room, size_mm=SMALL_MM, baseline_mm=room.top + 19.4, narrow=True)
    return tuple(items)


def _least(sheet: SpineSheet) -> tuple[str, str, str, bool]:
    """Name the branch with the least margin; little margin is marked."""
    known: list[tuple[float, SpineBranch]] = [
        (b.used, b) for b in sheet.branches() if not b.free and b.used is not None and math.isfinite(b.used)
    ]
    if not known:
        return ("LEAST MARGIN", "not known", "no branch has all its numbers yet", False)
    used, branch = max(known, key=lambda pair: pair[0])
    where = ", ".join(w for w in (clean(branch.load), clean(branch.binds)) if w)
    return ("LEAST MARGIN", margin_words(max(0.0, used), ""), where, used > TIGHT)


def _branches(sheet: SpineSheet) -> tuple[str, str, str, bool]:
    """Count what hangs on the bars, and the slots that are free."""
    branches = sheet.branches()
    free = sum(branch.free for branch in branches)
    slots = f"{free} slot{'s' if free > 1 else ''} free" if free else "no slot free"
    return ("BRANCHES", str(len(branches) - free), slots, False)


def _unknown(sheet: SpineSheet) -> tuple[str, str, str, bool]:
    """Count the wires that lack a length, a gauge or a colour."""
    lacking = sum(not wire.complete for wire in sheet.wires())
    if not lacking:
        return ("NOT KNOWN HERE", "nothing", "every wire here has colour, gauge and length", False)
    return ("NOT KNOWN HERE", f"{lacking} wire{'s' if lacking > 1 else ''}", "lack what is marked with ?", False)


def _how_to_read(sheet: SpineSheet, box: Box) -> tuple[Item, ...]:
    """Draw one wire and one margin bar with each part named, and name the colours that the sheet uses."""
    third = (box.width + 5) / 3
    wire = Box(box.left, box.top, box.left + 2 * third - 5, box.top + 22)
    margin = Box(box.left + 2 * third, box.top, box.right, box.top + 22)
    words = (
        f"Plus is the upper wire of a pair. Bars are as thick as bare copper, {THINNEST_MM} mm at least, at full size."
    )
    return (
        *_specimen_wire(wire),
        *_specimen_margin(margin),
        *paragraph(
            " ".join((words, _colours(sheet))), Box(box.left, box.top + 22, box.right, box.bottom), size_mm=SMALL_MM
        ),
    )


def _specimen_wire(box: Box) -> tuple[Item, ...]:
    """Draw a wire as the rows do, with its parts named below."""
    y, below = box.top + 10.5, box.top + 16.8
    name, flag = box.left + box.width * 0.3, box.left + box.width * 0.7
    quarter = box.width / 4
    named = (
        ("end A, filled", Box(box.left, y, box.left + quarter, box.bottom), Anchor.START),
        ("id and colour", Box(name - quarter / 2, y, name + quarter / 2, box.bottom), Anchor.MIDDLE),
        ("gauge, length", Box(flag - quarter / 2, y, flag + quarter / 2, box.bottom), Anchor.MIDDLE),
        ("end B, hollow", Box(box.right - quarter, y, box.right, box.bottom), Anchor.END),
    )
    items: tuple[Item, ...] = (
        *bar((box.left + LUG_MM, y), (box.right - LUG_MM, y), colour="RD", copper_mm=2.0),
        lug((box.left, y), "right", filled=True),
        lug((box.right, y), "left", filled=False),
        *chip((name, y), (("W0", Face.BOLD), ("RD", Face.TAG))),
        *chip((flag, y), (("12 AWG · 85 cm", Face.TEXT),)),
    )
    texts = [
        t
        for words, room, anchor in named
        for t in label(words, room, size_mm=SMALL_MM, anchor=anchor, baseline_mm=below)
    ]
    return (*_headed("HOW TO READ A WIRE", box), Group(items, "specimen", "", "A wire, as an example"), *texts)


def _specimen_margin(box: Box) -> tuple[Item, ...]:
    """Draw a margin bar as the rows do, with its meaning below."""
    y = box.top + 10.5
    edge = Stroke(INK, LINE_MM)
    items = (
        Rect(box.left, y - 1.85, 26, 3.7, 0, None, WHITE),
        Rect(box.left, y - 1.85, 18, 3.7, 0, None, INK),
        Rect(box.left, y - 1.85, 26, 3.7, 0, edge),
    )
    words = label("ink is used, white is left", box, size_mm=SMALL_MM, baseline_mm=box.top + 16.8)
    return (*_headed("... AND A MARGIN", box), Group(items, "specimen", "", "A margin bar, as an example"), *words)


def _headed(words: str, box: Box) -> tuple[Item, ...]:
    """Draw a rule with a table head under it."""
    rule = Line((box.left, box.top), (box.right, box.top), Stroke(INK, RULE_MM))
    return (rule, *label(words, box, size_mm=BODY_MM, face=Face.TAG, baseline_mm=box.top + 4.8))


def _colours(sheet: SpineSheet) -> str:
    """Name the colours that the sheet's wires have."""
    written = {wire.colour for wire in sheet.wires()}
    codes = {code[i : i + 2] for code in written for i in range(0, len(code), 2)}
    return f"Colours: {', '.join(f'{code} {wire_colour(code).name}' for code in sorted(codes))}." if codes else ""


def footer(sheet: SpineSheet, at: Columns, y: float) -> tuple[Item, ...]:
    """Write the footer: robot, build, plan revision, and which source wins."""
    who = " · ".join(
        w
        for w in (
            clean(sheet.robot),
            clean(sheet.build),
            f"plan {clean(sheet.revision)}" if clean(sheet.revision) else "",
        )
        if w
    )
    middle = (EDGE_MM + at.drop_end) / 2
    return (
        Group(
            (
                Line((EDGE_MM, y), (at.drop_end, y), Stroke(INK, LINE_MM)),
                *label(who, Box(EDGE_MM, y, middle - 4, y + 8), size_mm=SMALL_MM, baseline_mm=y + 5),
                *label(
                    LAST_WORD,
                    Box(middle - 2, y, at.drop_end, y + 8),
                    size_mm=SMALL_MM,
                    anchor=Anchor.END,
                    baseline_mm=y + 5,
                ),
            ),
            "footer",
        ),
    )
