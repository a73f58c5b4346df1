"""Head and foot of the timeline: what the day is like, how to read it, how to charge."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from loomwright.documents.every_sheet import CAUTION, LAST_WORD
from loomwright.documents.label import label
from loomwright.documents.look import BODY_MM, INK, LINE_MM, NAME_MM, SMALL_MM, WHITE
from loomwright.documents.plate.blocks import Drawn, text_block
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Rect, Stroke
from loomwright.documents.sheet_head import caution_band
from loomwright.documents.timeline.clock import percent
from loomwright.documents.timeline.ink import (
    BEGINS,
    CAUTION_MM,
    DOTS,
    EDGE,
    FACT_MM,
    FAST,
    GENTLE,
    ROBOT,
)
from loomwright.documents.timeline.sheet import TimelineSheet
from loomwright.documents.timeline.strips import weakest
from loomwright.documents.type import Face, clean, width_mm
from loomwright.rack.day.result import DayPlan

WHAT: Final = "Batteries and chargers through the day"
FOOTER_MM: Final = 8.0
_TITLE_MM: Final = 16.9
_NAME_MM: Final = 8.0
_BAND_MM: Final = 11.0
_HEADLINE_MM: Final = 5.8
_KEY_MM: Final = 4.0
_SAMPLE_MM: Final = 9.0
_COLUMNS: Final = 3
_CHARGING_MM: Final = 20.0
_FAR_MM: Final = 1e4
_MOST_TOLD: Final = 5


def head(sheet: TimelineSheet, room: Box) -> Drawn:
    """Draw the head of the first page, lower than on other drawings: rows want the room. Return where it ends."""
    middle = room.left + room.width * 0.55
    band = Box(middle, room.top + 1, room.right, room.top + 1 + _BAND_MM)
    said, y = text_block(sheet.headline, _below(room, room.top + _TITLE_MM), face=Face.BOLD, size_mm=_HEADLINE_MM)
    facts, y = text_block(facts_of(sheet), _below(room, y + 0.3), size_mm=FACT_MM)
    wrong, y = _troubles(sheet, _below(room, y))
    drawn = (
        Group(_title(sheet, Box(room.left, room.top, middle - 6.0, room.top + _TITLE_MM)), "title"),
        Group(caution_band(band, end_mm=6), "caution", "", CAUTION),
        Group((*said, *facts, *wrong), "finding"),
    )
    key, y = _key(sheet, _below(room, y))
    return (*drawn, key), y


def _title(sheet: TimelineSheet, box: Box) -> tuple[Item, ...]:
    """Write the robot's name, and under it what the sheet is and of which day."""
    under = " · ".join(word for word in (WHAT, clean(sheet.of)) if word)
    name = Box(box.left, box.top, box.right, box.top + 9.8)
    said = sheet.robot or "robot?"
    return (
        *label(said, name, size_mm=_NAME_MM, least_mm=_NAME_MM * 0.7, face=Face.BOLD, baseline_mm=box.top + 7.7),
        *label(under, box, size_mm=NAME_MM, least_mm=BODY_MM, baseline_mm=box.top + 13.9),
    )


def slim_head(sheet: TimelineSheet, room: Box, page: int) -> Drawn:
    """Draw the head of a later page, with the key again."""
    where = f"{WHAT}, page {page}"
    left = room.right - width_mm(where, Face.TEXT, NAME_MM) - 4
    line = Box(room.left, room.top, left, room.top + 8)
    names = label(sheet.robot or "robot?", line, size_mm=NAME_MM * 1.25, face=Face.BOLD, baseline_mm=room.top + 5.6)
    told = label(where, Box(left, room.top, room.right, room.top + 8), size_mm=NAME_MM, anchor=Anchor.END)
    key, y = _key(sheet, _below(room, room.top + 9))
    return (*names, *told, key), y


def facts_of(sheet: TimelineSheet) -> str:
    """Say which match is the weakest, how much time there is to spare, and how gentle the charging is."""
    use, plan = weakest(sheet.plan), sheet.plan
    worth = percent(use.worth)
    as_new = f"at {worth}"
    if worth != percent(use.charge):
        as_new = f"at {percent(use.charge)}, worth {worth} of a new one"
    spare = f"at least {plan.spare_min} min between ready and due" if plan.spare_min > 0 else "no time to spare"
    return f"lowest: {use.match} with {use.battery} {as_new} · {spare} · {_gentleness(plan)}"


def _gentleness(plan: DayPlan) -> str:
    if not plan.stints:
        return "nothing is charged"
    if all(stint.fast for stint in plan.stints):
        return "every charge is fast"
    if not any(stint.fast for stint in plan.stints):
        return "every charge is gentle"
    return f"{percent(plan.gentle_share)} of the charging time is gentle"


