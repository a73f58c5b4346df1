"""What devices take without moving anything: at most, and as a rule; and a network with either."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from loomwright.electrical.board import Side
from loomwright.electrical.power import idle_a, power_network, usual_a
from loomwright.model.device import Device
from loomwright.network import Draw
from tests.proof.small_robots import TWO_PLATES
from tests.robots import plan_of

PLAN = plan_of(TWO_PLATES.replace("jumper: yes}", "jumper: yes, draw: 0.3 A}"))


def device(called: str, *without: str) -> Device:
    """Return a device of the robot, whose part says nothing of some values."""
    found = PLAN.robot.device(called)
    assert found is not None
    values = {name: value for name, value in found.part.values.items() if name not in without}
    return replace(found, part=replace(found.part, values=values))


@pytest.mark.parametrize(
    ("called", "without", "usual", "most"),
    [
        # Its part says 1 A, and 2 A at its peak.
        ("radio", (), 1.0, 2.0),
        # Of a peak alone it takes half as a rule; where there is no peak both are the same.
        ("radio", ("draw",), 1.0, 2.0),
        ("vision", ("draw",), 2.0, 4.0),
        ("robot controller", ("draw",), 0.75, 1.5),
        ("radio", ("peak draw",), 1.0, 1.0),
        ("radio", ("draw", "peak draw"), None, None),
        # What the robot file says goes before its part.
        ("beacon", (), 0.3, 0.3),
    ],
)
def test_what_a_device_takes_as_a_rule(
    called: str, without: tuple[str, ...], usual: float | None, most: float | None
) -> None:
    """What the file says, its draw, else half of its peak; at most its peak."""
    found = device(called, *without)
    assert usual_a(found) == usual
    assert idle_a(found) == most


@pytest.mark.parametrize(("takes", "radio_a", "vision_a"), [(None, 2.0, 4.0), (idle_a, 2.0, 4.0), (usual_a, 1.0, 2.0)])
def test_a_network_takes_what_it_is_told_to(
    takes: Callable[[Device], float | None] | None, radio_a: float, vision_a: float
) -> None:
    """Peaks unless told else; a regulator takes from its feed what its radio takes, ampere for ampere."""
    circuits = frozenset(circuit.id for circuit in PLAN.circuits)
    power = power_network(PLAN, circuits, Side.LOW) if takes is None else power_network(PLAN, circuits, Side.LOW, takes)
    assert power is not None
    taken = {one.name[1]: one.current_a for one in power.elements if isinstance(one, Draw)}
    assert (taken["regulator"], taken["vision"]) == (radio_a, vision_a)
    # The computer hands its own plus on to the beacon, so each takes its own.
    assert (taken["robot controller"], taken["beacon"]) == (1.0 if takes is usual_a else 1.5, 0.3)
    assert taken["left rear controller"] == 0.05
    idle = power_network(PLAN, circuits, Side.HIGH, usual_a)
    assert idle is not None
    assert {one.current_a for one in idle.elements if isinstance(one, Draw)} == {0.0}
