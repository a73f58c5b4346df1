"""How a label is divided for its wire."""

from __future__ import annotations

import math

import pytest

from loomwright.documents.flags.fold import around_mm, fold
from loomwright.documents.scene import Box

PAGE = Box(0, 0, 300, 300)
LABEL = Box(50, 50, 130, 80)


def test_a_wire_is_gone_around_with_a_little_to_spare() -> None:
    """For 12 AWG of 3.94 mm: 13.2 mm, 7 % more than its round (worked by hand: 3 pi/4 x 3.94 + 3.94)."""
    assert around_mm(3.94) == pytest.approx(13.22, abs=0.01)
    assert around_mm(1) / math.pi == pytest.approx(1.068, abs=0.001)


def test_the_fold_is_in_the_middle_and_the_faces_begin_where_the_wire_ends() -> None:
    """Both faces are as long as each other, a label's middle apart by half of what goes around the wire."""
    parts = fold(LABEL, PAGE, outside_mm=3.94, code_mm=19)
    assert parts.fold_x == 90
    assert parts.hole is None
    assert parts.right.left - parts.left.right == pytest.approx(around_mm(3.94))
    assert parts.left.right - LABEL.left == pytest.approx(LABEL.right - parts.right.left)
    assert parts.left.left == LABEL.left + 1


def test_a_wire_that_is_too_thick_gets_a_flag_that_is_tied_on() -> None:
    """With a hole beside the fold that lies on neither face, nor on its back when the flag is folded."""
    parts = fold(LABEL, PAGE, outside_mm=13, code_mm=19)
    assert parts.hole is not None
    x, _ = parts.hole
    assert parts.fold_x + parts.hole_mm < x < parts.right.left - parts.hole_mm
    folded = 2 * parts.fold_x - x
    assert parts.left.right + parts.hole_mm < folded < parts.fold_x


def test_an_unknown_thickness_takes_what_the_faces_leave() -> None:
    """Enough for a cable of 6.5 mm where the label is long enough, less on a shorter one."""
    long = fold(Box(50, 50, 150, 80), PAGE, outside_mm=None, code_mm=19)
    assert long.right.left - long.left.right == pytest.approx(around_mm(6.5))
    short = fold(Box(50, 50, 108, 80), PAGE, outside_mm=None, code_mm=19)
    assert short.left.width == pytest.approx(19)
    assert short.hole is None


def test_ink_keeps_off_the_edge_of_the_page() -> None:
    """A label that reaches the page's edge loses the 5 mm that printers don't reach."""
    parts = fold(Box(0, 0, 80, 34), PAGE, outside_mm=3.94, code_mm=19)
    assert (parts.left.left, parts.left.top) == (5, 5)


def test_a_label_that_is_too_small_is_refused() -> None:
    """With the size of what does not fit."""
    with pytest.raises(ValueError, match=r"a label of 20 mm is too low for a code of 19\.0 mm"):
        fold(Box(50, 50, 130, 70), PAGE, outside_mm=3.94, code_mm=19)
    with pytest.raises(ValueError, match=r"a label of 45 mm is too short for two faces with a code of 19\.0 mm"):
        fold(Box(50, 50, 95, 80), PAGE, outside_mm=3.94, code_mm=19)
