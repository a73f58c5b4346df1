"""One sheet of the workbook, written from the top down: names, cautions, a note, the table, how it prints."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import Final, TypeAlias

from xlsxwriter.format import Format
from xlsxwriter.utility import xl_range
from xlsxwriter.worksheet import Worksheet

from loomwright.documents.paging import A4, FOOT_IN, SIDE_IN, TOP_IN, page_ends, room_pt
from loomwright.documents.tables.cells import Cell, as_words
from loomwright.documents.workbook.notes import notes
from loomwright.documents.workbook.rows import sheet_rows
from loomwright.documents.workbook.sheets import Look, Sheet
from loomwright.documents.workbook.style import EDGE, INDENT, LINE_PT, PAD_PT, TITLE_TIMES, UNIT_PT, Style
from loomwright.documents.wrapping import lines
from loomwright.plan.result import Plan
from loomwright.rulebook import cautions

#: The button of a filter stands at the foot of a column's title.
_BUTTON_PT: Final = 6.0
#: No spreadsheet makes a row higher; so many cautions stand in one row.
_HIGHEST_PT: Final = 409.0
_CAUTIONS_A_ROW: Final = 8
#: A foot holds 255 characters.
_LONGEST_NAME: Final = 80
_MONEY_PLACES: Final = 2

_Row: TypeAlias = dict[str, Cell]
#: First and last column of a text that runs over several.
_Columns: TypeAlias = tuple[int, int]


class SheetPage:
    """One sheet while it is written."""

    def __init__(self, page: Worksheet, sheet: Sheet, plan: Plan, style: Style) -> None:
        self._page = page
        self._sheet = sheet
        self._plan = plan
        self._style = style
        self._heights_pt: list[float] = []
        #: Where each column ends at the right [column units].
        self._rights = list(accumulate(shown.width + EDGE for shown in sheet.shown))
        self._last = len(self._rights) - 1

    def fill(self) -> None:
        """Write all of it."""
        rows = sheet_rows(self._sheet.name, self._plan)
        self._top(notes(self._sheet, self._plan, empty=not rows))
        head = self._y
        self._head()
        self._rows(rows)
        self._page.hide_gridlines(2)
        self._page.freeze_panes(head + 1, 1)
        if rows:
            self._page.autofilter(head, 0, self._y - 1, self._last)
            texts = xl_range(head + 1, 0, self._y - 1, self._last)
            self._page.ignore_errors({"number_stored_as_text": texts})
        self._print(head)
        self._end_pages(rows, head)

    @property
    def _y(self) -> int:
        """The row that is written next."""
        return len(self._heights_pt)

    def _end_row(self, height_pt: float) -> None:
        held_pt = min(_HIGHEST_PT, height_pt)
        self._page.set_row(self._y, held_pt)
        self._heights_pt.append(held_pt)

    def _top(self, said: Sequence[str]) -> None:
        """Write what stands above the table; the cautions stand in two columns, so that the table isn't far down."""
        plan, sheet, style = self._plan, self._sheet, self._style
        told = [sheet.caution] if sheet.caution else []
        told += cautions(plan.rules) if sheet.work else ()
        parts = [told[y : y + _CAUTIONS_A_ROW] for y in range(0, len(told), _CAUTIONS_A_ROW)]
        middle = self._middle(parts)
        left, right = (0, middle), (middle + 1, self._last)
        about = f"plan revision {plan.revision}, rule book {plan.rules.name} {plan.rules.dated}".rstrip()
        most = self._spread(right, about, style.about())
        title = f"{_robot(plan)}: {sheet.name}"
        self._spread(left, title, style.title())
        high = lines(title, self._rights[middle] / TITLE_TIMES, bold=True) * TITLE_TIMES
        self._end_row(_height_pt(max(high, most)))
        for part in parts:
            most, count = _two_columns(part, self._rooms(middle))
            self._spread(left, "\n".join(map(_marked, part[:count])), style.caution())
            if part[count:]:
                self._spread(right, "\n".join(map(_marked, part[count:])), style.caution())
            self._end_row(_height_pt(most))
        for words in said:
            self._end_row(_height_pt(self._spread((0, self._last), words, style.note())))

    def _middle(self, parts: Sequence[Sequence[str]]) -> int:
        """Choose the column that the left half ends with: the cautions take few lines, the halves are near alike."""

        def cost(x: int) -> tuple[int, float]:
            left, right = self._rooms(x)
            return sum(_two_columns(part, (left, right))[0] for part in parts), abs(left - right)

        return min(range(self._last), key=cost)

    def _rooms(self, middle: int) -> tuple[float, float]:
        """Give the widths that cautions have in the left half and in the right one [column units]."""
        return self._rights[middle] - INDENT, self._rights[-1] - self._rights[middle] - INDENT

    def _spread(self, over: _Columns, words: str, form: Format) -> int:
        """Write a text over several columns and count its lines."""
        first, last = over
        if first < last:
            self._page.merge_range(self._y, first, self._y, last, "", form)
        self._page.write_string(self._y, first, words, form)
        wide = self._rights[last] - (self._rights[first - 1] if first else 0.0)
        return lines(words, wide)

    def _head(self) -> None:
        most = 1
        for x, shown in enumerate(self._sheet.shown):
            self._page.set_column(x, x, shown.width)
            self._page.write_string(self._y, x, shown.column.title, self._style.head(shown.look, first=x == 0))
            most = max(most, lines(shown.column.title, _room(shown.width, x), bold=True))
        self._end_row(_height_pt(most) + _BUTTON_PT)

    def _rows(self, rows: Sequence[_Row]) -> None:
        places = {shown.column.key: _places(rows, shown.column.key) for shown in self._sheet.shown}
        lasts = [*(one != other for one, other in pairwise(self._groups(rows))), True]
        for row, last in zip(rows, lasts, strict=False):
            self._row(row, places, last=last)

    def _row(self, row: _Row, places: dict[str, int], *, last: bool) -> None:
        """Write a number as a number and all else as a text; the library cuts what no cell can hold."""
        most = 1
        for x, shown in enumerate(self._sheet.shown):
            cell = row[shown.column.key]
            if isinstance(cell, float):
                self._page.write_number(self._y, x, cell, self._style.number(places[shown.column.key], last=last))
                continue
            words = as_words(cell, "\n")
            self._page.write_string(self._y, x, words, self._style.text(shown.look, words, first=x == 0, last=last))
            most = max(most, lines(words, _room(shown.width, x), bold=shown.look is Look.STRONG))
        self._end_row(_height_pt(most))

    def _groups(self, rows: Sequence[_Row]) -> list[str]:
        """Tell which rows belong together: those with the same word."""
        key = self._sheet.grouped_by
        return [as_words(row[key]) if key else "" for row in rows]

    def _print(self, head: int) -> None:
        """Print one page wide, with the head on every page."""
        page, plan = self._page, self._plan
        page.set_landscape()
        page.set_paper(A4)
        page.set_margins(left=SIDE_IN, right=SIDE_IN, top=TOP_IN, bottom=FOOT_IN)
        page.fit_to_pages(1, 0)
        page.repeat_rows(head)
        page.print_area(0, 0, self._y - 1, self._last)
        name = _robot(plan)[:_LONGEST_NAME].replace("&", "&&")
        page.set_footer(f"&L{name}: {self._sheet.name}&CRevision {plan.revision}&RPage &P of &N", {"margin": 0.3})

    def _end_pages(self, rows: Sequence[_Row], head: int) -> None:
        """End pages so that both ends of a wire stay on one, and so on; the head stands on every page."""
        room = room_pt(self._rights[-1] * UNIT_PT)
        ends = page_ends(
            self._heights_pt[head + 1 :],
            self._groups(rows),
            first=room - sum(self._heights_pt[: head + 1]),
            later=room - self._heights_pt[head],
        )
        self._page.set_h_pagebreaks([head + 1 + end for end in ends])


def _two_columns(told: Sequence[str], rooms: tuple[float, float]) -> tuple[int, int]:
    """Part sentences in two columns of these widths: how many lines that takes, how many stand in the first."""
    left, right = ([lines(_marked(words), room, bold=True) for words in told] for room in rooms)
    counts = range(1, len(told) + 1)
    high, _, count = min((max(sum(left[:n]), sum(right[n:])), abs(2 * n - len(told)), n) for n in counts)
    return high, count


def _marked(words: str) -> str:
    return f"• {words}"


def _room(width: int, x: int) -> float:
    """Give the width that a text has in a cell [column units]; the first column stands flush."""
    return width - (INDENT if x else 0.0)


def _height_pt(count: float) -> float:
    return LINE_PT * count + PAD_PT


def _places(rows: Sequence[_Row], key: str) -> int:
    """Count the places that the finest number of a column needs; money has two or none."""
    texts = (as_words(row[key]) for row in rows if isinstance(row[key], float))
    places = max((len(text.partition(".")[2]) for text in texts), default=0)
    return _MONEY_PLACES if places and key == "cost" else places


def _robot(plan: Plan) -> str:
    return f"{plan.robot.name} ({plan.robot.build})" if plan.robot.build else plan.robot.name
