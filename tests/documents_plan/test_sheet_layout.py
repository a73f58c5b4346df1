"""What people see: every text has room, numbers line up, prints can be read, copies in grey say the same.

The twin of our estimate of lines measures each text with the metrics of another typeface, the one of the drawings.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache, partial

import pytest

from loomwright.documents.look import INK, SAND
from loomwright.documents.type import Face, clean, width_mm
from loomwright.documents.workbook.book import workbook
from loomwright.documents.workbook.sheets import Look, sheets
from loomwright.findings import Finding, Place, Severity
from loomwright.model.rules import Rule
from loomwright.plan.result import Plan
from tests.documents_plan.factories import branch, plan, reasoned, robot, rules, sizing
from tests.documents_plan.laid_out import laid_out
from tests.documents_plan.xlsx import MAIN, Book, Cell, SheetFile
from tests.robots import EXAMPLES, example_plan

SHEETS = {sheet.name: sheet for sheet in sheets()}
PX_MM = 25.4 / 96
PT_MM = 25.4 / 72
#: A line of a plain sans-serif face, in its size.
LINE = 1.15
#: One step of indent, or the width of an m [px].
INDENT_PX = 9.0
#: The greatest height of a row, in whole pixels.
HIGHEST_PT = 408.75
PAPER_MM = 297 - 2 * 0.25 * 25.4
INK_RGB, SAND_RGB = (f"FF{colour[1:].upper()}" for colour in (INK, SAND))


def long_winded() -> Plan:
    """Make a plan in which everything is told at length."""
    wordy = "A very long story about this wire and all that hangs on it, told without haste. " * 4
    name = "the rearmost of the many left-hand-side steering controllers"
    told = branch(
        name,
        1,
        slot=reasoned("an outlet with a name of its own", wordy),
        protection="breaker/with-a-long-name-40a",
        sizing=sizing(decided_by=tuple(f"limit {n}" for n in range(40)), assumptions=(wordy,)),
    )
    finding = Finding("a-code", Severity.MUST, Place("robot.yaml", 1, 2, name * 3), wordy, wordy, "a-source", (wordy,))
    told_rules = replace(rules(), rules=tuple(Rule(f"c{n}", "caution", wordy, Severity.MUST, "x") for n in range(3)))
    return plan((told,), robot=robot(name=name), rules=told_rules, findings=(finding, replace(finding, asks=True)))


PLANS: dict[str, Callable[[], Plan]] = {name: partial(example_plan, name) for name in EXAMPLES}
PLANS |= {"factory": plan, "wordy": long_winded, "laid out": laid_out}


@cache
def book(name: str) -> Book:
    """Give the workbook of a plan."""
    return Book(workbook(PLANS[name]()))


def room_mm(cell: Cell) -> float:
    """Give the width that a text has in its cell: without the edges and without its indent."""
    air = INDENT_PX if cell.look.alignment.get("indent") or cell.look.form.endswith("_m") else 0.0
    return (cell.width_px - air) * PX_MM


def measured_mm(words: str, cell: Cell) -> float:
    """Measure words in the size of a cell by the metrics of the drawings' typeface."""
    return width_mm(clean(words), Face.BOLD if cell.look.bold else Face.TEXT, cell.look.size_pt * PT_MM)


def lines_needed(cell: Cell) -> int:
    """Wrap a text between words; a word that is too long breaks anywhere."""
    room = room_mm(cell)
    if measured_mm(cell.value, cell) <= room and "\n" not in cell.value:
        return 1
    count = 0
    for paragraph in cell.value.split("\n"):
        line, count = "", count + 1
        for word in paragraph.split(" "):
            joined = f"{line} {word}".strip()
            if measured_mm(joined, cell) <= room:
                line = joined
                continue
            wide = measured_mm(word, cell)
            count += bool(line) + int(wide / room)
            line = word if wide <= room else word[-1]
    return count


def is_text(cell: Cell) -> bool:
    """Tell a text from a number and from an empty box."""
    return re.search(r"[^\d.]", cell.value) is not None


def head_row(name: str, sheet: SheetFile) -> int:
    """Find the row of the columns' titles."""
    titles = [shown.column.title for shown in SHEETS[name].shown]
    rows: dict[int, list[str]] = {}
    for cell in sheet.cells:
        rows.setdefault(cell.y, []).append(cell.value)
    return next(y for y, row in rows.items() if row == titles)


