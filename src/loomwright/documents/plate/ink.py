"""What is on the page already: a coarse map of ink that tells how much of it a box would cover."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import accumulate, pairwise

from loomwright.documents.scene import Box, Point

_CELL_MM = 0.8


class Ink:
    """A map of the page in cells, each with the weight of what is drawn there."""

    def __init__(self, page: Box) -> None:
        self._page = page
        self._wide = max(1, math.ceil(page.width / _CELL_MM))
        self._tall = max(1, math.ceil(page.height / _CELL_MM))
        self._cells = [[0.0] * self._wide for _ in range(self._tall)]
        self._sums: list[list[float]] | None = None

    def line(self, points: Sequence[Point], *, weight: float, width_mm: float = 0.0) -> None:
        """Draw a line; where it runs over something heavier, that stays."""
        step_mm = _CELL_MM if width_mm >= _CELL_MM else _CELL_MM / 2
        for a, b in pairwise(points):
            steps = max(1, math.ceil(math.dist(a, b) / step_mm))
            for i in range(steps + 1):
                x, y = a[0] + (b[0] - a[0]) * i / steps, a[1] + (b[1] - a[1]) * i / steps
                self._spot(x, y, width_mm / 2, weight)
        self._sums = None

    def area(self, box: Box, *, weight: float) -> None:
        """Fill a box, on top of what is there."""
        for row in self._rows(box):
            cells = self._cells[row]
            for column in self._columns(box):
                cells[column] += weight
        self._sums = None

    def _spot(self, x: float, y: float, half_mm: float, weight: float) -> None:
        rows = _span(y - half_mm - self._page.top, y + half_mm - self._page.top, self._tall)
        columns = _span(x - half_mm - self._page.left, x + half_mm - self._page.left, self._wide)
        for row in rows:
            cells = self._cells[row]
            for column in columns:
                if cells[column] < weight:  # noqa: PLR1730  some hundred thousand times a page
                    cells[column] = weight

    def _rows(self, box: Box) -> range:
        return _span(box.top - self._page.top, box.bottom - self._page.top, self._tall)

    def _columns(self, box: Box) -> range:
        return _span(box.left - self._page.left, box.right - self._page.left, self._wide)

    def under(self, box: Box) -> float:
        """Return the weight of what a box would cover: its area [mm2] times the mean weight of the cells under it."""
        if self._sums is None:
            self._sums = _summed(self._cells)
        page = self._page  # asked some ten thousand times a page
        left, right = _cells(box.left - page.left, box.right - page.left, self._wide)
        top, bottom = _cells(box.top - page.top, box.bottom - page.top, self._tall)
        if left >= right or top >= bottom:
            return 0.0
        low, high = self._sums[top], self._sums[bottom]
        total = high[right] - low[right] - high[left] + low[left]
        return total / ((right - left) * (bottom - top)) * (box.right - box.left) * (box.bottom - box.top)


def _span(low_mm: float, high_mm: float, cells: int) -> range:
    """Return the cells between two places."""
    return range(*_cells(low_mm, high_mm, cells))


def _cells(low_mm: float, high_mm: float, cells: int) -> tuple[int, int]:
    """Return the first cell between two places, and the one behind the last."""
    first, last = int(low_mm // _CELL_MM), int(high_mm // _CELL_MM) + 1
    return (max(0, first)), (min(cells, last))


def _summed(cells: Iterable[Sequence[float]]) -> list[list[float]]:
    """Return running sums over rows and columns, with a first row and column of zeros."""
    rows = [[0.0, *accumulate(row)] for row in cells]
    sums = [[0.0] * len(rows[0])]
    for row in rows:
        sums.append([a + b for a, b in zip(sums[-1], row, strict=True)])
    return sums
