"""What stands on a flag: the plain id with the end's lug on both faces, the code on one, the words on the other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from loomwright.documents.flags.code import Code, drawn, square
from loomwright.documents.flags.fold import Fold
from loomwright.documents.flags.rows import Flag
from loomwright.documents.flags.words import ARROW, Words, words_in
from loomwright.documents.label import label
from loomwright.documents.look import HAIR_MM, INK, SMALL_MM, WHITE
from loomwright.documents.scene import Anchor, Box, Circle, Group, Item, Line, Rect, Stroke, Text
from loomwright.documents.tables.cells import NOT_APPLICABLE
from loomwright.documents.type import Face, cap_mm, clean, width_mm
from loomwright.documents.wirebar import LUG_MM, lug

_ID_ROW_MM: Final = 4.3
_LARGEST_ROW_MM: Final = 8.0
#: Type size over the row's height: capitals then take four fifths of it.
_ID_SHARE: Final = 1.2
_SMALLEST_ID_MM: Final = 3.4
#: From the lug's tail to the id, which it must not seem to be a letter of.
_GAP_MM: Final = 1.5
_INSET_MM: Final = 0.5
#: A face this much longer than its code may have its words beside the code instead of above it.
_BESIDE_MM: Final = 17.0
_SIDEWAYS_MM: Final = 3.6
_LEAST_SIDEWAYS_MM: Final = 2.6
#: Between the id and what stands sideways under it.
_BELOW_ID_MM: Final = 1.0
_TIE_MM: Final = 2.2
_FOLD: Final = Stroke(INK, 0.2, (1.2, 0.8))


@dataclass(frozen=True, slots=True)
class _Plan:
    """How one flag is laid out: the id's row and size, and whether words stand beside the code."""

    row_mm: float
    id_mm: float
    beside: bool


def flag_group(flag: Flag, made: Code, fold: Fold, box: Box, *, shapes: bool = True) -> Group:
    """Return everything on one flag, in the box of its label.

    Without `shapes` the code is a white square for a writer that puts the code there in its own way.
    """
    end = f"{flag.id} {flag.letter}"
    plan = _planned(flag, made, fold)
    gauge = () if plan.beside else _sideways(flag.gauge, _edge(made, fold.left, plan))
    left = (*_code_face(flag, made, fold.left, plan, shapes=shapes), *gauge)
    right = _named(flag, _indented(fold.right), plan, _told(flag, gauge=not gauge and not plan.beside))
    return Group(
        (_between(fold, box), Group(left, "face with code", end), Group(right, "face with words", end)),
        "flag",
        end,
        f"{flag.id}, end {flag.letter}: {flag.use}",
    )


def _planned(flag: Flag, made: Code, fold: Fold) -> _Plan:
    """Put words beside the code where that makes the code larger, and give both faces an id of one size."""
    face = fold.left
    room = min(face.height, face.width - _BESIDE_MM)
    under = min(face.width, face.height - _ID_ROW_MM)
    beside = made.module_mm(room) > made.module_mm(under)
    row = min(_LARGEST_ROW_MM, face.height * 0.24 if beside else face.height - made.side_mm(under))
    side = made.side_mm(room) + _INSET_MM if beside else 0.0
    narrow = min(face.width - side, fold.right.width) - _INSET_MM - LUG_MM - _GAP_MM
    wide = width_mm(clean(f"{flag.id} {flag.letter}"), Face.BOLD, 1.0)
    size = max(_SMALLEST_ID_MM, min(row * _ID_SHARE, narrow / wide * 0.999))
    return _Plan(max(_ID_ROW_MM, size / _ID_SHARE), size, beside)


def _between(fold: Fold, box: Box) -> Group:
    line = Line((fold.fold_x, box.top + 1), (fold.fold_x, box.bottom - 1), _FOLD)
    if fold.hole is None:
        return Group((line,), "fold")
    x, y = fold.hole
    inside = Box(x - fold.hole_mm, y - fold.hole_mm, x + fold.hole_mm, y + fold.hole_mm)
    word = label("tie", inside, size_mm=_TIE_MM, face=Face.TAG, anchor=Anchor.MIDDLE)
    return Group((line, Circle(fold.hole, fold.hole_mm, Stroke(INK, HAIR_MM)), *word), "fold", "tied on")


