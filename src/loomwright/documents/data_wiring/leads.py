"""Sockets and what is plugged into them: a device's hollow bar, its sockets as beads, one row a lead."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from loomwright.documents.data_wiring.chain import note_run
from loomwright.documents.data_wiring.flow import Piece, Run, gap
from loomwright.documents.data_wiring.sheet import DataHub, DataLead, DataSection, DataWire
from loomwright.documents.data_wiring.wire import length_words, strand, who
from loomwright.documents.label import label
from loomwright.documents.look import BODY_MM, CORNER_MM, INK, LINE_MM, NAME_MM, RULE_MM, SMALL_MM, WHITE
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Polyline, Rect, Stroke
from loomwright.documents.type import Face, clean, shorten
from loomwright.documents.type import width_mm as measure_mm
from loomwright.documents.wirebar import CHIP_MM, LUG_MM, chip, chip_width_mm

_TITLE_MM = 8.0
_HEAD_MM = 11.6
_NECK_MM = 4.0
_HUB_WIDE_MM = 58.0
_BEAD_MM = 18.0
_BEAD_H = 6.4
_BAR_MM = 4.0
_LEAD_MM = 5.0
_PITCH_MM = 5.0
_FAR_SHARE = 0.31
_BETWEEN_MM = 2.8
_POWER_MM = 3.6  # for what stands below a cable that carries power
_LEAST_ROW_MM = 12.4
_CHIP_EDGE_MM = 2.0
_CHIP_GAP_MM = 1.5
_SINGLE_SHARE = 0.27
_WHOLE = 4  # so many leads of one device are kept together
_THIN = Stroke(INK, LINE_MM)


def runs_of(section: DataSection, width_mm: float) -> Iterator[Run]:
    """Give the pieces of a section: its title with the first lead, then the other leads, then what is to be said."""
    title: Run = (Piece(_TITLE_MM, partial(_title, section.title)),)
    for i, hub in enumerate(section.hubs):
        if i:
            yield gap(4.0)
        yield from _hub_runs(section.title, hub, title if not i else ())
    notes = [note_run(note, width_mm) for note in section.notes]
    if notes and not section.hubs:
        yield (*title, *notes.pop(0))
    yield from notes


def _title(words: str, room: Box, _first: bool, _last: bool) -> tuple[Item, ...]:  # noqa: FBT001  called by the flow
    return (
        Line((room.left, room.top), (room.right, room.top), Stroke(INK, RULE_MM)),
        *label(
            words.upper(),
            Box(room.left, room.top, room.right, room.top + 7),
            size_mm=BODY_MM,
            face=Face.TAG,
            baseline_mm=room.top + 4.8,
        ),
    )


def _hub_runs(title: str, hub: DataHub, before: Run) -> Iterator[Run]:
    """Give a device with its leads, whole where there are few of them."""
    again = f"{title}, continued"
    if len(hub.leads) == 1:
        yield (*before, _titled(again, Piece(row_mm(hub.leads[0]), partial(_single, hub))))
        return
    head = _titled(again, Piece(_HEAD_MM, partial(_head, hub)))
    rows = [_titled(f"{again}: {hub.name}" if i else "", _row_piece(hub, i)) for i in range(len(hub.leads))]
    if len(rows) <= _WHOLE:
        yield (*before, head, *rows)
        return
    yield (*before, head, rows[0])
    for row in rows[1:]:
        yield (row,)


def _titled(words: str, piece: Piece) -> Piece:
    """Let a piece say at the head of a column what goes on there."""

    def draw(room: Box, first: bool, last: bool) -> tuple[Item, ...]:  # noqa: FBT001  called by the flow
        if not (first and words):
            return piece.draw(room, first, last)
        below = Box(room.left, room.top + _TITLE_MM, room.right, room.bottom)
        return (*_title(words, room, first, last), *piece.draw(below, first, last))

    return Piece(piece.height_mm, draw, _TITLE_MM if words else 0.0)


def _head(hub: DataHub, room: Box, _first: bool, _last: bool) -> tuple[Item, ...]:  # noqa: FBT001
    """Draw the box at the top of a device's bar."""
    width = min(_HUB_WIDE_MM, room.width)
    inner = Box(room.left + 3, room.top, room.left + width - 2, room.top + _HEAD_MM)
    two = bool(clean(hub.detail))
    items: tuple[Item, ...] = (
        Rect(room.left, room.top, width, _HEAD_MM, CORNER_MM, Stroke(INK, RULE_MM), WHITE),
        *label(
            hub.name or "name?",
            inner,
            size_mm=NAME_MM,
            least_mm=BODY_MM,
            face=Face.BOLD,
            baseline_mm=room.top + 5.3 if two else None,
        ),
        *label(hub.detail, inner, size_mm=SMALL_MM, baseline_mm=room.top + 9.6, narrow=True),
    )
    return (Group(items, "hub", hub.device, clean(f"{hub.name}: {len(hub.leads)} leads")),)


