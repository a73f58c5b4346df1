"""The drawing of a card: four pictures at one scale, with labels on the good one and an arrow on each fault.

Paper has them framed on one sheet, with their words and a bar at true size. A screen has each by itself: its words
stand beside it as text, which can be made larger, and nothing on it claims a size.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from loomwright.documents.end_cards import panel
from loomwright.documents.end_cards.drawers import drawer_of
from loomwright.documents.end_cards.geometry import placed, polygon
from loomwright.documents.end_cards.picture import Picture, Reach, Spec, View
from loomwright.documents.end_cards.stripped import ABOVE_MM, BELOW_MM, FOLD_MM, scale_bar, scale_words, stripped
from loomwright.documents.end_cards.wires import plain_where_fine
from loomwright.documents.look import HAIR_MM, INK, REDO, SMALL_MM, WHITE
from loomwright.documents.scene import (
    Anchor,
    Box,
    Circle,
    Group,
    Item,
    Line,
    Point,
    Polyline,
    Rect,
    Scene,
    Stroke,
    Text,
)
from loomwright.documents.type import Face, cap_mm, width_mm

WIDTH_MM: Final = 180.0
HEIGHT_MM: Final = 71.0
#: Of one picture by itself.
APART_WIDTH_MM: Final = 64.0
APART_HEIGHT_MM: Final = 32.0
#: Page mm for each real mm, the largest that fits is taken.
SCALES: Final = (5.0, 4.0, 3.0, 2.0, 1.5, 1.0, 0.75, 0.5, 0.25)
_GUTTER_MM: Final = 2.0
_NOTE_MM: Final = 5.0
_LEAST_TAIL_MM: Final = 8.0
_LEAST_TAIL_APART_MM: Final = 2.0
_MARGIN_MM: Final = 1.0
_LETTER_MM: Final = 3.0
_NUMBER_MM: Final = 4.0
_EDGE_MM: Final = 0.6
#: An arrow's tail reaches a little out of the room.
_ARROW_TOP_MM: Final = 2.4
_ARROW_MM: Final = 6.5
_SHORTEST_MM: Final = 4.2
_NOMINAL: Final = Reach(-60.0, 100.0)


@dataclass(frozen=True, slots=True)
class Words:
    """What stands in the frames: all heads, what is wrong in each mistake, labels by the spot of the good picture."""

    heads: Mapping[View, str]
    captions: Mapping[View, str]
    labels: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class _Page:
    """Where the pictures stand: the box of each, whether a frame with words is around it, and how large labels are."""

    boxes: Mapping[View, Box]
    framed: bool
    label_mm: float
    label_face: Face

    def inner(self, box: Box) -> Box:
        """Return the room for what is drawn."""
        if self.framed:
            return panel.inner(box)
        return Box(box.left + _EDGE_MM, box.top + _ARROW_TOP_MM, box.right - _EDGE_MM, box.bottom - _EDGE_MM)

    def room(self, box: Box, *, notes: bool) -> Box:
        """Return the same without the line of labels."""
        inside = self.inner(box)
        return Box(inside.left, inside.top, inside.right, inside.bottom - (_NOTE_MM if notes else 0.0) - 0.4)

    @property
    def tail_mm(self) -> float:
        """How much of a wire is seen at least where it leaves the picture."""
        return _LEAST_TAIL_MM if self.framed else _LEAST_TAIL_APART_MM

    @property
    def below_mm(self) -> float:
        """What stands below a stripped wire."""
        return BELOW_MM if self.framed else FOLD_MM


@dataclass(frozen=True, slots=True)
class Apart:
    """One picture by itself: what is on it, and what its numbers point at, in their order."""

    view: View
    notes: tuple[str, ...]
    scene: Scene


def draw(spec: Spec, words: Words, *, name: str, title: str) -> Scene:
    """Draw one card's four pictures as a scene of 180 x 71 mm."""
    page = _Page(_panels(), framed=True, label_mm=SMALL_MM, label_face=Face.TEXT)
    scale, drawn = _drawn(spec, words, page)
    items: list[Item] = []
    for view, box in page.boxes.items():
        frame = {View.STRIPPED: panel.plain, View.GOOD: panel.good}.get(view, panel.bad)
        bar = scale_bar(box, scale=scale) if view is View.STRIPPED else ()
        items.append(
            Group((*drawn[view], *frame(box, words.heads[view]), *bar), "picture", view, words.captions.get(view, ""))
        )
    told = f"{title}: the stripped end, the good end and the two usual mistakes, scale {scale_words(scale)}."
    return Scene(name, title, told, WIDTH_MM, HEIGHT_MM, tuple(items))


