"""The rule by which wires fit through a trunk."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.catalogue.wire_diameter import bundle_over_wire
from loomwright.layout.engine.packing import pack
from loomwright.layout.route_bundle import bundle_mm, fits

WIRES = st.lists(st.sampled_from([1.5, 2.1, 2.5, 3.0, 3.6, 8.9]), max_size=24)


@given(WIRES, st.sampled_from([0.5, 1.5, 3.6]))
def test_one_more_wire_never_needs_less_room(wires: list[float], more: float) -> None:
    assert bundle_mm([*wires, more]) >= bundle_mm(wires)


@given(WIRES)
def test_thicker_wires_never_need_less_room(wires: list[float]) -> None:
    assert bundle_mm([mm * 1.1 for mm in wires[:3]] + wires[3:]) >= bundle_mm(wires)


def test_equal_wires_follow_the_packings_and_order_decides_nothing() -> None:
    assert bundle_mm([]) == 0
    assert bundle_mm([3.0] * 5) == pytest.approx(3 * bundle_over_wire(5))
    assert bundle_mm([1.5, 3.0, 3.0]) == bundle_mm([3.0, 1.5, 3.0])


def test_a_bundle_that_fits_is_packed_into_no_more_room() -> None:
    """Mixes of gauges: the rule stays on the safe side of the packing, by 15 % at most."""
    rng = random.Random(7)  # noqa: S311 - a test's own numbers
    for _ in range(25):
        wires = [rng.choice([1.5, 2.1, 2.5, 3.0, 3.6]) for _ in range(rng.randint(3, 14))]
        packed = pack(wires).diameter_mm
        assert packed * 0.995 <= bundle_mm(wires) <= packed * 1.15


def test_it_fits_up_to_the_width_itself() -> None:
    assert fits([3.0, 3.0], 0.006)
    assert not fits([3.0, 3.0], 0.0059)
    assert fits([3.0] * 50, None)
