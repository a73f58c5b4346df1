"""Put words into a room: cleaned, shortened with an ellipsis where they must be, the whole kept as a title."""

from __future__ import annotations

from loomwright.documents.look import INK
from loomwright.documents.scene import Anchor, Box, Text
from loomwright.documents.type import Face, cap_mm, clean, shorten, width_mm


def label(
    words: str,
    room: Box,
    *,
    size_mm: float,
    face: Face = Face.TEXT,
    anchor: Anchor = Anchor.START,
    baseline_mm: float | None = None,
    least_mm: float = 0.0,
    narrow: bool = False,
) -> tuple[Text, ...]:
    """Return the words as one text in the room, or nothing where there are no words or no room for any.

    The baseline is `baseline_mm` on the page, or puts the capitals in the middle of the room. Before anything is cut
    off, the words may turn to the condensed face (`narrow`) and shrink down to `least_mm` (0: not at all).
    """
    whole = clean(words)
    if narrow and width_mm(whole, face, size_mm) > room.width:
        face = Face.TAG
    if least_mm and (width := width_mm(whole, face, size_mm)) > room.width:
        size_mm = max(least_mm, size_mm * room.width / width * 0.999)
    shown = shorten(whole, face, size_mm, room.width)
    if not shown:
        return ()
    middle = (room.top + room.bottom + cap_mm(face, size_mm)) / 2
    x = {Anchor.START: room.left, Anchor.MIDDLE: (room.left + room.right) / 2, Anchor.END: room.right}[anchor]
    place = (x, middle if baseline_mm is None else baseline_mm)
    return (Text(place, shown, size_mm, face, anchor, INK, whole, room),)


def paragraph(
    words: str, room: Box, *, size_mm: float, face: Face = Face.TEXT, leading: float = 1.35
) -> tuple[Text, ...]:
    """Return our own words broken into lines of the room's width, first line at its top.

    Lines that don't fit below each other in the room are dropped, so give enough room.
    """
    lines: list[str] = []
    for word in clean(words).split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_mm(longer, face, size_mm) <= room.width:
            lines[-1] = longer
        else:
            lines.append(word)
    step = size_mm * leading
    first = room.top + cap_mm(face, size_mm)
    baselines = [first + i * step for i in range(len(lines)) if first + i * step <= room.bottom]
    return tuple(
        text
        for line, baseline in zip(lines, baselines, strict=False)
        for text in label(
            line,
            Box(room.left, room.top - step, room.right, room.bottom + step),
            size_mm=size_mm,
            face=face,
            baseline_mm=baseline,
        )
    )