def table(name: str, sheet: SheetFile) -> list[dict[str, Cell]]:
    """Give the rows below the titles, by key."""
    keys = [shown.column.key for shown in SHEETS[name].shown]
    rows: dict[int, dict[str, Cell]] = {}
    head = head_row(name, sheet)
    for cell in sheet.cells:
        if cell.y > head:
            rows.setdefault(cell.y, {})[keys[cell.x]] = cell
    return list(rows.values())


@pytest.mark.parametrize("sheet", list(SHEETS))
@pytest.mark.parametrize("name", list(PLANS))
def test_every_row_is_as_high_as_its_texts_need(name: str, sheet: str) -> None:
    held = book(name).sheets[sheet]
    for cell in filter(is_text, held.cells):
        line_pt = LINE * cell.look.size_pt
        needed_pt = lines_needed(cell) * line_pt
        assert held.heights_pt[cell.y] >= min(HIGHEST_PT, needed_pt), cell.value
        assert cell.look.alignment.get("wrapText") == "1" or needed_pt <= line_pt, cell.value


@pytest.mark.parametrize("sheet", list(SHEETS))
@pytest.mark.parametrize("name", EXAMPLES)
def test_rows_are_not_much_higher_than_they_need(name: str, sheet: str) -> None:
    """Paper is short: most rows of a table fit to the line."""
    held = book(name).sheets[sheet]
    loose, rows = [], table(sheet, held)
    for row in rows:
        need = max(lines_needed(cell) for cell in row.values())
        (y,) = {cell.y for cell in row.values()}
        loose += [y] if held.heights_pt[y] > 12.75 * need + 3.75 else []
    assert len(loose) <= max(2, len(rows) / 7), loose


@pytest.mark.parametrize("sheet", list(SHEETS))
@pytest.mark.parametrize("name", EXAMPLES)
def test_no_column_is_narrower_than_its_longest_word(name: str, sheet: str) -> None:
    """A word may break behind a dash or a stroke, as office programs break it; a column's title may not."""
    held = book(name).sheets[sheet]
    head = head_row(sheet, held)
    for cell in held.cells:
        words = cell.value.split() if cell.y <= head else re.findall(r"[^\s/-]+[/-]?", cell.value)
        if not is_text(cell) and cell.look.form.startswith("0"):
            places = cell.look.form.removesuffix("_m").partition(".")[2]
            words = [f"{float(cell.value):.{len(places)}f}"]  # a number is shown whole, or not at all
        for word in words:
            assert measured_mm(word, cell) <= room_mm(cell), (word, cell.value)


@pytest.mark.parametrize("sheet", list(SHEETS))
def test_unknown_fits_wherever_it_may_stand(sheet: str) -> None:
    never = {
        "line",
        "column",
        "wire",
        "end",
        "ends",
        "kind",
        "colour",
        "pull_n",
        "pull_lbf",
        "hold_s",
        "card",
        "severity",
    }
    never |= {"strip_mm"} if sheet == "cards" else set()
    never |= {"ties", "wires", "pieces", "order", "fill_pct", "tie_every_cm"}
    for shown in SHEETS[sheet].shown:
        if shown.look is not Look.BOX and shown.column.key not in never:
            wide_mm = width_mm("unknown", Face.TEXT, 10 * PT_MM)
            assert (7 * shown.width - INDENT_PX) * PX_MM >= wide_mm, shown.column.key


@pytest.mark.parametrize("sheet", list(SHEETS))
@pytest.mark.parametrize("name", EXAMPLES)
def test_numbers_of_a_column_have_as_many_places_as_its_finest_and_stand_at_the_right(name: str, sheet: str) -> None:
    rows = table(sheet, book(name).sheets[sheet])
    for shown in SHEETS[sheet].shown:
        cells = [row[shown.column.key] for row in rows]
        number = shown.look is Look.NUMBER
        assert {cell.look.alignment.get("horizontal") for cell in cells} <= {"right" if number else "left"}
        numbers = [cell for cell in cells if number and not is_text(cell)]
        if numbers:
            places = max(len(cell.value.partition(".")[2]) for cell in numbers)
            assert {cell.look.form for cell in numbers} == {(f"0.{'0' * places}" if places else "0") + "_m"}


@pytest.mark.parametrize("sheet", list(SHEETS))
def test_texts_have_air_beside_them_so_that_no_two_columns_touch(sheet: str) -> None:
    held = book("tidepool").sheets[sheet]
    for cell in held.cells:
        if cell.x and cell.y >= head_row(sheet, held):
            assert cell.look.alignment.get("indent") == "1" or cell.look.form.endswith("_m"), cell


