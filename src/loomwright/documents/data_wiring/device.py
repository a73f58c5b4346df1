"""A device on a chain: its place, its id, its name and what it is, and below it what has to be done about it."""

from __future__ import annotations

from loomwright.documents.data_wiring.sheet import DataPlace
from loomwright.documents.label import label
from loomwright.documents.look import CORNER_MM, INK, LINE_MM, NAME_MM, RULE_MM, SMALL_MM, WHITE
from loomwright.documents.plate.blocks import text_block
from loomwright.documents.scene import Anchor, Box, Group, Item, Rect, Stroke, Text
from loomwright.documents.spine.margin import marked
from loomwright.documents.type import Face, clean, shorten, width_mm

TAG_MM = 6.4
BOX_MM = 16.6

ASK_ID = "id not known: set it on the bench before mounting"
ASK_SURE = "id not sure: look, or set it on the bench before mounting"

_NAME_MM = 4.0
_LEAST_NAME_MM = 3.4
_PAD_MM = 1.4
_DASHED = (1.4, 0.9)
_LONGEST_ID_MM = 20.0
_FOOT_LINE_MM = 4.2
_MARKED_LINE_MM = 4.9
_FOOT_GAP_MM = 1.6


def box_of(place: DataPlace, box: Box, number: int | None) -> Group:
    """Draw a device with its place in the chain and its id; without a number, with a circle to write it into."""
    loose = number is None
    edge = Stroke(INK, RULE_MM, (2.4, 1.4) if loose else ())
    inner = Box(box.left + _PAD_MM, box.top, box.right - _PAD_MM, box.bottom)
    half = (inner.left + inner.right) / 2
    items: list[Item] = [Rect(box.left, box.top, box.width, box.height, CORNER_MM, edge, WHITE)]
    items += label(
        place.name or "name?",
        inner,
        size_mm=_NAME_MM,
        least_mm=_LEAST_NAME_MM,
        face=Face.BOLD,
        baseline_mm=box.top + 7.4,
    )
    items += label(place.detail, inner, size_mm=SMALL_MM, baseline_mm=box.top + 11.42, narrow=True)
    socket_room = Box(inner.left, box.top + 11.6, half - 0.5, box.bottom)
    items += label(place.inlet, socket_room, size_mm=SMALL_MM, face=Face.TAG, baseline_mm=box.top + 15.2)
    items += label(
        place.outlet,
        Box(half + 0.5, socket_room.top, inner.right, box.bottom),
        size_mm=SMALL_MM,
        face=Face.TAG,
        anchor=Anchor.END,
        baseline_mm=box.top + 15.2,
    )
    items += [*_bead(box, number), *_id_tag(place, box)]
    told = ("" if loose else f"place {number}", place.name, _id_words(place), place.detail)
    return Group(tuple(items), "device", place.device, clean(", ".join(word for word in told if word)))


def foot_mm(place: DataPlace, width_mm: float) -> float:
    """Return the height of what has to be said below a device of this width [mm]."""
    lines = _foot_lines(place, width_mm)
    return sum(_pitch(alarming) for _, alarming in lines) + _FOOT_GAP_MM if lines else 0.0


def foot(place: DataPlace, box: Box) -> tuple[Item, ...]:
    """Write below a device what has to be done about it; a warning is marked."""
    items: list[Item] = []
    lines = _foot_lines(place, box.width)
    base = box.bottom + 3.9
    for words, alarming in lines:
        said = label(
            words,
            Box(box.left + (1.0 if alarming else 0.0), base - 3, box.right - (4.8 if alarming else 0.0), base + 1.2),
            size_mm=SMALL_MM,
            face=Face.BOLD if alarming else Face.TAG,
            baseline_mm=base,
            narrow=True,
        )
        items += marked(said) if alarming else said
        base += _pitch(alarming)
    words = clean(" ".join(words for words, _ in lines))
    return (Group(tuple(items), "foot", place.device, words),) if lines else ()


def _pitch(alarming: bool) -> float:  # noqa: FBT001  a fact of a line
    """Return how far the next line lies below this one [mm]: a marked one has a box around it."""
    return _MARKED_LINE_MM if alarming else _FOOT_LINE_MM


def _foot_lines(place: DataPlace, width_mm: float) -> list[tuple[str, bool]]:
    """Return the lines below a device, each with whether it must not be overlooked."""
    ask = (ASK_SURE if clean(place.number) else ASK_ID) if place.asks else ""
    lines = [(place.warning, True)] if place.warning else []
    for words in (ask, place.hint):
        broken, _ = text_block(words, Box(0, 0, width_mm, 0), face=Face.TAG)
        lines += [(line.text, False) for line in broken if isinstance(line, Text)]
    return lines


def _bead(box: Box, number: int | None) -> tuple[Item, ...]:
    """Draw the place in the chain on the upper edge, as the Spine draws a slot on its bar."""
    words = "" if number is None else str(number)
    width = max(TAG_MM, width_mm(words, Face.BOLD, NAME_MM) + 3.6)
    body = Box(box.left + 2.4, box.top - TAG_MM / 2, box.left + 2.4 + width, box.top + TAG_MM / 2)
    return (
        Rect(body.left, body.top, body.width, body.height, TAG_MM / 2, Stroke(INK, RULE_MM), WHITE),
        *label(words, body, size_mm=NAME_MM, face=Face.BOLD, anchor=Anchor.MIDDLE),
    )


def _id_words(place: DataPlace) -> str:
    number = clean(place.number)
    if place.asks:
        return f"id {number}?" if number else "id ?"
    return f"id {number}" if number else ""


def _id_tag(place: DataPlace, box: Box) -> tuple[Item, ...]:
    """Draw the id as a tag on the upper edge; a dashed one waits for an answer, and some devices have none."""
    words = _id_words(place)
    if not words:
        return ()
    shown = shorten(words, Face.BOLD, _NAME_MM, min(_LONGEST_ID_MM, box.width - 16))
    width = width_mm(shown, Face.BOLD, _NAME_MM) + 3.2
    body = Box(box.right - 2 - width, box.top - TAG_MM / 2, box.right - 2, box.top + TAG_MM / 2)
    edge = Stroke(INK, LINE_MM, _DASHED if place.asks else ())
    return (
        Rect(body.left, body.top, body.width, body.height, CORNER_MM, edge, WHITE),
        *label(
            words,
            Box(body.left + 1.5, body.top, body.right - 1.5, body.bottom),
            size_mm=_NAME_MM,
            face=Face.BOLD,
            anchor=Anchor.MIDDLE,
        ),
    )
