"""How to read the Plate: each mark that a sheet uses, drawn small, with what it means."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from loomwright.documents.label import label
from loomwright.documents.look import HAIR_MM, INK, LINE_MM, SAND, SMALL_MM, WHITE, wire_colour
from loomwright.documents.plate.badges import badge, joint
from loomwright.documents.plate.bands import DASHED, empty_band, partly_empty
from loomwright.documents.plate.blocks import Block, Drawn, headed, separator
from loomwright.documents.plate.devices import ABOVE_M, TERMINAL_MM, mount
from loomwright.documents.plate.sheet import PlateSheet, passages
from loomwright.documents.plate.wires import hole
from loomwright.documents.scene import Anchor, Box, Circle, Group, Item, Line, Rect, Stroke, Text
from loomwright.documents.type import Face, cap_mm, width_mm
from loomwright.layout.result import Course

_Sample = Callable[[float, float], tuple[Item, ...]]

_COLUMN_MM = 44.5
_ROW_MM = 6.6
_GAP_MM = 2.0
_WORDS_MM = 16.2  # where the words begin


def how_to_read(sheet: PlateSheet) -> Iterator[Block]:
    """Show each mark that this sheet uses with its meaning."""
    samples = list(_samples(sheet))
    if samples:
        yield _legend(samples)
        yield separator


def _legend(samples: Sequence[tuple[_Sample, str]]) -> Block:
    """Show marks with their meaning, in as many columns as there is room for."""

    def draw(room: Box) -> Drawn:
        items, top = headed("HOW TO READ", room)
        found = list(items)
        columns = max(1, int((room.width + _GAP_MM) // _COLUMN_MM))
        step = (room.width + _GAP_MM) / columns
        per_column = -(-len(samples) // columns)
        wide = step - _WORDS_MM - _GAP_MM
        fits = all(width_mm(words, Face.TEXT, SMALL_MM) <= wide for _, words in samples)
        face = Face.TEXT if fits else Face.TAG
        for i, (mark, words) in enumerate(samples):
            left, y = room.left + (i // per_column) * step, top + 3.4 + (i % per_column) * _ROW_MM
            found += mark(left, y)
            said = Box(left + _WORDS_MM, y - 4, left + _WORDS_MM + wide, y + 4)
            found += label(words, said, size_mm=SMALL_MM, face=face)
        return (Group(tuple(found), "how-to-read"),), top + per_column * _ROW_MM

    return draw


def _samples(sheet: PlateSheet) -> Iterator[tuple[_Sample, str]]:
    """Give the marks that the sheet uses, and what each one means."""
    bundles = [stretch.bundle for stretch in sheet.bundles if stretch.bundle is not None]
    marks: tuple[tuple[bool, _Sample, str], ...] = (
        (any(not trunk.proposed for trunk in sheet.trunks), _drawn, "trunk: RD, BK, YE, GN"),
        (any(trunk.proposed for trunk in sheet.trunks), _proposed, "a trunk that is proposed"),
        (any(partly_empty(sheet, trunk) for trunk in sheet.trunks), _empty, "a trunk without wires"),
        (bool(sheet.runs), _named, "wires by their ids"),
        (bool(bundles), lambda x, y: badge((x + 2.5, y), 9, "B"), "bundle B has 9 wires"),
        (any(bundle.ties for bundle in bundles), _tie, "a tie around the bundle"),
        (any(bundle.moving for bundle in bundles), lambda x, y: joint((x + 3, y), ""), "moves: add so much"),
        (bool(sheet.grommets), _ring, "edge, needs a grommet"),
        (any(stretch.course is Course.LOOSE for stretch in sheet.stretches), _loose, "wires that lie loose"),
        (any(device.above_m >= ABOVE_M for device in sheet.devices), _high, "stands above the plate"),
        (any(device.shock_mounted for device in sheet.devices), _mounted, "sits on shock mounts"),
        (bool(passages(sheet)), _hole, "to another plate"),
        (bool(sheet.terminals), _ends, "end A filled, end B hollow"),
    )
    yield from ((mark, words) for used, mark, words in marks if used)


def _drawn(x: float, y: float) -> tuple[Item, ...]:
    return _bundle(x, y, dashed=False)


def _proposed(x: float, y: float) -> tuple[Item, ...]:
    return _bundle(x, y, dashed=True)


def _named(x: float, y: float) -> tuple[Item, ...]:
    words = "W8, W9"
    wide, tall = width_mm(words, Face.TAG, SMALL_MM), cap_mm(Face.TAG, SMALL_MM)
    ground = Rect(x + 7 - wide / 2 - 0.4, y - tall / 2 - 0.5, wide + 0.8, tall + 1.0, 0, None, WHITE)
    return (*_wires(x, y, ("RD", "BK")), ground, Text((x + 7, y + tall / 2), words, SMALL_MM, Face.TAG, Anchor.MIDDLE))


def _empty(x: float, y: float) -> tuple[Item, ...]:
    return empty_band(((x, y), (x + 14, y)))


def _wires(x: float, y: float, colours: Sequence[str], dash: tuple[float, ...] = ()) -> tuple[Item, ...]:
    items: list[Item] = []
    tall = 0.9
    first = y - (len(colours) - 1) * tall / 2
    for i, code in enumerate(colours):
        at = first + i * tall
        items.append(Line((x, at), (x + 14, at), Stroke(INK, tall + 0.02, dash)))
        if code != "BK":
            items.append(Line((x, at), (x + 14, at), Stroke(wire_colour(code).fill, tall - 0.22, dash)))
    return tuple(items)


def _bundle(x: float, y: float, *, dashed: bool) -> tuple[Item, ...]:
    edge = Stroke(INK, 5.2 + 2 * HAIR_MM, DASHED if dashed else ())
    band = (Line((x, y), (x + 14, y), edge), Line((x, y), (x + 14, y), Stroke(SAND, 5.2)))
    return (*band, *_wires(x, y, ("RD", "BK", "YE", "GN")))


def _tie(x: float, y: float) -> tuple[Item, ...]:
    bar = (
        Line((x + 7, y - 2.4), (x + 7, y + 2.4), Stroke(WHITE, 1.5)),
        Line((x + 7, y - 2.4), (x + 7, y + 2.4), Stroke(INK, 0.9)),
    )
    return (*_wires(x, y, ("RD", "BK")), *bar)


def _ring(x: float, y: float) -> tuple[Item, ...]:
    ring = (Circle((x + 7, y), 2.2, Stroke(WHITE, 1.7)), Circle((x + 7, y), 2.2, Stroke(INK, 0.7)))
    return (*_wires(x, y, ("RD", "BK")), *ring)


def _loose(x: float, y: float) -> tuple[Item, ...]:
    return _wires(x, y, ("RD", "BK"), (1.5, 0.9))


def _high(x: float, y: float) -> tuple[Item, ...]:
    left, top, right, bottom = x + 2, y - 2.3, x + 12, y + 2.3
    cut = 1.4
    lines = (
        Line((left + cut, top), (left, top + cut), Stroke(INK, HAIR_MM)),
        Line((right - cut, top), (right, top + cut), Stroke(INK, HAIR_MM)),
        Line((left + cut, bottom), (left, bottom - cut), Stroke(INK, HAIR_MM)),
        Line((right - cut, bottom), (right, bottom - cut), Stroke(INK, HAIR_MM)),
    )
    return (Rect(left, top, right - left, bottom - top, 0, Stroke(INK, LINE_MM), WHITE), *lines)


def _mounted(x: float, y: float) -> tuple[Item, ...]:
    left, top, right, bottom = x + 3, y - 1.5, x + 11, y + 1.5
    pads = tuple(mount((across, up), 1.5) for across in (left, right) for up in (top, bottom))
    return (*pads, Rect(left, top, right - left, bottom - top, 0, Stroke(INK, LINE_MM), WHITE))


def _hole(x: float, y: float) -> tuple[Item, ...]:
    return (*_wires(x, y, ("RD", "BK")), hole((x + 12.5, y)))


def _ends(x: float, y: float) -> tuple[Item, ...]:
    edge = Stroke(INK, LINE_MM)
    return (
        *_wires(x, y, ("RD", "BK")),
        Circle((x + 0.6, y), TERMINAL_MM, edge, INK),
        Circle((x + 13.4, y), TERMINAL_MM, edge, WHITE),
    )
