"""Sheets of labels, as rows of a table: how many there are on a page, how large, and where."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from loomwright.catalogue.tables import table
from loomwright.documents.scene import Box
from loomwright.wording import listed, nearest, quoted


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelStock:
    """One kind of sheet: its page and its labels, all in mm.

    The pitch is from one label's left (top) edge to the next one's; left and top are the first label's place.
    `cut` tells plain paper, to be cut, from sheets whose labels peel off.
    """

    name: str
    page: str
    page_width_mm: float
    page_height_mm: float
    columns: int
    rows: int
    label_width_mm: float
    label_height_mm: float
    pitch_x_mm: float
    pitch_y_mm: float
    left_mm: float
    top_mm: float
    cut: bool
    source: str

    @property
    def labels(self) -> int:
        """How many labels are on one page."""
        return self.columns * self.rows

    @property
    def paper(self) -> Box:
        """The page as a box."""
        return Box(0.0, 0.0, self.page_width_mm, self.page_height_mm)

    @property
    def grid(self) -> Box:
        """The box around all labels of a page."""
        last = self.label(self.labels)
        return Box(self.left_mm, self.top_mm, last.right, last.bottom)

    def label(self, number: int) -> Box:
        """Return the box of a label by its number on the page: 1 at the left top, then row by row.

        Raises
        ------
        ValueError
            For a number that the page does not have.
        """
        if not 1 <= number <= self.labels:
            raise ValueError(f"label {number} is not on a page of {self.name}: give 1 to {self.labels}")
        row, column = divmod(number - 1, self.columns)
        left, top = self.left_mm + column * self.pitch_x_mm, self.top_mm + row * self.pitch_y_mm
        return Box(left, top, left + self.label_width_mm, top + self.label_height_mm)


def label_stock(name: str) -> LabelStock:
    """Return a kind of sheet by its name.

    Raises
    ------
    ValueError
        For a name that the table does not have.
    """
    known = {each.name: each for each in label_stocks()}
    if name not in known:
        close = nearest(name, known) or list(known)
        raise ValueError(f"there is no label sheet {quoted(name)}: write {listed(close)}")
    return known[name]


def paper_stock(page: str) -> LabelStock:
    """Return the layout on plain paper, to be cut, for a page called "A4" or "Letter", in any case.

    Raises
    ------
    ValueError
        For another page.
    """
    found = [each for each in label_stocks() if each.cut and each.page.casefold() == page.strip().casefold()]
    if not found:
        pages = dict.fromkeys(each.page for each in label_stocks() if each.cut)
        raise ValueError(f"there is no page {quoted(page)} for flags: write {listed(list(pages))}")
    return found[0]


@cache
def label_stocks() -> tuple[LabelStock, ...]:
    """Return every kind of sheet, in the order of the table."""
    return tuple(
        LabelStock(
            name=row["name"],
            page=row["page"],
            page_width_mm=float(row["page_width_mm"]),
            page_height_mm=float(row["page_height_mm"]),
            columns=int(row["columns"]),
            rows=int(row["rows"]),
            label_width_mm=float(row["label_width_mm"]),
            label_height_mm=float(row["label_height_mm"]),
            pitch_x_mm=float(row["pitch_x_mm"]),
            pitch_y_mm=float(row["pitch_y_mm"]),
            left_mm=float(row["left_mm"]),
            top_mm=float(row["top_mm"]),
            cut=row["cut"] == "yes",
            source=row["source"],
        )
        for row in table("label_stock")
    )
