"""The examples' expected readings against ngspice, on decks written from the plan by another hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from loomwright.proof.wake_up import wake_up
from loomwright.proof.wake_up_result import Kind, Measurement, Topic
from tests.proof.wake_decks import Where, both
from tests.robots import example_plan

LEADS = (0.0, 0.5)
COMPARED = (Topic.BRANCH, Topic.BOARD, Topic.DATA)


def ports(measurement: Measurement) -> tuple[Where, Where]:
    """Return where the two probes of a row are."""
    red, black = measurement.red, measurement.black
    return (red.device, red.socket, red.polarity), (black.device, black.socket, black.polarity)


@pytest.mark.parametrize("name", ["breakwater", "tidepool"])
def test_a_simulator_expects_the_same(name: str, needs_ngspice: Path) -> None:
    """Every computed range across plus and minus or across a pair, both ways round, to a part in ten thousand."""
    plan = example_plan(name)
    everything = frozenset(circuit.id for circuit in plan.circuits)
    rows = [
        m
        for m in wake_up(plan).measurements
        if m.topic in COMPARED and m.expected.kind is Kind.RANGE and not m.key.endswith((": plus", ": minus"))
    ]
    assert len(rows) > 10
    assert {m.topic for m in rows} == set(COMPARED)
    for state, kept in ((frozenset(), {Topic.BRANCH, Topic.DATA}), (everything, {Topic.BOARD})):
        for swapped in (False, True):
            told = [(m, m.swapped if swapped else m.expected) for m in rows if m.topic in kept]
            asked = [ports(m) for m, expected in told if expected is not None]
            least, most = (deck.ohms(needs_ngspice, asked) for deck in both(plan, state, swapped=swapped))
            known = [(m, expected) for m, expected in told if expected is not None]
            for (m, expected), low_ohm, high_ohm in zip(known, least, most, strict=True):
                worked = (low_ohm + LEADS[0], high_ohm + LEADS[1])
                assert (expected.low, expected.high) == pytest.approx(worked, rel=1e-4, abs=2e-4), (
                    m.key
                )  # printed copper has four figures


def test_the_boards_of_the_examples_lie_where_healthy_robots_do() -> None:
    """Healthy readings ran from 143 ohm to 4 kohm depending on what is connected: common practice."""
    for name in ("breakwater", "tidepool"):
        [board] = [m for m in wake_up(example_plan(name)).measurements if m.topic is Topic.BOARD]
        assert board.expected.low is not None
        assert board.expected.high is not None
        assert board.expected.low < 4000
        assert board.expected.high > 143
