"""Read a packet back as a person would: pages, chapters, rows of a table with what stands beside one another."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from tests.documents.pdf.pages import Word, pages, text_of, words

#: Words whose middles lie no further apart than this stand on one line [mm].
_LINE_MM = 1.2


@dataclass
class Page:
    """A page: its size [mm], its words, and its text in reading order."""

    number: int
    width_mm: float
    height_mm: float
    words: list[Word]
    text: str

    @property
    def body(self) -> list[Word]:
        """The words above the foot."""
        return [word for word in self.words if word.bottom < self.height_mm - 14]


class Packet:
    """A packet as it was read back."""

    def __init__(self, data: bytes) -> None:
        self.pages = [_page(n, page) for n, page in enumerate(pages(data), 1)]

    def chapter(self, title: str, following: str | None = None) -> list[Page]:
        """Return the pages from the one that a chapter begins on to the one before the next chapter."""
        starts = [page.number for page in self.pages if _begins(page, title)]
        assert len(starts) == 1, f"{title} begins on the pages {starts}"
        ends = [page.number for page in self.pages if following is not None and _begins(page, following)]
        return self.pages[starts[0] - 1 : (ends[0] - 1 if ends else None)]

    def begins(self, page: Page, title: str) -> bool:
        """Tell whether a chapter of this title begins on a page."""
        return _begins(page, title)

    @cached_property
    def text(self) -> str:
        """All text, lines joined."""
        return " ".join(" ".join(page.text.split()) for page in self.pages)


def _page(number: int, page: Any) -> Page:  # noqa: ANN401  the library has no types
    width, height = (size * 25.4 / 72 for size in page.get_size())
    return Page(number, width, height, words(page), text_of(page))


def _begins(page: Page, title: str) -> bool:
    """Tell whether a page has this title in large type on top."""
    top = [word for word in page.words if word.top < 30 and word.bottom - word.top > 3.4]
    return " ".join(word.text for word in top).startswith(title)


def rows(found: list[Page], keys: list[str], *, column: tuple[float, float]) -> dict[str, str]:
    """Return for each key what stands in its row: from the key's line down to the next key's.

    `column` is where keys stand, from the left of the page to the right [mm].
    """
    told: dict[str, str] = {}
    for page in found:
        starts = [word for word in page.body if word.text.rstrip(",") in keys and column[0] <= word.left <= column[1]]
        lines = sorted(starts, key=lambda word: word.top)
        for i, start in enumerate(lines):
            below = lines[i + 1].top - 0.3 if i + 1 < len(lines) else page.height_mm
            inside = [word for word in page.body if start.top - _LINE_MM <= word.top < min(below, start.top + 12)]
            assert start.text.rstrip(",") not in told, f"{start.text} stands twice"
            told[start.text.rstrip(",")] = " ".join(word.text for word in inside)
    return told


def overlapping(page: Page) -> list[tuple[str, str]]:
    """Return the words of a page whose ink meets that of another word."""
    found = []
    ordered = sorted(page.words, key=lambda word: word.top)
    for i, one in enumerate(ordered):
        for other in ordered[i + 1 :]:
            if other.top >= one.bottom:
                break
            across = min(one.right, other.right) - max(one.left, other.left)
            down = min(one.bottom, other.bottom) - max(one.top, other.top)
            if across > 0.25 and down > 0.25:
                found.append((one.text, other.text))
    return found