def _code_face(flag: Flag, made: Code, room: Box, plan: _Plan, *, shapes: bool) -> tuple[Item, ...]:
    """Lay the code under the id, or beside the words, the gauge among them."""
    if plan.beside:
        held = square(made, Box(room.left, room.top, room.right - _BESIDE_MM, room.bottom))
        words = (Words(flag.gauge, bold=True), Words(f"other end {ARROW} {flag.far}"))
        beside = Box(held.right + _INSET_MM, room.top, room.right, room.bottom)
        return (_code(flag, made, held, shapes=shapes), *_named(flag, beside, plan, words))
    top = Box(room.left, room.top, room.right, room.top + plan.row_mm)
    return (*_name(flag, top, plan), _code(flag, made, _under(made, room, plan), shapes=shapes))


def _under(made: Code, room: Box, plan: _Plan) -> Box:
    """Return where the code stands under the id."""
    return square(made, Box(room.left, room.top + plan.row_mm, room.right, room.bottom))


def _edge(made: Code, room: Box, plan: _Plan) -> Box:
    """Return what is left beside a code under the id, a little below that."""
    held = _under(made, room, plan)
    return Box(held.right, held.top + _BELOW_ID_MM, room.right, held.bottom)


def _code(flag: Flag, made: Code, held: Box, *, shapes: bool) -> Group:
    ground = Rect(held.left, held.top, held.width, held.height, fill=WHITE)
    items = (ground, drawn(made, held)) if shapes else (ground,)
    return Group(items, "code", f"{flag.id} {flag.letter}", flag.code)


def _sideways(words: str, room: Box) -> tuple[Item, ...]:
    """Write a few words upwards along the left edge of a room, where they fit whole."""
    said = clean(words)
    size = min(SMALL_MM, room.height / width_mm(said, Face.TAG, 1.0) * 0.999)
    if room.width < _SIDEWAYS_MM or size < _LEAST_SIDEWAYS_MM:
        return ()
    place = (room.left + cap_mm(Face.TAG, SMALL_MM), (room.top + room.bottom) / 2)
    return (Text(place, said, size, Face.TAG, Anchor.MIDDLE, room=room, turn_deg=-90),)


def _told(flag: Flag, *, gauge: bool) -> tuple[Words, ...]:
    """Return the words of the other face; with the gauge where no edge of the code has room for it."""
    size = (Words(flag.gauge),) if gauge else ()
    slot = () if flag.slot == NOT_APPLICABLE else (Words(f"slot {flag.slot}"),)
    return (Words(flag.use, bold=True), Words(f"{ARROW} {flag.where}"), *slot, *size)


def _named(flag: Flag, room: Box, plan: _Plan, words: tuple[Words, ...]) -> tuple[Item, ...]:
    """Write the id with its lug on top of a room, and words below."""
    top = Box(room.left, room.top, room.right, room.top + plan.row_mm)
    return (*_name(flag, top, plan), *words_in(words, Box(room.left, top.bottom + 0.4, room.right, room.bottom)))


def _name(flag: Flag, room: Box, plan: _Plan) -> tuple[Item, ...]:
    """Write the lug, filled for A and hollow for B, and the id with the letter."""
    middle = (room.top + room.bottom) / 2
    words = Box(room.left + LUG_MM + _GAP_MM, room.top, room.right, room.bottom)
    return (
        lug((room.left + 0.25, middle), "right", filled=flag.letter == "A"),
        *label(f"{flag.id} {flag.letter}", words, size_mm=plan.id_mm, face=Face.BOLD),
    )


def _indented(room: Box) -> Box:
    """Keep words off the bend."""
    return Box(room.left + _INSET_MM, room.top, room.right, room.bottom)
