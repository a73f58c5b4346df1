"""The battery's path lead by lead: whose copper each one is, as the team wrote it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.model.fact import Fact

if TYPE_CHECKING:
    from loomwright.model.robot import Robot
    from loomwright.units import Gauge
    from loomwright.wiring.result import Circuit, Wire


def lead_gauge(robot: Robot, wire: Wire) -> Fact[Gauge]:
    """Return the gauge that the team wrote for one lead of the battery's path; absent where it wrote none.

    The battery's `leads` reach to its plug, the breaker's come from the plug, the block's feed the block: the same
    owners as those of the lengths. The battery's own also stand for leads of which nothing else is said.
    """
    battery = robot.device("battery")
    owner = battery if wire.a.device == "battery" else robot.device(wire.b.device)
    said = [device.wishes.gauge for device in (owner, battery) if device is not None]
    return next((fact for fact in said if fact.value is not None), Fact())


def path_gauge(robot: Robot, circuit: Circuit) -> Fact[Gauge]:
    """Return the thinnest gauge that the team wrote for any lead of a circuit of the battery's path."""
    said = [fact for wire in circuit.wires if (fact := lead_gauge(robot, wire)).value is not None]
    return max(said, key=lambda fact: fact.values[0].number, default=Fact())


def other_gauges(robot: Robot, circuit: Circuit) -> tuple[Fact[Gauge], ...]:
    """Return the gauges of leads that are written thicker than the thinnest one, each once."""
    said = {fact.value: fact for wire in circuit.wires if (fact := lead_gauge(robot, wire)).value is not None}
    return tuple(fact for gauge, fact in said.items() if gauge != path_gauge(robot, circuit).value)


def open_leads(robot: Robot, circuit: Circuit) -> bool:
    """Tell whether some leads are left to the tool although others are written."""
    said = [lead_gauge(robot, wire).value is not None for wire in circuit.wires]
    return any(said) and not all(said)
