"""The heat of a wire: steady at its limit with its ampacity, slow by its copper."""

from __future__ import annotations

import pytest

from loomwright.match.of_notes import Notes
from loomwright.match.of_wire_heat import heat_joule_per_k_m, wire_heat
from loomwright.plan.result import PlannedCircuit
from loomwright.units import Gauge
from tests.match.small_robot import small_robot
from tests.robots import as_text, plan_of

PLAN = plan_of(as_text(small_robot()))


def _circuit(name: str) -> PlannedCircuit:
    circuit = PLAN.circuit(name)
    assert circuit is not None
    return circuit


def test_at_its_ampacity_it_is_at_its_limit() -> None:
    """The steady temperature T = air + I2 R/(G - I2 R alpha) of the sizing's ampacity is the insulation's limit."""
    circuit = _circuit("base")
    heat = wire_heat(PLAN, circuit, Notes())
    assert heat is not None
    assert circuit.sizing is not None
    assert circuit.sizing.ampacity_a is not None
    assert heat.gauge == circuit.sizing.shown_for.label
    heating = circuit.sizing.ampacity_a**2 * heat.ohm_per_m
    steady_c = (heating * (1 - 20 * 0.00393) + heat.watt_per_k_m * 30) / (heat.watt_per_k_m - 0.00393 * heating)
    assert steady_c == pytest.approx(heat.limit_c)
    assert heat.limit_c == 105


def test_copper_is_most_of_what_warms() -> None:
    """3.31 mm2 of copper, 12 AWG, take 3.42 J/(K mm3) [IEC 60949] a metre; insulation adds less than that again."""
    copper = 3.31e-3 * 3.42e3
    assert copper < heat_joule_per_k_m(Gauge(12)) < 2 * copper


def test_a_thinner_lead_is_the_one_that_counts() -> None:
    """A controller's own 12 AWG leads behind a 10 AWG wire get hottest."""
    robot = small_robot()
    robot["mechanisms"]["base"]["wire"] = "10 AWG"
    plan = plan_of(as_text(robot))
    circuit = plan.circuit("base")
    assert circuit is not None
    heat = wire_heat(plan, circuit, Notes())
    assert heat is not None
    assert heat.gauge == "12"
    assert heat.ohm_per_m == pytest.approx(5.21e-3, rel=1e-3)
