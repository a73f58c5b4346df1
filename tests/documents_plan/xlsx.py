"""Read a workbook as its file says it: heights, widths and looks, which readers of values leave out."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import dataclass, field
from xml.etree import ElementTree as ET

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_FORMS = {"0": "General", "1": "0", "2": "0.00"}


@dataclass(frozen=True)
class Look:
    """How a cell looks: typeface size [pt], how it is aligned, in which form, which borders in which colour."""

    size_pt: float
    bold: bool
    form: str
    alignment: dict[str, str]
    borders: dict[str, tuple[str, str]]


@dataclass(frozen=True)
class Cell:
    """One cell: row and column from 0, its text or its number in figures, its look, its width without edges [px]."""

    y: int
    x: int
    value: str
    look: Look
    width_px: float


@dataclass
class SheetFile:
    """One sheet: its tree, its cells, the heights of its rows [pt], the widths of its columns [px]."""

    tree: ET.Element
    cells: list[Cell] = field(default_factory=list)
    heights_pt: dict[int, float] = field(default_factory=dict)
    widths_px: list[float] = field(default_factory=list)

    def find(self, tag: str) -> list[dict[str, str]]:
        """Give the attributes of every element of one kind."""
        return [element.attrib for element in self.tree.iter(MAIN + tag)]


class Book:
    """A workbook, read once."""

    def __init__(self, data: bytes) -> None:
        self._zip = zipfile.ZipFile(io.BytesIO(data))
        self.styles = self.xml("xl/styles.xml")
        items = self.xml("xl/sharedStrings.xml").iter(f"{MAIN}si")
        self._strings = ["".join(text.text or "" for text in item.iter(f"{MAIN}t")) for item in items]
        self._looks = self._read_looks()
        names = [sheet.attrib["name"] for sheet in self.xml("xl/workbook.xml").iter(f"{MAIN}sheet")]
        self.sheets = {name: self._read_sheet(n) for n, name in enumerate(names, 1)}

    def xml(self, name: str) -> ET.Element:
        """Give one file inside as a tree."""
        return ET.fromstring(self._zip.read(name))  # noqa: S314  the bytes are our own

    def _read_looks(self) -> list[Look]:
        fonts, borders, xfs = (list(self.styles.find(MAIN + tag) or ()) for tag in ("fonts", "borders", "cellXfs"))
        forms = {form.attrib["numFmtId"]: form.attrib["formatCode"] for form in self.styles.iter(f"{MAIN}numFmt")}
        looks = []
        for xf in xfs:
            font = fonts[int(xf.attrib["fontId"])]
            alignment = xf.find(f"{MAIN}alignment")
            looks.append(
                Look(
                    float(next(font.iter(f"{MAIN}sz")).attrib["val"]),
                    font.find(f"{MAIN}b") is not None,
                    (_FORMS | forms)[xf.attrib["numFmtId"]],
                    {} if alignment is None else alignment.attrib,
                    {
                        side.tag.removeprefix(MAIN): (side.attrib["style"], next(iter(side)).get("rgb", ""))
                        for side in borders[int(xf.attrib["borderId"])]
                        if "style" in side.attrib
                    },
                )
            )
        return looks

    def _read_sheet(self, number: int) -> SheetFile:
        sheet = SheetFile(self.xml(f"xl/worksheets/sheet{number}.xml"))
        for col in sheet.find("col"):
            sheet.widths_px += [7 * float(col["width"])] * (int(col["max"]) - int(col["min"]) + 1)
        sheet.heights_pt = {int(row["r"]) - 1: float(row["ht"]) for row in sheet.find("row") if "customHeight" in row}
        ends = dict(map(_places, (found["ref"] for found in sheet.find("mergeCell"))))
        for cell in sheet.tree.iter(f"{MAIN}c"):
            place = _place(cell.attrib["r"])
            value = cell.findtext(f"{MAIN}v") or ""
            words = self._strings[int(value)] if cell.get("t") == "s" else value and _figures(value)
            wide = sum(sheet.widths_px[place[1] : ends.get(place, place)[1] + 1]) - 5
            sheet.cells.append(Cell(*place, words, self._looks[int(cell.attrib["s"])], wide))
        return sheet


def _figures(value: str) -> str:
    """Write a number in as few figures as tell it."""
    return repr(float(value)).removesuffix(".0")


def _places(reference: str) -> tuple[tuple[int, int], tuple[int, int]]:
    first, last = reference.split(":")
    return _place(first), _place(last)


def _place(reference: str) -> tuple[int, int]:
    found = re.fullmatch(r"([A-Z]+)(\d+)", reference)
    assert found is not None
    x = sum((ord(letter) - 64) * 26**n for n, letter in enumerate(reversed(found[1]))) - 1
    return int(found[2]) - 1, x
