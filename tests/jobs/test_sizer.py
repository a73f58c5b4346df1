"""What lies before a circuit: the drop in shared leads, and the leads that parts bring along, worked by hand."""

from __future__ import annotations

import pytest

from loomwright.model.reason import Reasoned
from loomwright.plan.result import Plan, PlannedCircuit
from loomwright.search import Effort
from loomwright.sizing import ConstraintName
from loomwright.units import Gauge
from tests.robots import plan_of

# ASTM B258 and 1/58 ohm mm2/m at 20 C: 6 AWG 13.302 mm2, 12 AWG 3.3088 mm2, 14 AWG 2.0809 mm2 (ohm/m).
AWG_6, AWG_12, AWG_14 = 1 / 58 / 13.302, 1 / 58 / 3.3088, 1 / 58 / 2.0809

ROBOT = """
robot: Shared
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm}
main breaker: {part: breaker/main-120a, lead length: 20 cm}
blocks:
  block: {part: block/6-heavy-10-light-2-fused, lead length: 15 cm}
mechanisms:
  spin: {motor: motor/brushless-500w, controller: controller/inline-40a, length: 80 cm, limit: {supply: 40 A}}
"""


def circuit(plan: Plan, name: str) -> PlannedCircuit:
    """Return a circuit that must be there."""
    found = plan.circuit(name)
    assert found is not None
    return found


def judged(held: PlannedCircuit, name: ConstraintName) -> float:
    """Return what a limit was judged at."""
    assert held.sizing is not None
    constraint = held.sizing.constraint(name)
    assert constraint is not None
    assert constraint.actual is not None
    return constraint.actual


def test_the_drop_of_a_circuit_counts_its_parts_own_leads() -> None:
    """40 A over 2 x 0.8 m of 12 AWG, and over the controller's own 2 x 0.2 m of 12 AWG."""
    spin = circuit(plan_of(ROBOT), "spin")
    own = 40 * 2 * 0.8 * AWG_12
    leads = 40 * 2 * 0.2 * AWG_12
    assert judged(spin, ConstraintName.DROP) == pytest.approx(own + leads, rel=1e-3)


def test_from_the_battery_on_the_shared_leads_count_at_what_the_robot_holds() -> None:
    """One breaker of 40 A is all: 40 A over 0.6 m of 6 AWG out and 0.6 m back, before the circuit's own drop."""
    spin = circuit(plan_of(ROBOT), "spin")
    shared = 40 * (0.25 + 0.20 + 0.15) * 2 * AWG_6
    own = 40 * 2 * (0.8 + 0.2) * AWG_12
    assert judged(spin, ConstraintName.PATH_DROP) == pytest.approx(shared + own, rel=1e-3)
    assert spin.sizing is not None
    path = spin.sizing.constraint(ConstraintName.PATH_DROP)
    assert path is not None
    assert path.limit == pytest.approx(1.2)  # 10 % of 12 V, the column of ABYC E-11 for what is not critical


def test_a_sub_blocks_feeder_is_shared_too() -> None:
    """Behind a sub-block the feeder's drop comes on top of the main leads'."""
    text = ROBOT.replace(
        "mechanisms:",
        "  far block: {part: block/sub-6-light, from: block, length: 1 m}\nmechanisms:",
    )
    text += "electronics:\n  eyes: {part: computer/vision-12v, from: far block, length: 50 cm, draw: 2 A}\n"
    plan = plan_of(text)
    eyes, feeder = circuit(plan, "eyes"), circuit(plan, "far block")
    assert feeder.sizing is not None
    assert feeder.gauge.value is not None
    main_a = circuit(plan, "main").sustained.value
    feeder_a = feeder.sustained.value
    assert main_a is not None
    assert feeder_a is not None
    ohm_per_m = {12: AWG_12, 14: AWG_14}[feeder.gauge.value.number]
    before = main_a * 1.2 * AWG_6 + feeder_a * 2 * 1.0 * ohm_per_m
    assert judged(eyes, ConstraintName.PATH_DROP) - judged(eyes, ConstraintName.DROP) == pytest.approx(before, rel=2e-3)


def test_an_output_that_keeps_its_own_voltage_begins_anew() -> None:
    """Behind a regulator the battery's leads are of no interest: there is no limit from the battery on."""
    text = ROBOT + "electronics:\n  regulator: {part: regulator/12v-3a-5v-3a, feed: fused, length: 30 cm}\n"
    text += "lights:\n  strip: {part: light/strip-5v, from: regulator, length: 60 cm, draw: 1 A}\n"
    strip = circuit(plan_of(text), "strip")
    assert strip.sizing is not None
    assert strip.sizing.constraint(ConstraintName.PATH_DROP) is None


def test_the_file_may_allow_less_from_the_battery_on() -> None:
    """With 3.5 % from the battery on, 12 AWG is too thin for the same run, and the reason says so."""
    tight = plan_of(ROBOT + "wires: {path drop: 3.5 %}\n")
    spin = circuit(tight, "spin")
    assert spin.gauge.value is not None
    assert spin.gauge.value.number < 12
    assert "drop from the battery" in spin.gauge.reason


def test_thicker_main_leads_are_chosen_where_they_save_more_than_they_weigh() -> None:
    """Leads left to the tool: with a tight limit from the battery on, thick main leads let long branches stay thin.

    Six branches of 1.6 m each weigh more than a metre of main leads, so the tool thickens the one lead that all share.
    """
    motors = "".join(
        f"  m{n}: {{motor: motor/brushless-500w, controller: controller/inline-40a, at: [{20 + 20 * n} cm, 170 cm], "
        "limit: {supply: 30 A}}\n"
        for n in range(6)
    )
    text = ROBOT.split("mechanisms:", maxsplit=1)[0].replace("leads: 6 AWG, lead length: 25 cm", "lead length: 40 cm")
    text = text.replace("lead length: 15 cm", "lead length: 15 cm, at: [70 cm, 30 cm]") + "mechanisms:\n" + motors
    text += "plate:\n  outline: [[0, 0], [150 cm, 0], [150 cm, 180 cm], [0, 180 cm]]\n"
    text += "  trunks: {spine: [[70 cm, 40 cm], [70 cm, 165 cm]], cross: [[10 cm, 165 cm], [130 cm, 165 cm]]}\n"

    def main_lead(limit: str) -> Reasoned[Gauge | None]:
        return circuit(plan_of(f"{text}wires: {{path drop: {limit}, drop: 9 %}}\n", effort=Effort.USUAL), "main").gauge

    loose, tight = main_lead("30 %"), main_lead("6 %")
    assert (loose.value, tight.value) == (Gauge(6), Gauge(4))
    assert tight.reason == "thicker than it has to be, so that the branches behind it may be thinner"
