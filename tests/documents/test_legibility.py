"""The measure that the drawings are held to finds what it should, and only that."""

from __future__ import annotations

import pytest

from loomwright.documents.legibility import crossings, faults, outside, overlaps, weak_contrasts
from loomwright.documents.look import INK, WHITE
from loomwright.documents.scene import Box, Circle, Hatch, Item, Line, Mark, Polyline, Rect, Scene, Stroke, Text

HALL = Text((20, 20), "Hall", 4)  # inks about x 20 to 28, y 17.3 to 20


def page(*items: Item) -> Scene:
    return Scene("s", "s", "s", 100, 50, items)


def test_a_clean_page_has_no_faults() -> None:
    assert faults(page(HALL, Text((20, 30), "of", 4), Line((1, 22), (99, 22)))) == ()


def test_texts_that_overlap_are_both_named() -> None:
    (fault,) = overlaps(page(HALL, Text((26, 21), "way", 4)))
    assert "'Hall'" in fault
    assert "'way'" in fault


def test_a_text_that_leaves_its_room_or_the_page() -> None:
    tight = Text((20, 20), "Hall", 4, room=Box(20, 10, 26, 30))
    assert [fault.partition(" at ")[0] for fault in outside(page(tight))] == ["'Hall'"]
    assert outside(page(tight))[0].endswith("leaves its room")
    assert "leaves the page" in outside(page(Text((98, 20), "Hall", 4)))[0]
    assert "a rect" in outside(page(Rect(90, 0, 11, 5, fill=INK)))[0]


@pytest.mark.parametrize(
    "mark",
    [
        Line((0, 18), (100, 19)),
        Polyline(((0, 0), (22, 18), (0, 40))),
        Rect(10, 10, 14, 20, stroke=Stroke()),
        Rect(22, 10, 20, 20, fill=WHITE, stroke=Stroke()),
        Circle((24, 18), 3, Stroke()),
        Rect(10, 10, 40, 20, fill=Hatch()),
    ],
)
def test_what_runs_through_a_text_is_found_under_and_over_it(mark: Mark) -> None:
    assert crossings(page(mark, HALL))
    if not isinstance(mark, Rect) or not isinstance(mark.fill, Hatch):
        assert crossings(page(HALL, mark))


@pytest.mark.parametrize(
    "mark",
    [
        Line((0, 0), (18, 50)),
        Rect(10, 10, 40, 20, stroke=Stroke()),
        Rect(10, 10, 40, 20, fill=WHITE, stroke=Stroke()),
        Circle((24, 18), 12, Stroke()),
        Polyline(((0, 0), (0, 40), (60, 40))),
    ],
)
def test_what_goes_around_a_text_is_no_fault(mark: Mark) -> None:
    assert crossings(page(mark, HALL)) == ()


def test_a_filled_box_hides_the_line_below_it_but_not_one_above() -> None:
    chip = Rect(18, 14, 14, 9, fill=WHITE)
    line = Line((0, 18), (100, 18))
    assert crossings(page(line, chip, HALL)) == ()
    assert crossings(page(chip, line, HALL))
    assert crossings(page(chip, HALL, line))


def test_a_cover_over_a_text_is_a_fault() -> None:
    assert crossings(page(HALL, Rect(10, 10, 40, 20, fill=WHITE)))


def test_contrast_is_taken_to_what_the_text_stands_on() -> None:
    assert weak_contrasts(page(HALL)) == ()
    assert "contrast of only 1.0" in weak_contrasts(page(Rect(10, 10, 40, 20, fill=INK), HALL))[0]
    assert weak_contrasts(page(Text((20, 20), "Hall", 4, colour="#767676")))


def test_all_four_measures_are_taken() -> None:
    """One page with one fault of each kind."""
    found = faults(
        page(
            HALL,
            Text((26, 20), "way", 4),
            Line((1, 40), (99, 40)),
            Text((98, 10), "Hall", 4),
            Text((50, 41), "line", 4),
            Text((50, 30), "pale", 4, colour="#767676"),
        )
    )
    for words in ("leaves the page", "overlaps", "runs through", "contrast"):
        assert any(words in fault for fault in found), words
