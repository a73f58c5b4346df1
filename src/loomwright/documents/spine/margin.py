"""How much of its tightest limit a branch has left: a bar, words, and a mark where it is little."""

from __future__ import annotations

import math

from loomwright.documents.label import label
from loomwright.documents.look import HI_VIS, INK, LINE_MM, SMALL_MM, WHITE
from loomwright.documents.scene import Box, Hatch, Item, Rect, Stroke, Text
from loomwright.documents.spine.columns import Columns
from loomwright.documents.spine.sheet import SpineBranch
from loomwright.documents.type import Face, clean

TIGHT = 0.9  # from this share used on, the rest of the bar is hatched and the words are marked


def margin(branch: SpineBranch, at: Columns, y: float) -> tuple[Item, ...]:
    """Draw the margin bar: ink is used of the tightest limit, white is left; hatched when little or nothing is."""
    room = Box(at.margin, y - 4.6, at.margin_end, y - 0.9)
    words = Box(at.margin, y - 0.6, at.drop_end, y + 5)
    binds = clean(branch.binds)
    if branch.used is None or not math.isfinite(branch.used):
        unknown = _bar_box(room, Stroke(INK, LINE_MM, (1.6, 1.0)), WHITE)
        return (unknown, *label(binds or "not known", words, size_mm=SMALL_MM, baseline_mm=y + 3.5, narrow=True))
    used = max(0.0, branch.used)
    tight = used > TIGHT
    items: list[Item] = [_bar_box(room, None, Hatch(ground=HI_VIS) if tight else WHITE)]
    if used <= 1:
        items.append(Rect(room.left, room.top, room.width * used, room.height, 0, None, INK))
    items.append(_bar_box(room, Stroke(INK, LINE_MM), ""))
    words = Box(words.left, words.top, words.right - (4 if tight else 0), words.bottom)
    told = margin_words(used, binds)
    said = label(told, words, size_mm=SMALL_MM, face=Face.BOLD, baseline_mm=y + 3.5, narrow=True)
    return (*items, *(marked(said) if tight else said))


def _bar_box(room: Box, stroke: Stroke | None, fill: str | Hatch) -> Rect:
    """Draw the whole length of a margin bar."""
    return Rect(room.left, room.top, room.width, room.height, 0, stroke, fill)


def marked(said: tuple[Text, ...]) -> tuple[Item, ...]:
    """Put a text that must not be overlooked into a box with a hazard tab behind it; the text itself does not move.

    The words stay on white: nothing darker than 15 % lies behind words on paper.
    """
    edge = Stroke(INK, LINE_MM)
    items: list[Item] = []
    for text in said:
        box = text.box.grown(text.size_mm / 4)
        tab = Rect(box.right, box.top, box.height * 0.8, box.height, 0, edge, Hatch(ground=HI_VIS))
        items += [Rect(box.left, box.top, box.width, box.height, 0, edge, WHITE), tab, text]
    return tuple(items)


def margin_words(used: float, binds: str) -> str:
    """Write a margin in words: "38 % left, drop" or "12 % over, drop"; over is never rounded to nothing."""
    left_pct = round((1 - used) * 100, 6)  # so that 0.9 leaves 10, not 9.999...
    share = math.floor(left_pct) if used <= 1 else math.ceil(-left_pct)
    words = f"{min(share, 999)} % {'left' if used <= 1 else 'over'}"
    return f"{words}, {binds}" if binds else words
