"""Sheets of labels: every row of the table fits on its page."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest

from loomwright.documents.flags.code import code
from loomwright.documents.flags.fold import fold, printable
from loomwright.documents.flags.stock import LabelStock, label_stock, label_stocks, paper_stock
from loomwright.documents.flags.wording import LONGEST_BYTES

STOCKS = pytest.mark.parametrize("stock", label_stocks(), ids=lambda stock: stock.name)
PAGES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}


@STOCKS
def test_labels_stand_on_the_page_side_by_side(stock: LabelStock) -> None:
    """No label leaves its page or lies on another one, and the last is where rows and columns say."""
    boxes = [stock.label(number) for number in range(1, stock.labels + 1)]
    assert all(stock.paper.holds(box, 1e-9) for box in boxes)
    assert not [1 for a, b in combinations(boxes, 2) if a.grown(-1e-6).overlaps(b.grown(-1e-6))]
    assert boxes[-1] == stock.label(stock.columns * stock.rows)
    assert boxes[0].left == stock.left_mm
    assert boxes[stock.columns].top == pytest.approx(stock.top_mm + stock.pitch_y_mm)


@STOCKS
def test_a_sheet_has_the_size_of_its_page_and_stands_in_its_middle(stock: LabelStock) -> None:
    """A4 by ISO 216, Letter 8.5 by 11 in; labels are centred, to a millimetre, as such sheets are made."""
    assert sorted((stock.page_width_mm, stock.page_height_mm)) == sorted(PAGES[stock.page])
    assert stock.grid.left == pytest.approx(stock.page_width_mm - stock.grid.right, abs=1)
    assert stock.grid.top == pytest.approx(stock.page_height_mm - stock.grid.bottom, abs=1)
    assert stock.cut == (stock.pitch_x_mm == stock.label_width_mm and stock.source == "own-choice")


@STOCKS
@pytest.mark.parametrize("outside_mm", [2.35, 3.94, 8.89, 12.0, None])
def test_every_label_holds_the_largest_code_and_any_wire(stock: LabelStock, outside_mm: float | None) -> None:
    """Both faces keep room for a code of 45 modules and lie in what a printer reaches, on every label of the sheet."""
    made = code("x" * LONGEST_BYTES)
    for number in range(1, stock.labels + 1):
        box = stock.label(number)
        parts = fold(box, stock.paper, outside_mm=outside_mm, code_mm=made.least_mm)
        for face in (parts.left, parts.right):
            assert face.width >= made.least_mm - 1e-9
            assert face.height >= made.least_mm
            assert printable(box, stock.paper).holds(face, 1e-9)


def test_names_are_told_and_near_misses_named() -> None:
    """A sheet that there is not gives the ones that look like it, a page that there is not the pages."""
    assert label_stock("a4-3x7").labels == 21
    with pytest.raises(ValueError, match=r"there is no label sheet `a4-3x77`: write a4-3x7"):
        label_stock("a4-3x77")
    assert paper_stock("letter").name == "letter-cut-4x7"
    with pytest.raises(ValueError, match="there is no page `A3` for flags: write A4 or Letter"):
        paper_stock("A3")
    with pytest.raises(ValueError, match=r"label 29 is not on a page of a4-cut-4x7: give 1 to 28"):
        label_stock("a4-cut-4x7").label(29)


def test_the_docs_list_every_sheet() -> None:
    """Name, labels on a page and size, as the table has them."""
    page = (Path(__file__).parents[3] / "docs" / "outputs.md").read_text(encoding="utf-8")
    told = [line for line in page.splitlines() if line.startswith(("| `a4-", "| `letter-"))]
    assert told == [
        f"| `{each.name}` | {each.labels} | {each.label_width_mm:g} by {each.label_height_mm:g} mm"
        f"{', cut from paper' if each.cut else ''} |"
        for each in label_stocks()
    ]
