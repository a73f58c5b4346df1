"""The shape of a code: its modules, all of them and nothing else, and how small it may be."""

from __future__ import annotations

from collections import Counter

import pytest
import segno
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.documents.flags.code import LARGEST_MM, QUIET, code, drawn, runs, square
from loomwright.documents.flags.wording import LONGEST_BYTES
from loomwright.documents.scene import Box, Move, Straight
from tests.documents.flags.robots_with_flags import CODE


@given(
    st.integers(1, 9).flatmap(
        lambda n: st.lists(st.lists(st.integers(0, 1), min_size=n, max_size=n), min_size=n, max_size=n)
    )
)
@settings(max_examples=60)
def test_bars_are_the_dark_modules(rows: list[list[int]]) -> None:
    """Any pattern comes back from its bars; no two of them overlap, and none could go on in its row."""
    found = list(runs(tuple(map(bytes, rows))))
    cells = Counter((row, column) for row, first, end in found for column in range(first, end))
    assert set(cells.values()) <= {1}
    assert cells.keys() == {(y, x) for y, row in enumerate(rows) for x, dark in enumerate(row) if dark}
    ends = {(row, end) for row, _, end in found}
    assert not ends & {(row, first) for row, first, _ in found}


def test_a_code_is_one_shape_inside_its_quiet_zone() -> None:
    """One path, so that no seam can show; its ink keeps four modules from the edge of its box on every side."""
    made = code(CODE)
    held = square(made, Box(10, 20, 40, 45))
    shape = drawn(made, held)
    module = held.width / (len(made.modules) + 2 * 4)
    assert shape.box.holds(held.grown(-4 * module), 1e-9)
    assert held.grown(-4 * module).holds(shape.box, 1e-9)
    places = [step.to for step in shape.steps if isinstance(step, Move | Straight)]
    corners = [
        (round((x - held.left) / module - QUIET, 6), round((y - held.top) / module - QUIET, 6)) for x, y in places
    ]
    bars = [((first, row), (end, row), (end, row + 1), (first, row + 1)) for row, first, end in runs(made.modules)]
    assert corners == [corner for bar in bars for corner in bar]


def test_no_code_has_more_than_45_modules_and_the_longest_text_still_fits() -> None:
    """154 bytes are what version 7 holds (iso-iec-18004-memory, as the encoder's own table has it), and no more."""
    assert len(code("x" * LONGEST_BYTES).modules) == 45
    assert code("x" * LONGEST_BYTES).least_mm == pytest.approx(LARGEST_MM)
    assert len(code("é" * (LONGEST_BYTES // 2)).modules) == 45
    with pytest.raises(ValueError, match="at most 154 bytes"):
        code("x" * (LONGEST_BYTES + 1))
    with pytest.raises(ValueError, match="at most 154 bytes"):
        code("é" * (LONGEST_BYTES // 2 + 1))
    with pytest.raises(segno.DataOverflowError):
        segno.make_qr("x" * (LONGEST_BYTES + 1), version=7, error="l", mode="byte")


def test_shorter_texts_can_lose_more() -> None:
    """Where the text leaves room, error correction takes it: at least level M up to 122 bytes."""
    assert segno.make_qr("x" * 122, error="m", mode="byte").version == 7
    assert len(code("x" * 122).modules) == 45
    assert len(code("x" * 84).modules) == 37


def test_modules_are_never_smaller_than_a_reader_needs_and_never_two_pixels_at_150_dpi() -> None:
    """At least 0.36 mm; in too small a room there is no code at all."""
    made = code(CODE)
    sides = [made.least_mm + step / 10 for step in range(120)]
    sizes = [made.module_mm(side) for side in sides]
    assert min(sizes) == pytest.approx(0.36, abs=0.001)
    assert max(sizes) == pytest.approx(0.508)
    assert min(abs(size * 150 / 25.4 - 2) for size in sizes) > 0.1
    assert all(made.side_mm(side) <= side + 1e-9 for side in sides)
    assert made.module_mm(made.least_mm - 0.01) == 0
    with pytest.raises(ValueError, match="a code needs"):
        square(made, Box(0, 0, made.least_mm - 0.01, 50))