def test_every_sheet_is_printed_in_seven_points_or_more_and_all_nearly_alike() -> None:
    wide_mm = {name: sum(sheet.widths_px) * PX_MM for name, sheet in book("tidepool").sheets.items()}
    sizes = {name: 10 * min(1.0, PAPER_MM / wide) for name, wide in wide_mm.items()}
    assert min(sizes.values()) >= 7.05, sizes
    assert max(sizes.values()) <= 1.05 * min(sizes.values()), sizes


def test_widths_are_counted_in_a_digit_that_is_seven_pixels_wide() -> None:
    """So that programs which round to pixels and programs which don't make the same page."""
    styles = book("tidepool").styles
    sizes = [float(size.attrib["val"]) for size in styles.iter(f"{MAIN}sz")]
    assert 0.556 * sizes[0] * 96 / 72 == pytest.approx(7, rel=0.01)
    assert not list(styles.iter(f"{MAIN}scheme"))  # or a program puts its own typeface instead
    fonts = styles.find(f"{MAIN}fonts")
    assert fonts is not None
    assert {name.attrib["val"] for name in fonts.iter(f"{MAIN}name")} == {"Arial"}


@pytest.mark.parametrize("sheet", list(SHEETS))
def test_each_row_is_ruled_off_and_each_group_in_ink(sheet: str) -> None:
    rows = table(sheet, book("laid out").sheets[sheet])
    assert rows
    grouped = SHEETS[sheet].grouped_by
    for row, below in zip(rows, [*rows[1:], None], strict=True):
        style, colour = next(iter(row.values())).look.borders["bottom"]
        assert style == "thin"
        if grouped in row or not grouped:
            ends = below is None or (bool(grouped) and below[grouped].value != row[grouped].value)
            assert (colour == INK_RGB) == ends, row


def test_what_is_coloured_is_as_clear_in_grey() -> None:
    """Only titles are filled, lighter than 15 %; texts are ink; rules have 3 to 1 on white."""
    styles = book("tidepool").styles
    assert {colour.attrib["rgb"] for colour in styles.iter(f"{MAIN}fgColor")} == {SAND_RGB}
    assert grey(SAND) >= 0.85
    assert contrast(SAND, INK) >= 7
    cells = [cell for sheet in book("tidepool").sheets.values() for cell in sheet.cells]
    colours = {f"#{colour[2:]}" for cell in cells for _, colour in cell.look.borders.values() if colour}
    assert all(contrast(colour, "#ffffff") >= 3 for colour in colours)
    fonts = styles.find(f"{MAIN}fonts")
    assert fonts is not None
    assert {colour.get("rgb") for colour in fonts.iter(f"{MAIN}color")} <= {INK_RGB, None}


def grey(colour: str) -> float:
    """Give how light a colour is in a copy: 1 is paper."""
    red, green, blue = (int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue


def contrast(one: str, other: str) -> float:
    """Give the contrast of two colours (WCAG 2.2)."""
    found = []
    for colour in (one, other):
        parts = (int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5))
        red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
        found.append(0.2126 * red + 0.7152 * green + 0.0722 * blue)
    return (max(found) + 0.05) / (min(found) + 0.05)


def test_end_a_is_shown_filled_and_end_b_hollow_while_the_cell_holds_the_letter() -> None:
    ends = [row["end"] for row in table("ends", book("tidepool").sheets["ends"])]
    assert {cell.value: cell.look.form for cell in ends} == {"A": '"● "@', "B": '"○ "@'}


def test_money_has_two_places_where_it_has_any() -> None:
    (cost, *_) = [row["cost"] for row in table("to buy", book("laid out").sheets["to buy"])]
    assert (cost.value, cost.look.form) == ("12.5", "0.00_m")


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_page_of_ends_tears_a_wire(name: str) -> None:
    sheet = book(name).sheets["ends"]
    wires = {row["wire"].y: row["wire"].value for row in table("ends", sheet)}
    breaks = [int(found["id"]) for found in sheet.find("brk")]
    assert bool(breaks) == (len(wires) > 40)
    assert all(wires[row] != wires[row - 1] for row in breaks)


def test_boxes_for_initials_have_four_sides() -> None:
    boxes = [row["made_by"] for row in table("ends", book("tidepool").sheets["ends"])]
    assert {cell.value for cell in boxes} == {""}
    assert all(set(cell.look.borders) == {"left", "right", "top", "bottom"} for cell in boxes)


def test_a_text_of_digits_is_not_marked_as_a_mistake() -> None:
    found = book("tidepool").sheets["circuits"].find("ignoredError")
    assert [error["numberStoredAsText"] for error in found] == ["1"]
