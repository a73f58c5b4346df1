"""Where printed pages end: small groups stay whole, large ones may be torn, and nothing is printed too small."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.documents.paging import page_ends, room_pt, shrunk


def pages(heights: Sequence[float], ends: Sequence[int], *, first: float, later: float) -> list[list[int]]:
    """Print as a program does: row after row, a new page when one is full or where it has to end."""
    found: list[list[int]] = [[]]
    room = first
    for row, high in enumerate(heights):
        if row in ends or high > room:
            found.append([])
            room = later
        found[-1].append(row)
        room -= high
    return found


@pytest.mark.parametrize(
    ("groups", "first", "ends"),
    [
        ("aabbccdd", 8, ()),  # eight rows just fit on a page of eight
        ("aaabbcccdd", 9, (8,)),  # a pair that would be torn goes on the next
        ("abcdefghij", 8, ()),  # rows of their own break where the page is full
        ("aabbccddee", 8, (8,)),  # where a pair ends with the page, the page ends for sure
        ("aaaabbccddeeffgghhii", 5, (4, 18)),  # what went on fills the next page
        ("a" * 20, 8, ()),  # a group that is larger than any page is torn
        ("aabbcc" + "d" * 9, 8, ()),  # and so is one that fills much of a page
    ],
)
def test_pages_end_where_a_small_group_would_be_torn(groups: str, first: float, ends: tuple[int, ...]) -> None:
    assert page_ends([1.0] * len(groups), groups, first=first, later=14) == ends


@given(
    st.lists(st.tuples(st.integers(1, 4), st.floats(1, 6)), min_size=1, max_size=60),
    st.floats(20, 60),
    st.floats(180, 260),
)
def test_no_small_group_is_torn_and_no_page_is_fuller_than_it_is(
    sizes: list[tuple[int, float]], first: float, later: float
) -> None:
    heights = [high for many, high in sizes for _ in range(many)]
    groups = [group for group, (many, _) in enumerate(sizes) for _ in range(many)]
    printed = pages(heights, page_ends(heights, groups, first=first, later=later), first=first, later=later)
    assert [row for page in printed for row in page] == list(range(len(heights)))
    for group, (many, high) in enumerate(sizes):
        on = {n for n, page in enumerate(printed) for row in page if groups[row] == group}
        assert len(on) == 1 or many * high > 0.15 * later
    for n, page in enumerate(printed):
        assert sum(heights[row] for row in page) <= (later if n else max(first, heights[0]))


def test_a_sheet_is_shrunk_to_the_page_and_never_blown_up() -> None:
    assert shrunk(100) == 1.0
    assert shrunk(2 * 805.89) == pytest.approx(0.5, rel=1e-4)  # 297 mm less two quarters of an inch
    assert room_pt(2 * 805.89) == pytest.approx(0.985 * 2 * 523.28, rel=1e-4)  # 210 mm less an inch