def row_mm(lead: DataLead) -> float:
    """Return the height of a lead's row [mm]."""
    below = _POWER_MM if lead.power else 0.0
    return max(_LEAST_ROW_MM, (len(lead.wires) - 1) * _PITCH_MM + CHIP_MM + max(_BETWEEN_MM, 2 * below))


def _row_piece(hub: DataHub, i: int) -> Piece:
    neck = _NECK_MM - 1.5 if i == 0 else 0.0
    return Piece(row_mm(hub.leads[i]) + neck, partial(_row, hub, i, neck))


def _row(hub: DataHub, i: int, neck: float, room: Box, _first: bool, _last: bool) -> tuple[Item, ...]:  # noqa: FBT001
    """Draw one lead: the bar, the socket upon it, the wires and the thing at their other end."""
    lead = hub.leads[i]
    y = room.top + neck + row_mm(lead) / 2
    axis = room.left + _BEAD_MM / 2
    bottom = y if i == len(hub.leads) - 1 else room.top + neck + row_mm(lead)
    bar = [Line((x, room.top), (x, bottom), Stroke(INK, RULE_MM)) for x in (axis - _BAR_MM / 2, axis + _BAR_MM / 2)]
    return (*bar, Group(_lead(lead, room, y), "lead", f"{hub.device} {lead.socket}", _said(hub, lead)))


def _single(hub: DataHub, room: Box, _first: bool, _last: bool) -> tuple[Item, ...]:  # noqa: FBT001
    """Draw a device with one lead in one row: it on the left, the lead, the other thing on the right."""
    lead = hub.leads[0]
    y = room.top + row_mm(lead) / 2
    far_mm = min(max(room.width * _SINGLE_SHARE, 33.0), 60.0)
    near = Box(room.left, y - 5, room.left + far_mm, y + 5)
    far = Box(room.right - far_mm, near.top, room.right, near.bottom)
    left, right = near.right + 3, far.left - 3
    items: list[Item] = []
    for level in _levels(lead, y):
        near_y = y + _fan(level - y, 4.0)
        items.append(Polyline(((near.right, near_y), (left - 1.2, level), (left + 0.9, level)), _THIN))
        items.append(Polyline(((right - 0.9, level), (right + 1.2, level), (far.left, near_y)), _THIN))
    detail = ", ".join(word for word in (lead.socket, hub.detail) if word)
    items.append(Group(_thing(hub.name, detail, near, LINE_MM), "hub", hub.device, clean(hub.name)))
    items += [*_strands(lead, left, right, y), *_far(lead, far)]
    return (Group(tuple(items), "lead", f"{hub.device} {lead.socket}", _said(hub, lead)),)


def _said(hub: DataHub, lead: DataLead) -> str:
    power = f"carries {lead.power}" if lead.power else ""
    words = (f"{hub.name}, {lead.socket}", power, f"to {lead.far}", lead.far_detail)
    return clean(", ".join(word for word in words if word))


def _lead(lead: DataLead, room: Box, y: float) -> tuple[Item, ...]:
    far_mm = _far_mm(room)
    far = Box(room.right - far_mm, y - 5, room.right, y + 5)
    left, right = room.left + _BEAD_MM + _LEAD_MM, far.left - 3
    items: list[Item] = []
    for level in _levels(lead, y):
        from_y, to_y = (_fan(level - y, 1.4), _fan(level - y, 4.0))
        items.append(
            Polyline(((room.left + _BEAD_MM - 1, y + from_y), (left - 2.6, level), (left + 0.9, level)), _THIN)
        )
        items.append(Polyline(((right - 0.9, level), (right + 1.2, level), (far.left, y + to_y)), _THIN))
    items += _bead(lead.socket, room.left, y)
    return (*items, *_strands(lead, left, right, y), *_far(lead, far))


def _far_mm(room: Box) -> float:
    """Return how wide the thing at the other end of a lead is drawn [mm]."""
    return min(max(room.width * _FAR_SHARE, 36.0), 60.0)