def draw_apart(spec: Spec, words: Words, *, name: str) -> tuple[Apart, ...]:
    """Draw the four pictures for a screen, each as a scene of 64 x 32 mm without words; labels are numbers."""
    spots = drawer_of(spec.kind)(spec, View.GOOD, _NOMINAL).spots
    order = sorted(words.labels, key=lambda spot: (spots[spot], words.labels[spot]))
    numbers = {spot: str(number) for number, spot in enumerate(order, 1)}
    box = Box(0.0, 0.0, APART_WIDTH_MM, APART_HEIGHT_MM)
    page = _Page(dict.fromkeys(View, box), framed=False, label_mm=_NUMBER_MM, label_face=Face.BOLD)
    _, drawn = _drawn(spec, Words(words.heads, {}, numbers), page)
    return tuple(
        Apart(
            view,
            tuple(words.labels[spot] for spot in order) if view is View.GOOD else (),
            Scene(
                f"{name}-{view.replace(' ', '-')}",
                words.heads[view],
                f"{words.heads[view]}. {words.captions.get(view, '')}".strip(),
                APART_WIDTH_MM,
                APART_HEIGHT_MM,
                (Group(drawn[view], "picture", view),),
            ),
        )
        for view in View
    )


def _drawn(spec: Spec, words: Words, page: _Page) -> tuple[float, Mapping[View, tuple[Item, ...]]]:
    """Draw every picture without its frame, all at the scale that is returned."""
    views = [view for view in View if view is not View.STRIPPED or not spec.strip_mm]
    drawer = drawer_of(spec.kind)
    pictures = {view: drawer(spec, view, _NOMINAL) for view in views}
    scale = _scale(pictures, spec, page, notes=bool(words.labels))
    found: dict[View, tuple[Item, ...]] = {}
    for view, box in page.boxes.items():
        if view in pictures:
            found[view] = _pictured(spec, view, pictures, page, scale, words)
        else:
            found[view] = stripped(spec, box, page.inner(box), scale=scale, true_size=page.framed)
    return scale, found


def _panels() -> dict[View, Box]:
    wide, tall = (WIDTH_MM - _GUTTER_MM) / 2, (HEIGHT_MM - _GUTTER_MM) / 2
    places = {View.STRIPPED: (0, 0), View.GOOD: (1, 0), View.FIRST: (0, 1), View.SECOND: (1, 1)}
    return {
        view: Box(
            column * (wide + _GUTTER_MM),
            row * (tall + _GUTTER_MM),
            column * (wide + _GUTTER_MM) + wide,
            row * (tall + _GUTTER_MM) + tall,
        )
        for view, (column, row) in places.items()
    }


def _scale(pictures: Mapping[View, Picture], spec: Spec, page: _Page, *, notes: bool) -> float:
    """Take the largest scale at which every picture fits its room and the stripped wire the first one."""
    boxes = page.boxes
    for scale in SCALES:
        fits = all(
            picture.core.width * scale <= room.width - page.tail_mm - _MARGIN_MM
            and picture.core.height * scale <= room.height
            for view, picture in pictures.items()
            for room in [page.room(boxes[view], notes=notes and view is View.GOOD)]
        )
        room = page.inner(boxes[View.STRIPPED])
        wire = (
            spec.wire.outside_mm * scale <= room.height - ABOVE_MM - page.below_mm
            and spec.strip_mm * scale <= room.width - 20
        )
        if fits and (wire or not spec.strip_mm):
            return scale
    return SCALES[-1]


def _pictured(
    spec: Spec, view: View, pictures: Mapping[View, Picture], page: _Page, scale: float, words: Words
) -> tuple[Item, ...]:
    box = page.boxes[view]
    notes = view is View.GOOD and bool(words.labels)
    room = page.room(box, notes=notes)
    cores = [picture.core for picture in pictures.values()]
    whole = Box(
        min(c.left for c in cores), min(c.top for c in cores), max(c.right for c in cores), max(c.bottom for c in cores)
    )
    own = pictures[view].core
    caption = words.captions.get(view, "")
    if caption and max(core.height for core in cores) * scale <= room.height - _NOTE_MM:
        room = Box(room.left, room.top, room.right, room.bottom - _NOTE_MM)
    else:
        caption = ""
    used = whole if whole.width * scale <= room.width - page.tail_mm - _MARGIN_MM else own
    at = (
        max(room.left + page.tail_mm, (room.left + room.right + page.tail_mm - used.width * scale) / 2)
        - used.left * scale,
        (room.top + room.bottom) / 2 - (own.top + own.bottom) / 2 * scale,
    )
    reach = Reach((box.left + panel.BAND_MM - at[0]) / scale, (box.right - panel.BAND_MM - at[0]) / scale)
    if not page.framed or view in {View.GOOD, View.STRIPPED}:
        reach = Reach((box.left + 0.4 - at[0]) / scale, (box.right - 0.4 - at[0]) / scale)
    picture = drawer_of(spec.kind)(spec, view, reach)
    drawn = Group(placed(plain_where_fine(picture.items, spec.wire, scale), scale=scale, at=at), "drawn", view)
    letters = [item for place, letter in picture.letters for item in _letter(_on(place, at, scale), letter)]
    labels = _labels(picture, words.labels, page, at, scale) if notes else ()
    fault = _arrow(_on(picture.fault, at, scale), room, low=picture.fault[1] > 0) if picture.fault else ()
    said = panel.caption(caption, box) if caption else ()
    return (drawn, *letters, *labels, *fault, *said)


