"""What is drawn can be measured: boxes of every primitive, groups, painting order."""

from __future__ import annotations

import math

import pytest

from loomwright.documents.scene import (
    Anchor,
    Arc,
    Box,
    Circle,
    Group,
    Line,
    Move,
    Path,
    Polyline,
    Rect,
    Scene,
    Straight,
    Stroke,
    Text,
)
from loomwright.documents.type import Face, width_mm
from loomwright.documents.wirebar import lug


def corners(box: Box) -> tuple[float, float, float, float]:
    return (box.left, box.top, box.right, box.bottom)


def test_boxes_count_the_stroke() -> None:
    thick = Stroke(width_mm=2)
    assert corners(Line((10, 10), (20, 10), thick).box) == (10, 9, 20, 11)
    assert corners(Line((10, 10), (10, 20), thick).box) == (9, 10, 11, 20)
    assert corners(Line((10, 10), (20, 10), Stroke(width_mm=2, round_ends=True)).box) == (9, 9, 21, 11)
    assert corners(Line((0, 0), (3, 4), Stroke(width_mm=5)).box) == (-2, -1.5, 5, 5.5)
    assert corners(Polyline(((0, 5), (5, 5), (5, 9)), thick).box) == (-1, 4, 6, 10)
    assert corners(Rect(1, 2, 3, 4, stroke=thick).box) == (0, 1, 5, 7)
    assert corners(Rect(1, 2, 3, 4).box) == (1, 2, 4, 6)
    assert corners(Circle((5, 5), 2, thick).box) == (2, 2, 8, 8)


def test_an_arc_reaches_beyond_its_ends() -> None:
    """Half of a ring of radius 5 between (0, 0) and (10, 0) bulges to y = -5 as seen on the page."""
    half = Path((Move((0, 0)), Arc((10, 0), 5.0), Straight((0, 0))))
    assert half.box.top == pytest.approx(-5)


@pytest.mark.parametrize("way", ["right", "left", "up", "down"])
def test_a_lug_lies_where_it_points(way: str) -> None:
    """Its tip touches the point, its tail lies a lug's length away, its eye is 3.8 mm across and a stroke."""
    box = lug((50, 50), way, filled=True).box  # type: ignore[arg-type]
    ahead = {"right": box.right, "left": -box.left, "up": -box.top, "down": box.bottom}[way]
    assert ahead == pytest.approx(55 if way in {"right", "down"} else -45, abs=2.2)
    assert box.holds(Box(49.9, 49.9, 50.1, 50.1))


def test_text_stands_on_its_anchor() -> None:
    width = width_mm("Hall", Face.TEXT, 4)
    for anchor, left in ((Anchor.START, 20), (Anchor.MIDDLE, 20 - width / 2), (Anchor.END, 20 - width)):
        box = Text((20, 30), "Hall", 4, anchor=anchor).box
        assert box.left == pytest.approx(left)
        assert box.width == pytest.approx(width)
        assert box.bottom == pytest.approx(30, abs=0.06)
        assert 26.5 < box.top < 27.5


def test_turned_text_swaps_width_and_height() -> None:
    flat, turned = Text((0, 0), "Hall", 4).box, Text((0, 0), "Hall", 4, turn_deg=90).box
    assert turned.width == pytest.approx(flat.height)
    assert turned.height == pytest.approx(flat.width)
    slanted = Text((0, 0), "Hall", 4, turn_deg=45).box
    assert slanted.width == pytest.approx((flat.width + flat.height) / math.sqrt(2))


def test_boxes_touch_without_overlapping() -> None:
    assert not Box(0, 0, 1, 1).overlaps(Box(1, 0, 2, 1))
    assert Box(0, 0, 1, 1).overlaps(Box(0.9, 0.9, 2, 2))
    assert Box(0, 0, 9, 9).holds(Box(0, 0, 9, 9))
    assert not Box(0, 0, 9, 9).holds(Box(0, 0, 9.2, 9), 0.1)


def test_marks_come_in_painting_order_and_groups_outer_first() -> None:
    a, b, c = (Text((0, 0), name, 3) for name in "abc")
    inner = Group((b,), "wire", "W1")
    scene = Scene("s", "s", "s", 10, 10, (a, Group((inner, c), "branch", "H1")))
    assert [text.text for text in scene.texts()] == ["a", "b", "c"]
    assert [group.role for group in scene.groups()] == ["branch", "wire"]
    assert scene.groups("wire") == (inner,)