def _levels(lead: DataLead, y: float) -> list[float]:
    """Return where the wires of a lead lie, around the middle of its row."""
    count = len(lead.wires)
    return [y + (i - (count - 1) / 2) * _PITCH_MM for i in range(count)]


def _strands(lead: DataLead, left: float, right: float, y: float) -> Iterator[Item]:
    """Give the wires of a lead as they are drawn."""
    for wire, level, flag in zip(lead.wires, _levels(lead, y), _flags(lead), strict=True):
        yield strand(wire, left, right, level, _chips(wire, flag, left, right, level))
    if lead.power:
        below = y + (len(lead.wires) - 1) * _PITCH_MM / 2
        room = Box(left, below + 2.3, right, below + 6.4)
        words = f"carries {lead.power}"
        yield from label(words, room, size_mm=SMALL_MM, face=Face.BOLD, anchor=Anchor.MIDDLE, baseline_mm=below + 5.2)


def _fan(off: float, most: float) -> float:
    """Return how far from the middle of a box a line meets it, which leads to a wire so far off."""
    return max(-most, min(most, off))


def _bead(socket: str, left: float, y: float) -> tuple[Item, ...]:
    """Draw a socket as a bead on the bar."""
    return (
        Rect(left, y - _BEAD_H / 2, _BEAD_MM, _BEAD_H, _BEAD_H / 2, Stroke(INK, RULE_MM), WHITE),
        *label(
            socket or "socket?",
            Box(left + 1.6, y - 3, left + _BEAD_MM - 1.6, y + 3),
            size_mm=NAME_MM,
            least_mm=SMALL_MM,
            face=Face.TAG,
            anchor=Anchor.MIDDLE,
        ),
    )


def _flags(lead: DataLead) -> list[str]:
    """Return what stands near end B of each wire: gauge on the first and length on the second where all agree."""
    known = [("" if w.cable else clean(w.gauge) or "gauge?", length_words(w)) for w in lead.wires]
    if len(known) > 1 and len(set(known)) == 1 and known[0][0]:
        return [*known[0], *[""] * (len(known) - 2)]
    return [" · ".join(word for word in pair if word) for pair in known]


def _chips(wire: DataWire, flag: str, left: float, right: float, y: float) -> tuple[Item, ...]:
    """Draw what stands on a wire: who it is near its left end, gauge and length near its right one."""
    begin, end = left + LUG_MM + _CHIP_EDGE_MM, right - LUG_MM - _CHIP_EDGE_MM
    words = list(who(wire))
    items: list[Item] = []
    if flag:
        room_mm = end - begin - chip_width_mm(tuple(words)) - _CHIP_GAP_MM
        face = Face.TEXT if chip_width_mm(((flag, Face.TEXT),)) <= room_mm else Face.TAG
        said = ((shorten(flag, face, SMALL_MM, room_mm - chip_width_mm((("", face),))), face),)
        width = chip_width_mm(said)
        items += chip((end - width / 2, y), said, dashed="?" in flag)
        end -= width + _CHIP_GAP_MM
    room_mm = end - begin - chip_width_mm((*words, ("", Face.TEXT)))
    if wire.role and not wire.cable and measure_mm(wire.role, Face.TEXT, SMALL_MM) <= room_mm:
        words.append((wire.role, Face.TEXT))
    named = tuple(words)
    items += chip((begin + chip_width_mm(named) / 2, y), named, dashed=not wire.colour and not wire.cable)
    return tuple(items)


def _far(lead: DataLead, box: Box) -> tuple[Item, ...]:
    """Draw the thing at the other end, thicker where it gets its power this way."""
    return _thing(lead.far, lead.far_detail, box, RULE_MM * 1.6 if lead.power else LINE_MM)


def _thing(name: str, detail: str, box: Box, edge_mm: float) -> tuple[Item, ...]:
    """Draw what a lead ends at: its name, and its socket with what it is."""
    inner = Box(box.left + 2, box.top, box.right - 1.5, box.bottom)
    y = (box.top + box.bottom) / 2
    named = y - 0.55 if clean(detail) else None
    return (
        Rect(box.left, box.top, box.width, box.height, CORNER_MM, Stroke(INK, edge_mm), WHITE),
        *label(name or "name?", inner, size_mm=4.0, least_mm=BODY_MM, face=Face.BOLD, baseline_mm=named),
        *label(detail, inner, size_mm=SMALL_MM, baseline_mm=y + 3.55, narrow=True),
    )
