"""Paragraphs in a small room: as large as they fit whole, and shared out fairly where nothing fits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from loomwright.documents.label import label
from loomwright.documents.scene import Box, Item
from loomwright.documents.type import Face, clean, width_mm

ARROW: Final = "→"
#: Sizes to try, largest first; the last ones with the condensed face for everything.
_SIZES: Final = (
    (4.2, Face.BOLD),
    (3.8, Face.BOLD),
    (3.4, Face.BOLD),
    (3.0, Face.BOLD),
    (3.0, Face.TAG),
    (2.7, Face.TAG),
)
#: A line's height and its baseline, in sizes: any sign of any font stays in its line.
_LEADING: Final = 1.21
#: Words stay this much smaller than their room is high, so that the flags of one sheet look alike.
_SHARE: Final = 0.19
_BASELINE: Final = 0.95


@dataclass(frozen=True, slots=True)
class Words:
    """One paragraph; a bold one turns to the condensed face where it must."""

    text: str
    bold: bool = False


def words_in(paragraphs: tuple[Words, ...], room: Box) -> tuple[Item, ...]:
    """Write paragraphs below each other in the largest size in which all of them fit.

    Where they fit in none, each gets a share of the lines in the smallest size, and what is left over is cut off with
    an ellipsis. The room must hold one line for each.
    """
    for size, bold in (each for each in _SIZES if each[0] <= room.height * _SHARE or each == _SIZES[-1]):
        faces = [bold if each.bold else Face.TAG for each in paragraphs]
        broken = [lines(each.text, face, size, room.width) for each, face in zip(paragraphs, faces, strict=True)]
        whole = all(
            width_mm(line, face, size) <= room.width for held, face in zip(broken, faces, strict=True) for line in held
        )
        many = int(room.height / (size * _LEADING) + 1e-6)
        if (whole and sum(map(len, broken)) <= many) or (size, bold) == _SIZES[-1]:
            return _set(broken, faces, room, size=size, shares=_shares(list(map(len, broken)), many))
    return ()


def lines(words: str, face: Face, size_mm: float, room_mm: float) -> list[str]:
    """Break words into lines of a width; a longer word has a line of its own, an arrow stays with what it points to."""
    said = clean(words).split()
    if said[:1] == [ARROW]:
        said[:2] = [" ".join(said[:2])]
    found: list[str] = []
    for word in said:
        longer = f"{found[-1]} {word}" if found else word
        if found and width_mm(longer, face, size_mm) <= room_mm:
            found[-1] = longer
        else:
            found.append(word)
    return found or [""]


def _set(broken: list[list[str]], faces: list[Face], room: Box, *, size: float, shares: list[int]) -> tuple[Item, ...]:
    items: list[Item] = []
    y = room.top
    for held, face, share in zip(broken, faces, shares, strict=True):
        for line in [*held[: share - 1], " ".join(held[share - 1 :])]:
            box = Box(room.left, y, room.right, y + size * _LEADING)
            items += label(line, box, size_mm=size, face=face, baseline_mm=y + size * _BASELINE)
            y = box.bottom
    return tuple(items)


def _shares(needs: list[int], total: int) -> list[int]:
    """Share out lines: one to each paragraph, the rest one by one to those that have the fewest and need more."""
    shares = [1] * len(needs)
    for _ in range(total - len(needs)):
        short = [i for i, need in enumerate(needs) if shares[i] < need]
        if short:
            shares[min(short, key=lambda i: shares[i])] += 1
    return shares
