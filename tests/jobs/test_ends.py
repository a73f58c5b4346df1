"""What is done to an end depends on both things that it joins."""

from __future__ import annotations

import pytest

from loomwright.plan.result import PlannedEnd
from tests.robots import example_plan, plan_of

ROBOT = """
robot: T
battery: {part: %s}
main breaker: {part: breaker/main-120a}
blocks:
  block: {part: block/6-heavy-10-light-2-fused}
mechanisms:
  arm: {motor: %s, controller: controller/inline-40a, length: 50 cm}
"""


def made(name: str, *, battery: str = "battery/agm-12v-18ah", motor: str = "motor/brushed-340w") -> list[PlannedEnd]:
    """Return the ends that somebody makes on one circuit."""
    circuit = plan_of(ROBOT % (battery, motor)).circuit(name)
    assert circuit is not None
    return [end for wire in circuit.wires for end in (wire.a, wire.b) if end.treatment is not None]


@pytest.mark.parametrize(
    ("motor", "count", "terminal"),
    [
        ("motor/brushed-340w", 2, "snap-in power contacts in a pair of housings"),
        ("motor/brushless-500w", 3, "three power contacts in one row, A to A, B to B, C to C"),
    ],
)
def test_a_motor_of_two_leads_has_no_row_of_three(motor: str, count: int, terminal: str) -> None:
    """A brushed motor's leads go to terminals A and C, one contact each; three phases go in one row."""
    ends = made("arm: motor side", motor=motor)
    assert [end.treatment.terminal for end in ends if end.treatment] == [terminal] * count


@pytest.mark.parametrize("battery", ["battery/agm-12v-18ah, leads: 6 AWG", "battery/agm-12v-7ah, leads: 10 AWG"])
def test_nobody_pulls_at_a_battery(battery: str) -> None:
    """Neither at bolted posts nor at tabs, though a quick-connect elsewhere gets its firm pull by hand."""
    at_battery = [end for end in made("main", battery=battery) if end.device == "battery"]
    assert at_battery
    assert not any(end.treatment.hand_pull for end in at_battery if end.treatment)
    wheel = example_plan("rockpool").circuit("left wheel: motor side")
    assert wheel is not None
    assert wheel.wires[0].b.treatment is not None
    assert wheel.wires[0].b.treatment.hand_pull
