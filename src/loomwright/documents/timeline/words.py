"""The words above the strips of a timeline: one size for all, each beginning at its strip or a little before it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from loomwright.documents.label import label
from loomwright.documents.look import HI_VIS, INK, WHITE
from loomwright.documents.scene import Anchor, Box, Group, Rect, Text
from loomwright.documents.timeline.ink import EDGE, HEAVY, LEAST_MM
from loomwright.documents.timeline.row import Track, shown
from loomwright.documents.timeline.strips import Row, Strip
from loomwright.documents.type import Face, clean, shorten, width_mm

_FACE: Final = Face.TAG
_APART_MM: Final = 1.5
_PLATE_MM: Final = 0.45
_STEP_MM: Final = 0.1
_INEXACT_MM: Final = 1e-6  # sums are not exact; no word is left out for that
#: How far before its strip a text may begin, so that it ends before the next one.
_BEFORE_MM: Final = 7.0


def words_of(rows: Sequence[Row], tracks: Sequence[Track]) -> tuple[Group, ...]:
    """Write the words of all rows, each on a plate of white."""
    told = [(_named(row, track), track) for row, track in zip(rows, tracks, strict=True)]
    size = size_of(rows, tracks)
    written = [group for strips, track in told for group in _row(strips, track, size)]
    return (*written, *(_idle(row, track, size) for row, track in zip(rows, tracks, strict=True) if not row.strips))


def size_of(rows: Sequence[Row], tracks: Sequence[Track]) -> float:
    """Return the largest size [mm] at which the words of every row fit that can do so at all."""
    size = max(LEAST_MM, min(track.words_mm for track in tracks))
    for row, track in zip(rows, tracks, strict=True):
        strips = _named(row, track)
        if _places(strips, track, LEAST_MM) is not None:
            while size > LEAST_MM and _places(strips, track, size) is None:
                size = max(LEAST_MM, size - _STEP_MM)
    return size


def _named(row: Row, track: Track) -> tuple[Strip, ...]:
    return tuple(strip for strip in shown(row, track.window) if strip.name)


def _row(strips: Sequence[Strip], track: Track, size: float) -> list[Group]:
    places = _places(strips, track, size)
    if places is None:
        places = [track.x(strip.from_min) for strip in strips]
    groups: list[Group] = []
    for strip, (left, right) in zip(strips, pairwise([*places, track.box.right + _APART_MM]), strict=True):
        room = Box(left, track.box.top, right - _APART_MM, track.box.bottom)
        text = _text(strip, room, track, size)
        if text is not None:
            groups.append(Group((_plate(strip, text), text), f"{strip.kind}-words", strip.name, text.full))
    return groups


def _idle(row: Row, track: Track, size: float) -> Group:
    """Say of a row that nothing is done with it, in the middle of its height."""
    room = Box(track.box.left + 1.0, track.box.top, track.box.right, track.box.bottom)
    [text] = label(row.idle, room, size_mm=size, face=_FACE)
    plate = text.box.grown(0.1)
    return Group((Rect(plate.left, plate.top, plate.width, plate.height, 0, None, WHITE), text), "idle", row.label)


def _places(strips: Sequence[Strip], track: Track, size: float) -> list[float] | None:
    """Return where each text begins, as near to its strip as may be; None where not all of them fit whole."""
    places: list[float] = []
    follows = track.box.right + _APART_MM
    for strip in reversed(strips):
        wanted = track.x(strip.from_min)
        at = min(wanted, follows - _APART_MM - _wide(_whole(strip), strip, size))
        if at < max(wanted - _BEFORE_MM, track.box.left):
            return None
        places.append(at)
        follows = at
    return places[::-1]


def _text(strip: Strip, room: Box, track: Track, size: float) -> Text | None:
    """Write as much as fits: all, without what only explains, the name alone, the beginning of the name."""
    whole = _whole(strip)
    full = f"{whole} {clean(strip.more)}".strip()
    said = next(
        (words for words in (full, whole, clean(strip.name)) if _wide(words, strip, size) <= room.width + _INEXACT_MM),
        "",
    )
    inset = _inset(strip)
    said = said or shorten(clean(strip.name), _FACE, size, room.width - 2 * inset)
    if not said:
        return None
    return Text((room.left + inset, track.baseline), said, size, _FACE, Anchor.START, INK, full, room)


def _plate(strip: Strip, text: Text) -> Rect:
    """Return the ground of some words: white, or framed where the match is the weakest or in trouble."""
    room = text.box.grown(_PLATE_MM if _inset(strip) else 0.1)
    frame = (HEAVY if strip.lowest else EDGE) if _inset(strip) else None
    fill = HI_VIS if frame else WHITE
    return Rect(room.left, room.top, room.width, room.height, 0, frame, fill)


def _whole(strip: Strip) -> str:
    return " ".join(word for word in (clean(strip.name), clean(strip.number)) if word)


def _wide(words: str, strip: Strip, size: float) -> float:
    return width_mm(words, _FACE, size) + 2 * _inset(strip)


def _inset(strip: Strip) -> float:
    """Return what a frame takes on each side [mm], 0 where the words have none."""
    return _PLATE_MM + HEAVY.width_mm / 2 if strip.lowest or strip.wrong else 0.0
