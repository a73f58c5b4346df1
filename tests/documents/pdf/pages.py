"""Look into a PDF as a reader would: its words where they stand, and its pages as pictures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import pypdfium2

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_PT_MM = 25.4 / 72


@dataclass(frozen=True, slots=True)
class Word:
    """A run of characters without a space: where it begins and ends, its lowest and highest ink [mm from the top]."""

    text: str
    left: float
    right: float
    top: float
    bottom: float


def pages(data: bytes) -> list[Any]:
    """Open a PDF and return its pages."""
    document = pypdfium2.PdfDocument(data)
    return [document[i] for i in range(len(document))]


def text_of(page: Any) -> str:  # noqa: ANN401  the library has no types
    """Return all text of a page in reading order; the reader's sign for a hyphen at the end of a line is a hyphen."""
    return str(page.get_textpage().get_text_range()).replace("\ufffe", "-").replace("\x02", "-").replace("\u200b", "")


def words(page: Any) -> list[Word]:  # noqa: ANN401  the library has no types
    """Return the words of a page in reading order."""
    held = page.get_textpage()
    _, height_pt = page.get_size()
    found: list[Word] = []
    current: list[tuple[str, tuple[float, float, float, float]]] = []
    for i in range(held.count_chars()):
        char = held.get_text_range(i, 1)
        if char.isspace() or not char:
            found += _word(current, height_pt)
            current = []
        else:
            box = held.get_charbox(i)
            if current and (abs(box[1] - current[-1][1][1]) > box[3] - box[1] + 4 or box[0] < current[-1][1][0] - 1):
                found += _word(current, height_pt)
                current = []
            current.append((char, box))
    return found + _word(current, height_pt)


def _word(held: list[tuple[str, tuple[float, float, float, float]]], height_pt: float) -> list[Word]:
    if not held:
        return []
    boxes = [box for _, box in held]
    return [
        Word(
            "".join(char for char, _ in held),
            min(b[0] for b in boxes) * _PT_MM,
            max(b[2] for b in boxes) * _PT_MM,
            (height_pt - max(b[3] for b in boxes)) * _PT_MM,
            (height_pt - min(b[1] for b in boxes)) * _PT_MM,
        )
    ]


def picture(page: Any, *, dpi: float = 150) -> NDArray[np.uint8]:  # noqa: ANN401  the library has no types
    """Draw a page in grey, as an array of rows and columns: 0 black, 255 white."""
    held: NDArray[np.uint8] = page.render(scale=dpi / 72, grayscale=True).to_numpy()
    return held.reshape(held.shape[0], held.shape[1])
