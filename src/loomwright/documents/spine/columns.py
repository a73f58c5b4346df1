"""The columns of the Spine: one table, whatever level a row is on [mm]."""

from __future__ import annotations

from dataclasses import dataclass, replace

from loomwright.documents.look import SMALL_MM
from loomwright.documents.spine.sheet import SpineBranch, SpineSheet
from loomwright.documents.type import Face, clean, width_mm

EDGE_MM = 10.0
TAG_MM = 18.0
INDENT_MM = 22.0

_GUTTER_MM = 12.0  # for the lines that feed a second block
_LOAD_MM = 58.0
_STATE_MM = 15.5
_AROUND_MM = 4.1
_WIRE_MM = 56.0  # so much of a wire is left to be seen, with its name and its flag on it
_DEEPEST = 3  # levels that fit beside each other on the page's own width


@dataclass(frozen=True, slots=True)
class Columns:
    """Where the parts of a row stand [mm]; `left` moves right with each level, the rest is one table.

    `more` is what the loads take of the wires' room, for long words.
    """

    left: float
    shift: float
    more: float = 0.0

    def below(self) -> Columns:
        """Return the columns of the level below."""
        return replace(self, left=self.left + INDENT_MM)

    @property
    def axis(self) -> float:
        """Middle of the bar."""
        return self.left + TAG_MM / 2

    @property
    def guard(self) -> float:
        """Left edge of the protection."""
        return self.left + TAG_MM + 3

    @property
    def end_a(self) -> float:
        """Tip of the lug at end A."""
        return self.guard + 25

    @property
    def end_b(self) -> float:
        """Tip of the lug at end B."""
        return self.load - 3

    @property
    def load(self) -> float:
        """Left edge of the load's box."""
        return 179 + self.shift - self.more

    @property
    def load_end(self) -> float:
        """Right edge of the load's box."""
        return 179 + self.shift + _LOAD_MM

    @property
    def margin(self) -> float:
        """Left edge of the margin bar."""
        return self.load_end + 5

    @property
    def margin_end(self) -> float:
        """Right edge of the margin bar."""
        return self.margin + 26

    @property
    def drop_end(self) -> float:
        """Right edge of the drop, and of everything."""
        return self.margin_end + 19


def columns(sheet: SpineSheet) -> Columns:
    """Return the columns of the first level: moved right for a second root's feed, wider for deep nesting."""
    gutter = _GUTTER_MM if len(sheet.roots) > 1 else 0.0
    deep = max(0, levels(sheet) - _DEEPEST) * INDENT_MM
    return with_room(sheet, Columns(EDGE_MM + gutter, deep))


def with_room(sheet: SpineSheet, at: Columns) -> Columns:
    """Return columns whose loads are as wide as what is said of them, as far as the wires can spare it."""
    asked = max((_words_mm(branch) for branch in sheet.branches() if not branch.free), default=0.0)
    deepest = replace(at, left=at.left + (levels(sheet) - 1) * INDENT_MM, more=0.0)
    spare = deepest.end_b - deepest.end_a - _WIRE_MM
    return replace(at, more=max(0.0, min(asked - _LOAD_MM, spare)))


def _words_mm(branch: SpineBranch) -> float:
    """Return how wide the box of a load has to be for all that is said of it [mm]."""
    state = _STATE_MM if branch.state else 0.0
    return width_mm(clean(branch.detail), Face.TAG, SMALL_MM) + state + _AROUND_MM


def levels(sheet: SpineSheet) -> int:
    """Count the levels of bars."""
    levels = {block.id: 1 for block in sheet.roots}
    for block in sheet.downwards():
        levels |= {branch.feeds: levels[block.id] + 1 for branch in block.branches if branch.feeds}
    return max(levels.values(), default=1)