def _on(point: Point, at: Point, scale: float) -> Point:
    return (at[0] + point[0] * scale, at[1] + point[1] * scale)


def _letter(place: Point, letter: str) -> tuple[Item, ...]:
    half = width_mm(letter, Face.BOLD, _LETTER_MM) / 2 + 0.6
    cap = cap_mm(Face.BOLD, _LETTER_MM)
    chip = Rect(place[0] - half, place[1] - cap / 2 - 0.5, 2 * half, cap + 1.0, 0.4, Stroke(INK, 0.18), WHITE)
    return (chip, Text((place[0], place[1] + cap / 2), letter, _LETTER_MM, Face.BOLD, Anchor.MIDDLE))


def _labels(picture: Picture, labels: Mapping[str, str], page: _Page, at: Point, scale: float) -> tuple[Item, ...]:
    """Write the labels in one line under the picture, each joined to its spot."""
    spots = sorted((_on(picture.spots[spot], at, scale), text) for spot, text in labels.items())
    box = page.boxes[View.GOOD]
    room, face, size_mm = page.inner(box), page.label_face, page.label_mm
    widths = [width_mm(text, face, size_mm) for _, text in spots]
    lefts = _spread(
        [spot[0] - wide / 2 for (spot, _), wide in zip(spots, widths, strict=True)],
        widths,
        room.left + 1.2,
        room.right - 1.2,
    )
    items: list[Item] = []
    baseline = room.bottom - 0.9
    top = baseline - cap_mm(face, size_mm) - 0.9
    for (spot, text), wide, left in zip(spots, widths, lefts, strict=True):
        inset = min(1.0, wide / 2)
        foot = (min(max(spot[0], left + inset), left + wide - inset), top)
        items += [
            Polyline((foot, spot), Stroke(WHITE, 0.9)),
            Line(foot, spot, Stroke(INK, HAIR_MM)),
            Circle(spot, 0.55, Stroke(WHITE, 0.25), INK),
            Text(
                (left, baseline),
                text,
                size_mm,
                face,
                Anchor.START,
                room=Box(room.left, top, room.right, box.bottom),
            ),
        ]
    return tuple(items)


def _spread(lefts: Sequence[float], widths: Sequence[float], low: float, high: float) -> list[float]:
    """Push labels apart and into their line, keeping their order."""
    gap = 2.5
    places: list[float] = []
    edge = low
    for left, wide in zip(lefts, widths, strict=True):
        places.append(max(left, edge))
        edge = places[-1] + wide + gap
    limit = high
    for i in range(len(places) - 1, -1, -1):
        places[i] = min(places[i], limit - widths[i])
        limit = places[i] - gap
    return places


def _arrow(spot: Point, room: Box, *, low: bool) -> tuple[Item, ...]:
    """Draw an arrow with its tip on the fault: from above, or from below where that is `low` or has no room."""
    x, y = spot
    above = y - room.top + 0.8
    below = room.bottom - y - 0.5
    way = 1 if above < _SHORTEST_MM or (low and below >= _SHORTEST_MM) else -1
    long = min(_ARROW_MM, max(_SHORTEST_MM, above if way < 0 else below))
    tail = (x + 0.45 * long, y + way * long)
    head = polygon([(x, y), (x + 0.15, y + way * 2.9), (x + 2.35, y + way * 1.8)], Stroke(WHITE, 0.3), REDO)
    neck = (x + 0.9, y + way * 2.0)
    return (Group((Line(tail, neck, Stroke(WHITE, 1.9)), Line(tail, neck, Stroke(REDO, 1.1)), head), "fault"),)
