"""Badges on bundles: the count of wires, a letter for the table, and what a moving joint asks for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby

from loomwright.documents.look import CORNER_MM, HAIR_MM, INK, LINE_MM, SMALL_MM, WHITE
from loomwright.documents.plate.geometry import left_of, length_mm, shifted, spot_along
from loomwright.documents.plate.lanes import Lanes
from loomwright.documents.plate.sheet import PlateBundle, PlateSheet, PlateStretch, Spot
from loomwright.documents.plate.wish import Placed, Wish
from loomwright.documents.scene import Anchor, Box, Group, Item, Point, Polyline, Rect, Stroke, Text
from loomwright.documents.type import Face, cap_mm, width_mm
from loomwright.wording import natural

BADGE_MM = 2.5

_ZIGZAG_MM = 6.0
_CHIP_MM = 4.6
_PAD_MM = 1.1
_GAP_MM = 0.7
_BADGES = 4
_SHORT_M = 0.02
_APART_M = 0.08
_SHARES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82)


def letters(sheet: PlateSheet) -> dict[str, str]:
    """Give each bundle that gets a badge a letter, in the order of the sheet: A to Z, then AA.

    On a trunk with many breakouts the longest stretches get one, well apart, and no more than a few; a moving joint
    always gets one.
    """
    shown: set[str] = set()
    for _, group in groupby(sorted(sheet.bundles, key=lambda s: s.trunk), key=lambda s: s.trunk):
        shown |= _worth_a_badge(list(group))
    return {name: _letter(i) for i, name in enumerate(s.name for s in sheet.bundles if s.name in shown)}


def _worth_a_badge(stretches: Sequence[PlateStretch]) -> set[str]:
    """Choose the stretches of one trunk that get a badge."""
    found: list[tuple[str, Spot]] = []
    joint = moving_of(stretches)
    for stretch in sorted(stretches, key=lambda s: (s is not joint, -_bundle(s).length_m, natural(s.name))):
        middle = spot_along(stretch.path, length_mm(stretch.path) / 2)[0]
        apart = min((math.dist(middle, other) for _, other in found), default=math.inf)
        if not found or (len(found) < _BADGES and _bundle(stretch).length_m >= _SHORT_M and apart >= _APART_M):
            found.append((stretch.name, middle))
    return {name for name, _ in found}


def _letter(number: int) -> str:
    return (_letter(number // 26 - 1) if number >= 26 else "") + chr(ord("A") + number % 26)  # noqa: PLR2004 A to Z


def _bundle(stretch: PlateStretch) -> PlateBundle:
    """Return what is told of a bundle."""
    if stretch.bundle is None:
        raise ValueError(f"{stretch.name!r} is no bundle")
    return stretch.bundle


def moving_of(stretches: Sequence[PlateStretch]) -> PlateStretch | None:
    """Return the stretch that shows how a trunk moves: the one that asks for most slack, else the longest."""
    moving = [stretch for stretch in stretches if _bundle(stretch).moving]
    return max(moving, key=lambda s: (_bundle(s).slack_m, _bundle(s).length_m), default=None)


def badge_wishes(sheet: PlateSheet, plate: int, held: Lanes) -> list[Wish]:
    """Ask for a place for every badge, the shortest bundles first."""
    found: list[Wish] = []
    named = letters(sheet)
    for stretch in sorted(sheet.bundles, key=lambda s: length_mm(held.paths[s.name])):
        if stretch.plate == plate and stretch.name in named:
            path, middle = held.paths[stretch.name], held.middle_mm[stretch.name]
            on = tuple(_on(path, share, middle) for share in _SHARES)
            about = Box(*on[0], *on[0]).grown(0.6)
            size = (_wide_mm(sheet, stretch, named[stretch.name]) + 0.8, 2 * BADGE_MM + 0.8)
            found.append(Wish(stretch.name, ((),), about, on, extra=size, inside=False))
    return found


def _on(path: tuple[Point, ...], share: float, left_mm: float) -> Point:
    """Return a place on a bundle, by the share of its length."""
    at, way = spot_along(path, share * length_mm(path))
    return shifted(at, left_of(way), left_mm)


def _wide_mm(sheet: PlateSheet, stretch: PlateStretch, letter: str) -> float:
    """Return how wide a badge is, with the mark of a moving joint behind it where there is one [mm]."""
    moves = _GAP_MM + joint_width_mm(joint_words(stretch)) if _shows_joint(sheet, stretch) else 0.0
    return badge_width_mm(letter) + moves


def _shows_joint(sheet: PlateSheet, stretch: PlateStretch) -> bool:
    return stretch is moving_of([other for other in sheet.bundles if other.trunk == stretch.trunk])


def badge_width_mm(letter: str) -> float:
    """Return how wide a badge with its letter is [mm]."""
    return 2 * BADGE_MM + 1.6 + width_mm(letter, Face.TAG, SMALL_MM)


def joint_words(stretch: PlateStretch) -> str:
    """Write what a moving joint asks beyond its length: "+62 cm"."""
    slack_m = _bundle(stretch).slack_m
    return f"+{slack_m * 100:.0f} cm" if slack_m > 0 else ""


def joint_width_mm(words: str) -> float:
    """Return how wide the mark of a moving joint is [mm]."""
    return _ZIGZAG_MM + 2 * _PAD_MM + (width_mm(words, Face.BOLD, SMALL_MM) + _PAD_MM if words else 0.0)


def badge_items(sheet: PlateSheet, placed: Placed) -> Group:
    """Draw a badge in its place."""
    stretch = sheet.stretch(placed.key)
    letter = letters(sheet)[stretch.name]
    left = (placed.box.left + placed.box.right - _wide_mm(sheet, stretch, letter)) / 2
    y = (placed.box.top + placed.box.bottom) / 2
    wires = _bundle(stretch).wires
    items: list[Item] = list(badge((left, y), wires, letter))
    if _shows_joint(sheet, stretch):
        mark = joint((left + badge_width_mm(letter) + _GAP_MM, y), joint_words(stretch))
        items.append(Group(mark, "joint", stretch.trunk, f"{stretch.trunk} moves"))
    return Group(tuple(items), "badge", stretch.name, f"{letter}: {wires} wires")


def badge(left: Point, wires: int, letter: str) -> tuple[Item, ...]:
    """Draw a round badge with a count, its left edge at a point, and a letter in a tab behind it."""
    x, y = left
    wide = badge_width_mm(letter)
    tall = 2 * BADGE_MM - 1.0
    tab = Rect(x + BADGE_MM, y - tall / 2, wide - BADGE_MM, tall, CORNER_MM, Stroke(INK, HAIR_MM), WHITE)
    ring = Rect(x, y - BADGE_MM, 2 * BADGE_MM, 2 * BADGE_MM, BADGE_MM, Stroke(INK, LINE_MM), WHITE)
    size = SMALL_MM
    return (
        tab,
        Text((x + 2 * BADGE_MM + 0.7, y + cap_mm(Face.TAG, size) / 2), letter, size, Face.TAG),
        ring,
        Text((x + BADGE_MM, y + cap_mm(Face.BOLD, size) / 2), str(wires), size, Face.BOLD, Anchor.MIDDLE),
    )


def joint(left: Point, words: str) -> tuple[Item, ...]:
    """Draw the mark of a moving joint, its left edge at a point: a zigzag, and what it asks beyond its length."""
    x, y = left
    chip = Rect(x, y - _CHIP_MM / 2, joint_width_mm(words), _CHIP_MM, _CHIP_MM / 2, Stroke(INK, HAIR_MM), WHITE)
    step = _ZIGZAG_MM / 6
    zigzag = tuple((x + _PAD_MM + i * step, y + (0 if i in {0, 6} else 1.2 if i % 2 else -1.2)) for i in range(7))
    items: list[Item] = [chip, Polyline(zigzag, Stroke(INK, LINE_MM, round_ends=True))]
    if words:
        at = (x + _ZIGZAG_MM + 2 * _PAD_MM, y + cap_mm(Face.BOLD, SMALL_MM) / 2)
        items.append(Text(at, words, SMALL_MM, Face.BOLD))
    return tuple(items)
