"""The printed sheets: every code is read from a picture of the page, beside the words of its wire."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
import zxingcpp

from loomwright.documents.flags.pdf import flag_scenes, flags_pdf
from loomwright.documents.flags.rows import flags
from loomwright.documents.flags.stock import LabelStock, label_stock, label_stocks
from loomwright.documents.scene import Box
from loomwright.documents.typst.compile import document, pdf
from loomwright.documents.typst.scene import scene_code
from loomwright.plan.result import Plan
from tests.documents.flags.robots_with_flags import example, hostile, unknowns
from tests.documents.pdf.pages import pages, picture, words

if TYPE_CHECKING:
    from numpy.typing import NDArray

DPI = 150
PX_MM = DPI / 25.4
QR = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)


def read(image: NDArray[np.uint8]) -> list[tuple[str, tuple[float, float]]]:
    """Read every code of a picture: its text and its middle [mm]."""
    found = zxingcpp.read_barcodes(image, formats=QR)
    return [
        (
            each.text,
            (
                (each.position.top_left.x + each.position.bottom_right.x) / 2 / PX_MM,
                (each.position.top_left.y + each.position.bottom_right.y) / 2 / PX_MM,
            ),
        )
        for each in found
    ]


def check(plan: Plan, stock_name: str) -> None:
    """Read a plan's sheets as a phone and a person would, and hold both to the rows."""
    stock = label_stock(stock_name)
    rows = flags(plan)
    sheets = pages(flags_pdf(plan, stock=stock_name))
    assert len(sheets) == -(-len(rows) // stock.labels)
    for number, sheet in enumerate(sheets):
        here = rows[number * stock.labels : (number + 1) * stock.labels]
        codes = read(picture(sheet, dpi=DPI))
        printed = sheet.get_textpage()
        assert len(codes) == len(here)
        for place, row in enumerate(here, 1):
            box = stock.label(place)
            assert [text for text, middle in codes if inside(middle, box)] == [row.code]
            middle = (box.left + box.right) / 2
            for face in (replace(box, right=middle), replace(box, left=middle)):
                assert re.findall(r"W\d+ [AB]", text_in(printed, face, stock)) == [f"{row.id} {row.letter}"]


def text_in(printed: Any, box: Box, stock: LabelStock) -> str:  # noqa: ANN401  the library has no types
    """Give the printed words that stand in a box of the page."""
    high = stock.page_height_mm
    sides = (box.left, high - box.bottom, box.right, high - box.top)
    left, bottom, right, top = (side / 25.4 * 72 for side in sides)
    return str(printed.get_text_bounded(left=left, bottom=bottom, right=right, top=top))


def inside(at: tuple[float, float], box: Box) -> bool:
    """Tell whether a place lies in a box."""
    return box.left < at[0] < box.right and box.top < at[1] < box.bottom


@pytest.mark.parametrize("name", ["tidepool", "breakwater", "rockpool"])
def test_every_code_of_every_flag_is_read_at_150_dpi_beside_its_wire(name: str) -> None:
    """Each label of the page has one code, which says what the row says, and the wire's id on both faces."""
    check(example(name), "a4-cut-4x7")


@pytest.mark.parametrize("stock", [stock.name for stock in label_stocks()])
def test_the_codes_are_read_on_every_kind_of_sheet(stock: str) -> None:
    """On the smallest labels as on the largest."""
    check(example("rockpool"), stock)


def test_hostile_names_and_unknowns_are_read_too() -> None:
    """The code keeps the signs that no shipped font has, and the words of unknowns."""
    check(hostile(), "letter-3x10")
    check(unknowns(), "letter-3x10")
    assert any("🤖🔧" in row.code for row in flags(hostile()))
    assert any("زاوية" in row.code for row in flags(hostile()))


def test_printed_words_stay_in_their_labels() -> None:
    """Squares for signs that no font has are measured as squares: no word reaches over a label's edge."""
    stock = label_stock("a4-cut-4x7")
    (first, *_) = pages(flags_pdf(hostile(), stock=stock.name))
    edges = [stock.label(n).right for n in range(1, stock.columns + 1)]
    labels = [word for word in words(first) if stock.grid.top < word.bottom < stock.grid.bottom]
    assert "□□□□□" in [word.text for word in labels]
    for word in labels:
        assert not [edge for edge in edges if word.left < edge < word.right + 0.9], word


def test_a_pale_print_without_colour_is_read_as_well() -> None:
    """Half the ink on grey paper, with the grain of a copier: the codes still say the same."""
    (first, *_) = pages(flags_pdf(example("rockpool")))
    ink = picture(first, dpi=DPI).astype(np.float64)
    grain = np.random.default_rng(7).normal(0, 8, ink.shape)
    pale = np.clip(110 + ink / 255 * 110 + grain, 0, 255).astype(np.uint8)
    rows = flags(example("rockpool"))
    assert sorted(text for text, _ in read(pale)) == sorted(row.code for row in rows[:28])


def test_there_is_no_colour_on_the_sheets() -> None:
    """What prints in black is all there is."""
    (first, *_) = pages(flags_pdf(example("rockpool")))
    shades = first.render(scale=1).to_numpy().astype(int)
    assert int((shades.max(axis=2) - shades.min(axis=2)).max()) <= 12


def test_pages_have_the_size_of_their_sheet() -> None:
    """To a tenth of a millimetre, so that labels meet their places."""
    for name in ("a4-cut-4x7", "letter-3x10"):
        stock = label_stock(name)
        for sheet in pages(flags_pdf(example("rockpool"), stock=name)):
            size = tuple(side / 72 * 25.4 for side in sheet.get_size())
            assert size == pytest.approx((stock.page_width_mm, stock.page_height_mm), abs=0.1)


def test_page_and_start_are_taken() -> None:
    """Plain paper by the size of the page; the first code on the label that was named."""
    sheets = pages(flags_pdf(example("rockpool"), page="Letter", start=7))
    stock = label_stock("letter-cut-4x7")
    assert sheets[0].get_size()[0] / 72 * 25.4 == pytest.approx(stock.page_width_mm, abs=0.1)
    found = read(picture(sheets[0], dpi=DPI))
    assert not [middle for _, middle in found if any(inside(middle, stock.label(n)) for n in range(1, 7))]
    assert [text for text, middle in found if inside(middle, stock.label(7))] == [flags(example("rockpool"))[0].code]


def test_the_order_of_building_is_the_order_on_the_sheet() -> None:
    """The wire that is made first has the first two labels."""
    stock = label_stock("a4-cut-4x7")
    found = read(picture(pages(flags_pdf(example("rockpool"), order=["W12", "W3"]))[0], dpi=DPI))
    first = [next(text for text, at in found if inside(at, stock.label(n))).split("\n")[0] for n in (1, 2, 3)]
    assert first == ["W12 A", "W12 B", "W3 A"]


def test_the_same_plan_gives_the_same_bytes() -> None:
    """No clock and no chance."""
    assert flags_pdf(example("rockpool")) == flags_pdf(example("rockpool"))


def test_the_scene_with_its_shapes_says_the_same_as_the_pdf() -> None:
    """The shape that other drawings get and the picture in the PDF are one code."""
    (first, *_) = flag_scenes(example("rockpool"), stock="a4-2x7")
    code = f"#page(width:210mm,height:297mm,margin:0mm)[\n{scene_code(first)}]\n"
    (sheet,) = pages(pdf({"main.typ": document("flags") + code}))
    rows = flags(example("rockpool"))
    assert sorted(text for text, _ in read(picture(sheet, dpi=DPI))) == sorted(row.code for row in rows[:14])
