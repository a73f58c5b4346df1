"""The pieces that the Plate is made of: lines beside lines, round corners, lanes apart, labels, ink, short id lists."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.documents.legibility import meets
from loomwright.documents.plate.blocks import GAP_MM, Block, new_column, separator, together
from loomwright.documents.plate.geometry import (
    away_mm,
    beside,
    direction_near,
    left_of,
    length_mm,
    rounded,
    spot_along,
    turn_deg,
)
from loomwright.documents.plate.ink import Ink
from loomwright.documents.plate.label_rules import Around
from loomwright.documents.plate.labels import place
from loomwright.documents.plate.nudge import nudges
from loomwright.documents.plate.page import flow
from loomwright.documents.plate.rulers import spacing
from loomwright.documents.plate.table import id_ranges, wires_words
from loomwright.documents.plate.wish import Placed, Wish, Words
from loomwright.documents.scene import Box, Point, Rect

SQUARE = [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0)]  # along the top to the right, then down the page: a right turn

# ------------------------------------------------------------------ geometry


def test_left_of_somebody_who_looks_to_the_right_is_up_the_page() -> None:
    assert left_of((1.0, 0.0)) == (0.0, -1.0)
    assert left_of((0.0, 1.0)) == (1.0, 0.0)


def test_beside_a_corner_the_outer_line_is_longer_than_the_inner_one() -> None:
    pieces = list(pairwise(SQUARE))
    outer = beside((a, b, 2.0) for a, b in pieces)
    inner = beside((a, b, -2.0) for a, b in pieces)
    assert outer == [(0.0, -2.0), pytest.approx((22.0, -2.0)), (22.0, 20.0)]
    assert inner == [(0.0, 2.0), pytest.approx((18.0, 2.0)), (18.0, 20.0)]


def test_where_only_the_distance_changes_the_line_changes_over_on_a_slant() -> None:
    line = beside([((0.0, 0.0), (20.0, 0.0), 0.0), ((20.0, 0.0), (40.0, 0.0), 2.0)])
    assert [y for _, y in line] == [0.0, 0.0, -2.0, -2.0]
    assert line[0] == (0.0, 0.0)
    assert line[1][0] < 20 < line[2][0]
    assert line[-1] == (40.0, -2.0)


def test_a_line_that_turns_back_on_itself_goes_straight_over() -> None:
    line = beside([((0.0, 0.0), (10.0, 0.0), 1.0), ((10.0, 0.0), (0.0, 0.0), 1.0)])
    assert line == [(0.0, -1.0), (10.0, -1.0), (10.0, 1.0), (0.0, 1.0)]


def test_a_very_sharp_corner_sends_no_spike_across_the_page() -> None:
    sharp = [((0.0, 0.0), (20.0, 0.0), 3.0), ((20.0, 0.0), (0.0, 3.0), 3.0)]
    assert all(math.dist(p, (20, 0)) < 25 for p in beside(sharp))


def test_a_round_corner_keeps_its_radius_from_its_centre() -> None:
    line = rounded(SQUARE, 5.0)
    arc = [p for p in line if p not in (SQUARE[0], SQUARE[-1])]
    assert len(arc) > 4
    assert all(math.dist(p, (15.0, 5.0)) == pytest.approx(5.0) for p in arc)
    assert (line[0], line[-1]) == (SQUARE[0], SQUARE[-1])


def test_a_corner_with_little_room_is_as_round_as_it_can_be() -> None:
    line = rounded([(0.0, 0.0), (4.0, 0.0), (4.0, 40.0)], 30.0)
    assert min(math.dist(p, (4.0, 0.0)) for p in line) > 0.5
    assert all(-1e-9 <= x <= 4 + 1e-9 and -1e-9 <= y <= 40 for x, y in line)


def test_places_and_directions_along_a_line() -> None:
    assert spot_along(SQUARE, 25.0) == ((20.0, 5.0), (0.0, 1.0))
    assert spot_along(SQUARE, 99.0) == ((20.0, 20.0), (0.0, 1.0))
    assert spot_along([(3.0, 4.0)], 5.0) == ((3.0, 4.0), (1.0, 0.0))
    assert direction_near(SQUARE, (19.0, 15.0)) == (0.0, 1.0)
    assert direction_near([(1.0, 1.0)], (0.0, 0.0)) == (1.0, 0.0)
    assert length_mm(SQUARE) == 40
    assert away_mm(SQUARE, (17.0, 10.0)) == pytest.approx(3)
    assert away_mm([(1.0, 1.0)], (4.0, 5.0)) == 5
    assert turn_deg((1.0, 0.0), (0.0, -1.0)) == pytest.approx(90)


# ------------------------------------------------------------------ lanes apart


def test_wires_to_slots_along_one_face_leave_it_one_after_the_other() -> None:
    """Three drops come round a corner and down the left face of a block: the one that ends first lies on the face."""
    corner: Point = (50.0, 10.0)
    ends: list[Point] = [(50.0, 20.0), (50.0, 30.0), (50.0, 40.0)]
    paths = {f"H{i}": ((60.0, 0.0), corner, end) for i, end in enumerate(ends)}
    moved = nudges(paths, dict.fromkeys(paths, 2.0), dict.fromkeys(ends, (80.0, 25.0)))
    # looking down the page, left is to the right of it: away from the block is negative
    assert [moved[f"H{i}", 1] for i in range(3)] == [0.0, -2.0, -4.0]
    # before the corner they lie in the same order, so that none crosses another
    assert moved["H0", 0] > moved["H1", 0] > moved["H2", 0]


def test_of_two_loose_runs_on_one_line_each_bends_off_on_its_own_side() -> None:
    paths = {
        "left": ((0.0, 0.0), (0.0, 50.0), (20.0, 50.0)),
        "right": ((0.0, 40.0), (0.0, 5.0), (-20.0, 5.0)),
    }
    moved = nudges(paths, dict.fromkeys(paths, 2.0), {})
    # "left" runs down the page and bends off to its left; "right" runs up and bends off to its left, too
    assert moved["left", 0] == 1.0
    assert moved["right", 0] == 1.0


def test_lines_that_only_touch_or_run_apart_stay_where_they_are() -> None:
    paths = {
        "one": ((0.0, 0.0), (0.0, 10.0)),
        "next": ((0.0, 10.0), (0.0, 20.0)),
        "beside": ((3.0, 0.0), (3.0, 20.0)),
        "across": ((-5.0, 5.0), (5.0, 5.0)),
    }
    assert nudges(paths, dict.fromkeys(paths, 2.0), {}) == {}


# ------------------------------------------------------------------ labels


def wish(key: str, about: Box, *words: str) -> Wish:
    """Make a wish for a label of some lines."""
    return Wish(key, (tuple(Words(word, 3.0) for word in words),), about)


BOXES = st.builds(
    lambda x, y, w, h: Box(x, y, x + w, y + h),
    st.floats(5, 90),
    st.floats(5, 90),
    st.floats(0.5, 30),
    st.floats(0.5, 30),
)


@given(st.lists(st.tuples(BOXES, st.text("abcdefgh ", min_size=1, max_size=12)), max_size=14))
@settings(max_examples=25)
def test_labels_never_touch_and_no_leader_runs_through_one(things: list[tuple[Box, str]]) -> None:
    room = Box(0, 0, 110, 110)
    wishes = [wish(str(i), about, words) for i, (about, words) in enumerate(things)]
    placed = [p for p in place(wishes, room, Ink(room)) if p is not None]
    assert all(room.holds(p.box) for p in placed)
    for one, other in combinations(placed, 2):
        assert not one.box.overlaps(other.box)
        for a, b in ((one, other), (other, one)):
            assert a.leader is None or not meets(*a.leader, b.box)


def test_a_label_stands_on_its_thing_where_it_fits_and_beside_it_where_not() -> None:
    room = Box(0, 0, 100, 100)
    large, small = Box(40, 40, 80, 60), Box(40, 40, 44, 44)
    (on,) = place([wish("a", large, "name")], room, Ink(room))
    (off,) = place([wish("a", small, "name")], room, Ink(room))
    assert on is not None
    assert off is not None
    assert large.holds(on.box)
    assert (on.leader, off.leader) == (None, None)
    assert not off.box.overlaps(small)
    assert off.box.grown(1.5).overlaps(small)


def test_a_label_moves_off_what_is_drawn() -> None:
    """With ink all around its thing, it goes further out and gets a leader that ends on the thing."""
    room, thing = Box(0, 0, 100, 100), Box(48, 48, 52, 52)
    ink = Ink(room)
    ink.area(Box(35, 35, 65, 65), weight=2.0)
    (found,) = place([wish("a", thing, "name")], room, ink)
    assert found is not None
    assert found.leader is not None
    assert not found.box.overlaps(Box(36, 36, 64, 64))
    assert thing.holds(Box(*found.leader[1], *found.leader[1]))


def test_a_bound_label_stands_on_its_places_or_nowhere() -> None:
    room = Box(0, 0, 100, 100)
    bound = Wish("a", ((Words("name", 3.0),),), Box(20, 20, 40, 40), on=((50.0, 50.0), (50.0, 60.0)), bound=True)
    first, second, third = place([bound, bound, bound], room, Ink(room))
    assert first is not None
    assert second is not None
    assert {(first.box.top + first.box.bottom) / 2, (second.box.top + second.box.bottom) / 2} == {50.0, 60.0}
    assert third is None


def test_a_label_keeps_off_the_leader_of_another_one_and_may_end_under_a_badge() -> None:
    room, thing = Box(0, 0, 100, 100), Box(40, 40, 60, 46)
    line = ((0.0, 43.0), (100.0, 43.0))
    stands = Placed("other", Box(90, 10, 95, 12), (), line)
    (alone,) = place([wish("a", thing, "name")], room, Ink(room))
    (beside,) = place([wish("a", thing, "name")], room, Ink(room), [stands])
    assert alone is not None
    assert beside is not None
    assert meets(*line, alone.box)
    assert not meets(*line, beside.box)
    on_it = Placed("badge", Box(20, 20, 80, 70), ())
    assert place([wish("a", thing, "name")], room, Ink(room), [on_it]) == (None,)
    (under,) = place([wish("a", thing, "name")], room, Ink(room), [replace(on_it, soft=True)])
    assert under is not None
    assert under.leader is not None
    assert thing.holds(Box(*under.leader[1], *under.leader[1]))


def test_a_name_keeps_out_of_other_things_and_has_a_leader_where_it_is_as_near_to_another_one() -> None:
    room = Box(0, 0, 100, 100)
    about, other = Box(40, 40, 44, 44), Box(46, 30, 80, 60)
    named = replace(wish("a", about, "a long name"), body="own")
    (alone,) = place([named], room, Ink(room), (), Around({"own": about}))
    (beside,) = place([named], room, Ink(room), (), Around({"own": about, "other": other}))
    assert alone is not None
    assert beside is not None
    assert alone.leader is None
    assert alone.box.grown(1.0).overlaps(other), "the sample has no other thing near"
    assert not beside.box.overlaps(other)
    assert beside.leader is not None or not beside.box.grown(1.0).overlaps(other)


def test_a_label_hides_no_terminal_and_no_leader_runs_over_one() -> None:
    """Terminals lie above its thing, where the label would stand, or on all sides but one, where a leader would run."""
    room, about = Box(0, 0, 100, 100), Box(48, 48, 52, 52)
    named = replace(wish("a", about, "name"), inside=False)
    above = tuple((float(x), 45.0) for x in range(40, 61))
    (free,) = place([named], room, Ink(room))
    (moved,) = place([named], room, Ink(room), (), Around(dots=above))
    assert free is not None
    assert moved is not None
    assert any(free.box.holds(Box(*dot, *dot)) for dot in above)
    assert not any(moved.box.holds(Box(*dot, *dot)) for dot in above)
    far = replace(named, beside=False)
    on_the_way = (48.5, 48.0)
    (over,) = place([far], room, Ink(room))
    (past,) = place([far], room, Ink(room), (), Around(dots=(on_the_way,)))
    assert over is not None
    assert over.leader is not None
    assert past is not None
    assert past.leader is not None
    assert meets(*over.leader, Box(*on_the_way, *on_the_way).grown(0.9))
    assert not meets(*past.leader, Box(*on_the_way, *on_the_way).grown(0.9))


def test_of_a_thing_that_another_one_hides_in_part_the_leader_ends_on_the_rest() -> None:
    room = Box(0, 0, 100, 100)
    about, over = Box(40, 40, 60, 60), Box(30, 45, 70, 70)
    (found,) = place(
        [replace(wish("a", about, "a very long name"), body="own", beside=False)],
        room,
        Ink(room),
        (),
        Around({"own": about, "over": over}),
    )
    assert found is not None
    assert found.leader is not None
    end = Box(*found.leader[1], *found.leader[1])
    assert about.holds(end)
    assert not over.holds(end)


def test_what_has_no_box_of_its_own_lies_in_one_only_with_a_leader() -> None:
    room, body = Box(0, 0, 40, 20), Box(1, 1, 39, 19)
    (found,) = place([wish("trunk", Box(20, 9, 21, 10), "name")], room, Ink(room), (), Around({"block": body}))
    assert found is not None
    assert found.leader is not None
    within = replace(wish("trunk", Box(20, 9, 21, 10), "name"), body="own")
    assert place([within], room, Ink(room), (), Around({"block": body, "own": Box(20, 9, 21, 10)})) == (None,)


def test_who_finds_no_place_comes_first_the_next_time() -> None:
    """The second thing has one place only, which the first one takes where it comes first."""
    room = Box(0, 0, 60, 60)
    first = replace(wish("a", Box(20, 20, 22, 22), "name"), on=((30.0, 30.0), (30.0, 40.0)))
    second = replace(wish("b", Box(50, 50, 52, 52), "name"), on=((30.0, 30.0),), inside=False, beside=False)
    one, two = place([first, second], room, Ink(room), [Placed("wall", Box(36, 0, 60, 60), ())])
    assert one is not None
    assert two is not None
    assert (two.box.top + two.box.bottom) / 2 == 30


def test_ink_knows_how_much_a_box_would_cover() -> None:
    ink = Ink(Box(0, 0, 50, 50))
    ink.area(Box(10, 10, 30, 30), weight=0.5)
    ink.line([(0.0, 40.0), (50.0, 40.0)], weight=3.0)
    assert ink.under(Box(12, 12, 22, 22)) == pytest.approx(50, rel=0.1)
    assert ink.under(Box(40, 5, 48, 20)) == 0
    assert ink.under(Box(5, 38, 15, 42)) > 0
    assert ink.under(Box(60, 60, 70, 70)) == 0


# ------------------------------------------------------------------ columns


def block(tall: float) -> Block:
    """Make a block that draws itself as a rectangle of a height."""
    return lambda room: ((Rect(room.left, room.top, room.width, tall),), room.top + tall)


def test_blocks_flow_into_the_next_column_and_what_belongs_together_stays_so() -> None:
    columns = [Box(0, 0, 10, 100), Box(20, 0, 30, 100)]
    placed = flow([block(60), together(block(20), block(30)), block(10)], columns)
    assert placed is not None
    assert [(r.x, r.y) for r in placed if isinstance(r, Rect)] == [(0, 0), (20, 0), (20, 20), (20, 50)]
    assert flow([block(60), block(60), block(60)], columns) is None


def test_a_wanted_break_is_kept_where_there_are_columns_enough_and_a_gap_at_a_head_is_none() -> None:
    blocks = [block(10), new_column, separator, block(70), block(40)]
    two, three = ([Box(20 * i, 0, 20 * i + 10, 100) for i in range(count)] for count in (2, 3))
    found = [flow(blocks, columns) for columns in (two, three)]
    at = [[(r.x, r.y) for r in items or () if isinstance(r, Rect)] for items in found]
    assert at == [[(0, 0), (0, 10 + GAP_MM), (20, 0)], [(0, 0), (20, 0), (40, 0)]]


# ------------------------------------------------------------------ words and numbers


@pytest.mark.parametrize(
    ("ids", "words"),
    [
        (["W6", "W7", "W8", "W9", "W14"], "W6–W9, W14"),
        (["W10", "W9"], "W9, W10"),
        (["W2", "x", "W1", "W3"], "W1–W3, x"),
        ([], ""),
    ],
)
def test_ids_are_listed_shortly(ids: list[str], words: str) -> None:
    assert id_ranges(ids) == words


def test_wires_are_counted_in_words() -> None:
    assert [wires_words(1), wires_words(9), wires_words(9, up_to=True)] == ["1 wire", "9 wires", "up to 9 wires"]


@pytest.mark.parametrize(("scale", "apart"), [(1, (5, 50)), (2.5, (5, 50)), (5, (10, 100)), (50, (100, 1000))])
def test_ticks_stay_far_enough_apart_to_be_counted(scale: float, apart: tuple[int, int]) -> None:
    assert spacing(scale) == apart
