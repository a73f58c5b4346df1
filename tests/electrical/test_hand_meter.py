"""Resistances in the words of a hand-held meter: no false digits, and one limit of a wire for every list."""

from __future__ import annotations

import pytest

from loomwright.electrical.hand_meter import as_shown, ohm_range, ohm_words
from loomwright.electrical.network_of import wire_limit_ohm
from loomwright.hunting.robot.robot_hunt import robot_hunt
from loomwright.proof.wake_up import wake_up
from tests.robots import EXAMPLES, example_plan


@pytest.mark.parametrize(
    ("ohm", "words"),
    [(0.0016, "0 Ω"), (0.302, "0.3 Ω"), (10.8, "11 Ω"), (50.05, "50 Ω"), (111.5, "112 Ω"), (928.0, "930 Ω")],
)
def test_no_more_figures_than_a_hand_meter_shows(ohm: float, words: str) -> None:
    """Tenths below 10 ohm, whole ones to 200, two figures above."""
    assert ohm_words(ohm) == words
    assert ohm_words(as_shown(ohm)) == words


def test_a_range_that_begins_at_nothing_has_one_end() -> None:
    assert ohm_range(0.0016, 0.5016) == "at most 0.5 Ω"
    assert ohm_range(56.4, 63.6) == "56 Ω to 64 Ω"
    assert ohm_range(1000.2, 1000.4) == "1 kΩ"


@pytest.mark.parametrize("name", EXAMPLES)
def test_wake_up_and_hunt_have_the_same_limit_for_a_wire(name: str) -> None:
    """Where both measure a wire from end to end, what the one calls bad the other does not call healthy."""
    plan = example_plan(name)
    limits = {wire.id: wire_limit_ohm(wire) for wire in plan.wires}
    rows = [row for row in wake_up(plan).measurements if row.what.endswith("from end to end")]
    checks = robot_hunt(plan).checks
    both = [row for row in rows if f"ohms {row.wires[0]}" in checks]
    assert len(both) > 5
    for row in both:
        assert row.stop is not None
        scale = checks[f"ohms {row.wires[0]}"].scale
        assert scale is not None
        assert row.stop.above == scale.bands[0][1] == limits[row.wires[0]], row.key
