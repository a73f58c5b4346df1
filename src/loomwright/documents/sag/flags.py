"""Words that stand above a chart, each tied by a stem to its moment: in rows, none over another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from loomwright.documents.look import HAIR_MM, INK
from loomwright.documents.sag.words_row import Word, row, row_mm
from loomwright.documents.scene import Anchor, Box, Group, Item, Line, Stroke

_STEM_MM: Final = 0.8  # kept free on both sides of a stem
_GAP_MM: Final = 1.2
_LONGEST_MM: Final = 56.0
_BELOW: Final = 0.27  # from a row's bottom to its baseline, in parts of the type size
ROW: Final = 1.28  # height of a row in parts of the type size

_Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Flag:
    """What is said of a place along the chart [mm], and what of it where there is less room."""

    x: float
    words: tuple[Word, ...]
    about: str
    short: tuple[Word, ...] = ()


@dataclass(frozen=True, slots=True)
class Placed:
    """A flag that found room: its words, row from the chart upwards, span along the chart [mm], side of the stem."""

    flag: Flag
    words: tuple[Word, ...]
    level: int
    span: _Span
    anchor: Anchor


def places(
    wanted: Sequence[Flag], across: _Span, *, size_mm: float, rows: int, keep: Sequence[float] = ()
) -> tuple[Placed, ...]:
    """Find room for flags in so many rows over a chart; `keep` are places along it that have to stay free.

    Flags are placed in the order in which they matter, or from one side to the other if that places more of them.
    """
    orders = (list(wanted), sorted(wanted, key=lambda flag: -flag.x), sorted(wanted, key=lambda flag: flag.x))
    best: tuple[Placed, ...] = ()
    for order in orders:
        found = _placed(order, across, size_mm=size_mm, rows=rows, keep=keep)
        if len(found) > len(best):
            best = found
    return best


def rows_needed(placed: Sequence[Placed]) -> int:
    """Count the rows that flags stand in."""
    return max((each.level + 1 for each in placed), default=0)


def flags(placed: Sequence[Placed], room: Box, *, size_mm: float, role: str) -> tuple[Item, ...]:
    """Draw flags that stand on the bottom of a room."""
    items: list[Item] = []
    for each in placed:
        flag, span = each.flag, each.span
        bottom = room.bottom - each.level * size_mm * ROW
        cell = Box(span[0], bottom - size_mm * ROW, span[1], bottom)
        texts = row(each.words, cell, size_mm=size_mm, baseline_mm=bottom - _BELOW * size_mm, anchor=each.anchor)
        stem = Line((flag.x, bottom - size_mm * 0.95), (flag.x, room.bottom), Stroke(INK, HAIR_MM))
        items.append(Group((stem, *texts), role, flag.about))
    return tuple(items)


def _placed(
    wanted: Sequence[Flag], across: _Span, *, size_mm: float, rows: int, keep: Sequence[float]
) -> tuple[Placed, ...]:
    """Give each flag the lowest row that is free, right of its stem or left of it."""
    taken: list[list[_Span]] = [[(x - _STEM_MM, x + _STEM_MM) for x in keep] for _ in range(rows)]
    found: list[Placed] = []
    for flag in wanted:
        stem = (flag.x - _STEM_MM, flag.x + _STEM_MM)
        for choice in _choices(flag, size_mm, rows):
            span, level = choice.span, choice.level
            whole = (min(span[0], stem[0]) - _STEM_MM, max(span[1], stem[1]) + _STEM_MM)
            fits = across[0] <= span[0] and span[1] <= across[1]
            if fits and _free(whole, taken[level]) and all(_free(stem, below) for below in taken[:level]):
                taken[level].append(whole)
                for below in taken[:level]:
                    below.append(stem)
                found.append(choice)
                break
    return tuple(found)


def _choices(flag: Flag, size_mm: float, rows: int) -> Iterator[Placed]:
    for words in (flag.words, flag.short) if flag.short else (flag.words,):
        wide = min(_LONGEST_MM, row_mm(words, size_mm) + 0.01)
        for level in range(rows):
            yield Placed(flag, words, level, (flag.x + _GAP_MM, flag.x + _GAP_MM + wide), Anchor.START)
            yield Placed(flag, words, level, (flag.x - _GAP_MM - wide, flag.x - _GAP_MM), Anchor.END)


def _free(span: _Span, taken: Sequence[_Span]) -> bool:
    return all(span[1] <= low or high <= span[0] for low, high in taken)