def troubles(sheet: TimelineSheet) -> tuple[str, ...]:
    """Say which matches have a battery that is late or low, in a sentence each; the first ones by name."""
    late = [f"{use.match} ({use.battery}, {use.late_min} min)" for use in sheet.plan.uses if use.late_min]
    low = [f"{use.match} ({use.battery}, {percent(use.charge)})" for use in sheet.plan.uses if use.short > 0]
    return tuple(
        f"{word}: {', '.join(told[:_MOST_TOLD])}{f' and {len(told) - _MOST_TOLD} more' if told[_MOST_TOLD:] else ''}."
        for word, told in (("Late", late), ("Charge too low", low))
        if told
    )


def cautions(sheet: TimelineSheet, room: Box) -> Drawn:
    """Write the cautions of charging in columns from the top of a room."""
    lines = [clean(line) for line in sheet.cautions if clean(line)]
    if not lines:
        return (), room.top
    said = label(
        "Charging:",
        Box(room.left, room.top, room.left + _CHARGING_MM, room.top + 5),
        size_mm=CAUTION_MM + 0.4,
        face=Face.BOLD,
        baseline_mm=room.top + 3.2,
    )
    room = Box(room.left + _CHARGING_MM, room.top, room.right, room.bottom)
    wide = (room.width - (_COLUMNS - 1) * 5.0) / _COLUMNS
    items: list[Item] = [*said]
    bottom = room.top
    for column, held in enumerate(_columns(lines)):
        left, down = room.left + column * (wide + 5.0), room.top
        for line in held:
            drawn, end = text_block(line, Box(left + 3.6, down + 0.5, left + wide, _FAR_MM), size_mm=CAUTION_MM)
            items += [Rect(left + 0.4, down + 1.3, 1.9, 1.9, 0, None, INK), *drawn]
            down = end + 0.3
        bottom = max(bottom, down)
    return (Group(tuple(items), "charging"),), bottom


def footer(sheet: TimelineSheet, room: Box) -> Group:
    """Write the footer: robot, which day, and which source wins."""
    who = " · ".join(word for word in (clean(sheet.robot), clean(sheet.of)) if word)
    y = room.bottom - FOOTER_MM
    middle = (room.left + room.right) / 2
    right = Box(middle - 2, y, room.right, room.bottom)
    items: tuple[Item, ...] = (
        Line((room.left, y), (room.right, y), Stroke(INK, LINE_MM)),
        *label(who, Box(room.left, y, middle - 4, room.bottom), size_mm=SMALL_MM, baseline_mm=y + 5, narrow=True),
        *label(LAST_WORD, right, size_mm=SMALL_MM, anchor=Anchor.END, baseline_mm=y + 5, narrow=True),
    )
    return Group(items, "footer")


def _troubles(sheet: TimelineSheet, room: Box) -> Drawn:
    told = troubles(sheet)
    if not told:
        return (), room.top
    return text_block(" ".join(told), _below(room, room.top + 0.6), face=Face.BOLD, size_mm=FACT_MM)


def _key(sheet: TimelineSheet, room: Box) -> tuple[Group, float]:
    """Show what each shape means, in a line."""
    top, tall = room.top + 1.2, 3.4
    samples = [("in the robot; the light line: the match begins", "robot"), ("gentle charge", "gentle")]
    samples += [("fast charge", "fast"), ("cooling", "cool")]
    if any(use.may for use in sheet.plan.uses):
        samples.append(("perhaps not played", "may"))
    items: list[Item] = []
    x = room.left
    for words, kind in samples:
        wide = width_mm(words, Face.TEXT, _KEY_MM)
        items += _sample(kind, Box(x, top, x + _SAMPLE_MM, top + tall))
        said = Box(x + _SAMPLE_MM + 1.6, top - 1, x + _SAMPLE_MM + 1.6 + wide + 0.1, top + tall + 1)
        items += label(words, said, size_mm=_KEY_MM)
        x = said.right + 6.0
    return Group(tuple(items), "key"), top + tall + 1.4


def _sample(kind: str, box: Box) -> Sequence[Item]:
    middle = (box.top + box.bottom) / 2
    if kind == "cool":
        return [Line((box.left + 1, middle), (box.right - 1 + 0.02, middle), DOTS)]
    fill = {"robot": ROBOT, "gentle": GENTLE, "fast": FAST}.get(kind, WHITE)
    items: list[Item] = [Rect(box.left, box.top, box.width, box.height, 0, EDGE, fill)]
    if kind == "robot":
        x = (box.left + box.right) / 2
        items.append(Line((x, box.top + 0.2), (x, box.bottom - 0.2), BEGINS))
    if kind == "may":
        items.append(Rect(box.left + 0.5, middle - 0.75, box.width - 1.0, 1.5, 0, None, ROBOT))
    return items


def _columns(lines: Sequence[str]) -> list[Sequence[str]]:
    """Deal lines into columns, in their order, as many in each."""
    each = -(-len(lines) // _COLUMNS)
    return [lines[at : at + each] for at in range(0, len(lines), each)]


def _below(room: Box, top: float) -> Box:
    return Box(room.left, top, room.right, _FAR_MM)
