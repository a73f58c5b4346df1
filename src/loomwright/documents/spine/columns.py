"""The columns of the Spine: one table, whatever level a row is on [mm]."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.documents.spine.sheet import SpineSheet

EDGE_MM = 10.0
TAG_MM = 18.0
INDENT_MM = 22.0

_GUTTER_MM = 12.0  # for the lines that feed a second block
_DEEPEST = 3  # levels that fit beside each other on the page's own width


@dataclass(frozen=True, slots=True)
class Columns:
    """Where the parts of a row stand [mm]; `left` moves right with each level, the rest is one table."""

    left: float
    shift: float

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
        return 179 + self.shift

    @property
    def load_end(self) -> float:
        """Right edge of the load's box."""
        return self.load + 58

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
    deep = max(0, _depth(sheet) - _DEEPEST) * INDENT_MM
    return Columns(EDGE_MM + gutter, deep)


def _depth(sheet: SpineSheet) -> int:
    """Count the levels of bars."""
    levels = {block.id: 1 for block in sheet.roots}
    for block in sheet.downwards():
        levels |= {branch.feeds: levels[block.id] + 1 for branch in block.branches if branch.feeds}
    return max(levels.values(), default=1)
