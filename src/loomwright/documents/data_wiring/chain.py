"""A chain of the Data drawing: devices in rows that are read as text is, the wires between them drawn as themselves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from loomwright.documents.data_wiring.device import BOX_MM, TAG_MM, box_of, foot, foot_mm
from loomwright.documents.data_wiring.end import terminator
from loomwright.documents.data_wiring.flow import Piece, Run
from loomwright.documents.data_wiring.sheet import DataChain, DataWire
from loomwright.documents.data_wiring.wire import length_words, name_chip, strand
from loomwright.documents.label import label
from loomwright.documents.look import INK, LINE_MM, NAME_MM, RULE_MM, SMALL_MM
from loomwright.documents.plate.blocks import text_block
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Point, Polyline, Stroke
from loomwright.documents.type import Face, clean
from loomwright.documents.wirebar import LUG_MM, chip

_LEAD_IN_MM = 4.0
_GUTTER_MM = 17.0
_LEAST_CELL_MM = 59.5
_WIRE_MM = (29.0, 38.0)
_WIRE_SHARE = 0.45
_BETWEEN_MM = 5.6
_LOOSE_GAP_MM = 5.0
_HEAD_MM = 10.5
_LINE_MM = SMALL_MM * 1.3
_HIGH_MM, _LOW_MM, _LENGTH_MM = 4.9, 10.1, 15.4
_THIN = Stroke(INK, LINE_MM)
_BEYOND_MM = 1.2
_END_FOOT_MM = 2.8  # below a terminator stands how it is there
_AGAIN_MM = 9.5
_CORNER_MM = 1.6


@dataclass(frozen=True, slots=True)
class Grid:
    """How a chain is laid out: devices in a row, and how wide a wire and a device are [mm]."""

    count: int
    wire_mm: float
    box_mm: float

    @property
    def cell_mm(self) -> float:
        """A wire with the device that it leads to [mm]."""
        return self.wire_mm + self.box_mm


def grid(width_mm: float) -> Grid:
    """Return the layout for a width: as many devices in a row as can be read."""
    room = width_mm - _LEAD_IN_MM - _GUTTER_MM
    count = max(1, int(room / _LEAST_CELL_MM + 0.13))
    cell = room / count
    wire = min(max(cell * _WIRE_SHARE, _WIRE_MM[0]), _WIRE_MM[1])
    return Grid(count, wire, cell - wire)


def runs_of(chain: DataChain, width_mm: float) -> Iterator[Run]:
    """Give the pieces of a chain: its head with the first row, its rows, and what has to be said about it."""
    head = Piece(_head_height(chain, width_mm), partial(_head, chain))
    at = grid(width_mm)
    rows = list(_ordered_rows(chain, at)) if chain.ordered else list(_loose_rows(chain, at, width_mm))
    yield (head, *rows[:1])
    for row in rows[1:]:
        yield (row,)
    for note in chain.notes:
        yield note_run(note, width_mm)


def note_run(note: str, width_mm: float) -> Run:
    """Return something to look at, in as many lines as it takes, with a mark before it."""

    def draw(room: Box, _first: bool, _last: bool) -> tuple[Item, ...]:  # noqa: FBT001  called by the flow
        mark = Line((room.left + 0.6, room.top + 1.2), (room.left + 0.6, room.top + height), Stroke(INK, RULE_MM))
        words, _ = text_block(note, Box(room.left + 4, room.top + 1.6, room.right, room.bottom))
        return (Group((mark, *words), "note", "", clean(note)),)

    _, end = text_block(note, Box(4, 0, width_mm, 0))
    height = end + 0.6
    return (Piece(height + 1.6, draw),)


# ------------------------------------------------------------------ head
def _head_height(chain: DataChain, width_mm: float) -> float:
    _, end = text_block(how_to_find(chain), Box(0, 0, width_mm, 0))
    return _HEAD_MM + end


def _head(chain: DataChain, room: Box, _first: bool, _last: bool) -> tuple[Item, ...]:  # noqa: FBT001
    """Draw the name of a chain under a rule, beside it what is known of it, below it how to find a break."""
    middle = room.left + room.width * 0.42
    base = room.top + 6.4
    items: tuple[Item, ...] = (
        Line((room.left, room.top), (room.right, room.top), Stroke(INK, RULE_MM)),
        *label(
            chain.name,
            Box(room.left, room.top, middle, room.top + 9),
            size_mm=NAME_MM * 1.25,
            least_mm=NAME_MM,
            face=Face.BOLD,
            baseline_mm=base,
        ),
        *label(
            facts(chain),
            Box(middle + 4, room.top, room.right, room.top + 9),
            size_mm=SMALL_MM * 1.1,
            least_mm=SMALL_MM,
            anchor=Anchor.END,
            baseline_mm=base,
        ),
    )
    words, _ = text_block(how_to_find(chain), Box(room.left, room.top + 8.8, room.right, room.bottom))
    return (Group((*items, *words), "chain-head", chain.name, clean(f"Chain {chain.name}: {facts(chain)}")),)


def continued(words: str, room: Box) -> tuple[Item, ...]:
    """Say under a rule what goes on at the head of a page."""
    line = Line((room.left, room.top), (room.right, room.top), Stroke(INK, RULE_MM))
    below = Box(room.left, room.top, room.right, room.top + 8)
    return (line, *label(words, below, size_mm=NAME_MM, face=Face.BOLD, baseline_mm=room.top + 5.6))


def facts(chain: DataChain) -> str:
    """Say in one line how many devices there are, where the order comes from, and what a meter should read."""
    count = len(chain.places)
    reading = f"power off, high to low: about {chain.expect}" if chain.expect else ""
    devices = f"{count} device{'' if count == 1 else 's'}"
    return " · ".join(word for word in (devices, chain.order, reading) if word)


def how_to_find(chain: DataChain) -> str:
    """Say what to do about an order that nobody knows, or how a break shows where the computer is not at the start."""
    if not chain.places:
        return "The file does not say which devices are on it."
    if not chain.ordered:
        return (
            "No order is drawn. Follow the wires from device to device, write each place into its circle, "
            "then into the robot file."
        )
    if chain.seen_from > 1:
        return (
            f"The computer that reads this chain is at place {chain.seen_from}: a break takes away all devices "
            "that lie beyond it, seen from there."
        )
    return "" if chain.seen_from else "No computer is told to be on this chain: who reads it?"


# ------------------------------------------------------------------ a chain in order
def _ordered_rows(chain: DataChain, at: Grid) -> Iterator[Piece]:
    heights = [_row_height(chain, begin, at) for begin in range(0, len(chain.places), at.count)]
    for row, begin in enumerate(range(0, len(chain.places), at.count)):
        before = heights[row - 1] if row else 0.0
        height = heights[row] + (_BETWEEN_MM if begin + at.count < len(chain.places) else 1.6)
        yield Piece(height, partial(_row, chain, at, begin, before + _BETWEEN_MM), _AGAIN_MM)


def _row_height(chain: DataChain, begin: int, at: Grid) -> float:
    """Return the height of a row without the white below it [mm]; a row with something to say is taller."""
    feet = [foot_mm(place, at.box_mm) for place in chain.places[begin : begin + at.count]]
    at_end = begin + at.count >= len(chain.places) or begin == 0
    return TAG_MM / 2 + BOX_MM + max(*feet, _END_FOOT_MM if at_end else 0.0, 0.0)


def _row(
    chain: DataChain,
    at: Grid,
    begin: int,
    pitch_mm: float,
    room: Box,
    first: bool,  # noqa: FBT001  called by the flow
    last: bool,  # noqa: FBT001
) -> tuple[Item, ...]:
    """Draw the devices of one row, each with the wires that lead to it, and the way from the row above."""
    again = continued(f"{chain.name}, continued", room) if begin and first else ()
    top = room.top + (_AGAIN_MM if again else 0.0) + TAG_MM / 2
    items: list[Item] = [*again]
    here = chain.places[begin : begin + at.count]
    for column, place in enumerate(here):
        i = begin + column
        left = room.left + _LEAD_IN_MM + column * at.cell_mm
        box = Box(left + at.wire_mm, top, left + at.cell_mm, top + BOX_MM)
        if i:
            items += _hop(chain.hops[i - 1], left, box.left, top)
        elif chain.start is not None:
            items += terminator(chain.start, box, to_left=True)
        items += [box_of(place, box, i + 1), *foot(place, box)]
    end = room.left + _LEAD_IN_MM + len(here) * at.cell_mm
    behind = begin + len(here) < len(chain.places)
    if not behind and chain.end is not None:
        items += terminator(chain.end, Box(end - at.box_mm, top, end, top + BOX_MM), to_left=False)
    if begin and not first:
        items += _return(room.left, end=room.left + _LEAD_IN_MM + at.count * at.cell_mm, top=top, pitch_mm=pitch_mm)
    if begin and first:
        items += _from_page(room.left, top, begin)
    if behind and last:
        items += _to_page(end, top, begin + len(here) + 1)
    return (Group(tuple(items), "chain-row", chain.name, clean(chain.name)),)


def _hop(wires: tuple[DataWire, ...], left: float, right: float, top: float) -> tuple[Item, ...]:
    """Draw the pair between two devices, high above low, with gauge and length below it."""
    middle = (left + right) / 2
    if not wires:
        y = top + (_HIGH_MM + _LOW_MM) / 2
        gone = Line((left, y), (right, y), Stroke(INK, LINE_MM, (2.0, 1.4)))
        return (Group((gone, *chip((middle, y), (("wire?", Face.BOLD),), dashed=True)), "no-wire"),)
    room_mm = right - left - 2 * LUG_MM - 1.6
    items: list[Item] = []
    for wire, y in zip(wires, _levels(wires, top), strict=True):
        items.append(strand(wire, left, right, y, name_chip(wire, middle, y, room_mm)))
    words = label(
        _pair_words(wires),
        Box(left + 0.6, top + _LENGTH_MM - 4, right - 0.6, top + _LENGTH_MM + 2),
        size_mm=SMALL_MM,
        anchor=Anchor.MIDDLE,
        baseline_mm=top + _LENGTH_MM,
        narrow=True,
    )
    return (Group((*items, *words), "hop"),)


def _levels(wires: Sequence[DataWire], top: float) -> list[float]:
    """Return where the wires of a hop lie: high and low, or one between."""
    if len(wires) == 1:
        return [top + (_HIGH_MM + _LOW_MM) / 2]
    return [top + _HIGH_MM + i * (_LOW_MM - _HIGH_MM) / (len(wires) - 1) for i in range(len(wires))]


def _pair_words(wires: Sequence[DataWire]) -> str:
    """Write gauge and length once where the wires of a pair agree, else of each."""
    told = dict.fromkeys(f"{clean(wire.gauge) or 'gauge?'} · {length_words(wire)}" for wire in wires)
    return ", ".join(told)


def _return(left: float, *, end: float, top: float, pitch_mm: float) -> tuple[Item, ...]:
    """Draw the way of a pair from the end of the row above to the start of this one."""
    items: list[Item] = []
    gap_y = top - TAG_MM / 2 - _BETWEEN_MM / 2 + 0.4
    for y, off in ((_HIGH_MM, 0.5), (_LOW_MM, -0.5)):
        out, back = end + 5.0 + off * _BEYOND_MM, left + 1.4 + off * _BEYOND_MM
        level = gap_y + off * _BEYOND_MM
        above = top - pitch_mm + y
        corners = ((out, above), (out, level), (back, level), (back, top + y))
        way = ((end, above), *corners, (left + _LEAD_IN_MM + 0.9, top + y))
        items.append(Polyline(tuple(_cut(way, _CORNER_MM + off * _BEYOND_MM)), _THIN))
    return (Group(tuple(items), "return"),)


def _cut(way: Sequence[Point], by_mm: float) -> Iterator[Point]:
    """Give a way of level and upright stretches with its corners cut off."""
    yield way[0]
    for before, corner, behind in zip(way, way[1:], way[2:], strict=False):
        for other in (before, behind):
            long = abs(other[0] - corner[0]) + abs(other[1] - corner[1])
            share = min(by_mm, long / 2) / long
            yield (corner[0] + (other[0] - corner[0]) * share, corner[1] + (other[1] - corner[1]) * share)
    yield way[-1]


def _from_page(left: float, top: float, number: int) -> tuple[Item, ...]:
    """Say which place the wires at the head of a page come from."""
    lines = [Line((left, top + y), (left + _LEAD_IN_MM + 0.9, top + y), _THIN) for y in (_HIGH_MM, _LOW_MM)]
    room = Box(left, top - 3, left + 30, top + 2.4)
    words = label(f"from place {number}", room, size_mm=SMALL_MM, face=Face.TAG, baseline_mm=top + 1.2)
    return (Group((*lines, *words), "from-page"),)


def _to_page(end: float, top: float, number: int) -> tuple[Item, ...]:
    """Say which place the wires at the foot of a page go to."""
    lines = [Line((end, top + y), (end + _GUTTER_MM - 4, top + y), _THIN) for y in (_HIGH_MM, _LOW_MM)]
    room = Box(end + 0.8, top + 11, end + _GUTTER_MM, top + 16)
    words = label(f"to place {number}", room, size_mm=SMALL_MM, face=Face.TAG, baseline_mm=top + 14.4)
    return (Group((*lines, *words), "to-page"),)


# ------------------------------------------------------------------ a chain without an order
def _loose_rows(chain: DataChain, at: Grid, width_mm: float) -> Iterator[Piece]:
    """Give the devices of a chain whose order nobody knows, each with a circle to write its place into."""
    count = max(1, at.count)
    cell = (width_mm + _LOOSE_GAP_MM) / count
    for begin in range(0, len(chain.places), count):
        feet = [foot_mm(place, cell - _LOOSE_GAP_MM) for place in chain.places[begin : begin + count]]
        height = TAG_MM / 2 + BOX_MM + max(feet)
        yield Piece(height + 2.6, partial(_loose_row, chain, begin, count, cell), _AGAIN_MM)


def _loose_row(
    chain: DataChain,
    begin: int,
    count: int,
    cell: float,
    room: Box,
    first: bool,  # noqa: FBT001  called by the flow
    _last: bool,  # noqa: FBT001
) -> tuple[Item, ...]:
    items: list[Item] = [*(continued(f"{chain.name}, continued", room) if first else ())]
    top = room.top + (_AGAIN_MM if first else 0.0) + TAG_MM / 2
    for column, place in enumerate(chain.places[begin : begin + count]):
        left = room.left + column * cell
        box = Box(left, top, left + cell - _LOOSE_GAP_MM, top + BOX_MM)
        items += [box_of(place, box, None), *foot(place, box)]
    return (Group(tuple(items), "chain-row", chain.name, clean(chain.name)),)
