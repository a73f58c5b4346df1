"""How the cells of the workbook look: few formats, ink on white, rules that a copier keeps.

The typeface is one that every office program has, or has a stand-in for with the same widths.
"""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any, Final

from xlsxwriter import Workbook
from xlsxwriter.format import Format

from loomwright.documents.look import INK, SAND
from loomwright.documents.tables.cells import UNKNOWN
from loomwright.documents.workbook.sheets import Look

#: Of every text unless it is a title; no scheme, or an office program puts its own typeface instead.
FONT: Final = {"font_name": "Arial", "font_size": 10, "font_scheme": ""}
#: Of no text, but widths of columns are counted in its digits. Its digit is 7 px wide to a tenth, so that programs
#: which round to pixels and programs which don't make the same page.
MEASURE: Final = FONT | {"font_size": 9.5}
#: The unit that column widths are counted in, 7 px of 96 an inch [pt]; a column is wider than its width by an edge.
UNIT_PT: Final = 7 * 72 / 96
EDGE: Final = 5 / 7
#: Space beside a text [column units]: one step of indent, or the width of an m.
INDENT: Final = 1.7
#: A row is so many points high for each line, and so many more.
LINE_PT: Final = 12.75
PAD_PT: Final = 3.75
#: How many times as large the name of a sheet is.
TITLE_TIMES: Final = 1.6

_RULE: Final = "#8a8678"
_THIN: Final = 1
_MEDIUM: Final = 2
_THICK: Final = 5
#: How a text is shown; a number's air is in its form, since indents at the right are not kept everywhere.
_PLAIN: Final = "@"
_AIR: Final = "_m"
_END: Final = {"A": '"● "@', "B": '"○ "@'}


class Style:
    """The formats of one workbook, each made once."""

    def __init__(self, book: Workbook) -> None:
        self._book = book
        self._made: dict[Hashable, Format] = {}

    def title(self) -> Format:
        """Give the look of the robot's and the sheet's name."""
        return self._format(
            "title", {"bold": True, "font_size": 10 * TITLE_TIMES, "text_wrap": True, "valign": "vcenter"}
        )

    def about(self) -> Format:
        """Give the look of the line that names the revision."""
        return self._format("about", {"align": "right", "valign": "vcenter", "text_wrap": True})

    def caution(self) -> Format:
        """Give the look of cautions: bold, behind a thick bar."""
        bar = {"left": _THICK, "left_color": INK, "align": "left", "indent": 1}
        return self._format("caution", {"bold": True, "text_wrap": True, "valign": "top"} | bar)

    def note(self) -> Format:
        """Give the look of what is said about a sheet."""
        return self._format("note", {"text_wrap": True, "valign": "vcenter"})

    def head(self, look: Look, *, first: bool) -> Format:
        """Give the look of a column's title: it stands as the cells below it do."""
        said = {"bold": True, "text_wrap": True, "valign": "top", "bg_color": SAND}
        rule = {"bottom": _MEDIUM, "bottom_color": INK}
        placed = {"align": "right", "indent": 1} if look is Look.NUMBER else _placed(first=first)
        return self._format(("head", look, first), said | rule | placed)

    def number(self, places: int, *, last: bool) -> Format:
        """Give the look of a number with so many places; `last` of its group or not."""
        form = f"0.{'0' * places}{_AIR}" if places else f"0{_AIR}"
        return self._format(("number", places, last), {"align": "right", "num_format": form} | _ruled(last=last))

    def text(self, look: Look, words: str, *, first: bool, last: bool) -> Format:
        """Give the look of a text; `first` in its row or not, `last` of its group or not.

        A word that waits for an answer is slanted. An empty box has ink on all sides.
        """
        waits = words == UNKNOWN
        boxed = look is Look.BOX and not words
        form = _END.get(words, _PLAIN) if look is Look.END else _PLAIN
        placed = {"align": "right"} if look is Look.NUMBER else _placed(first=first)
        said: dict[str, Any] = {
            "text_wrap": True,
            "num_format": form + _AIR if look is Look.NUMBER else form,
            "bold": look is Look.STRONG,
            "italic": waits,
        }
        if boxed:
            said |= dict.fromkeys(("left", "right", "top"), _THIN)
        key = ("text", look, form, waits, boxed, first, last)
        return self._format(key, said | placed | _ruled(last=last or boxed))

    def _format(self, key: Hashable, said: dict[str, Any]) -> Format:
        """Make a format, or give the one that was made for this key."""
        found = self._made.get(key)
        if found is None:
            found = self._made[key] = self._book.add_format(FONT | {"font_color": INK} | said)
        return found


def _placed(*, first: bool) -> dict[str, Any]:
    """Place a text at the left with air beside it; the first column stands flush with the rules."""
    return {"align": "left"} if first else {"align": "left", "indent": 1}


def _ruled(*, last: bool) -> dict[str, Any]:
    """Rule a cell off from the row below it; the rule below a group is darker."""
    return {"valign": "vcenter", "bottom": _THIN, "bottom_color": INK if last else _RULE}
