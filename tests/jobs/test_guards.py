"""What protects a circuit, and the voltage that its drop is a share of."""

from __future__ import annotations

import pytest

from loomwright.plan.result import PlannedCircuit
from loomwright.sizing import ConstraintName
from tests.robots import plan_of

ROBOT = """
robot: T
battery: {part: battery/agm-12v-18ah, leads: 6 AWG}
main breaker: {part: breaker/main-120a}
blocks:
  block: {part: block/6-heavy-10-light-2-fused}
mechanisms:
  arm: {motor: motor/gearmotor-40w, controller: controller/clamp-brushed-30a, motor length: 40 cm, length: 50 cm}
electronics:
  regulator: {part: regulator/12v-3a-5v-3a, length: 30 cm}
lights:
  strip: {part: light/strip-5v, from: regulator, length: 2 m, draw: 2 A}
pneumatics:
  air module: {part: pneumatics/control-module, length: 40 cm}
  compressor: {part: compressor/12v, length: 40 cm}
  hook: {part: valve/single, module: air module, channels: 0, length: 60 cm}
"""


def circuit(name: str) -> PlannedCircuit:
    """Return one circuit of the robot."""
    found = plan_of(ROBOT).circuit(name)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("main", "breaker/main-120a"),
        ("regulator", "fuse/blade-20a"),
        ("arm: motor side", "breaker/snap-action-10a"),
        ("strip", "the output's own limit of 3 A"),
        ("hook", "the output's own limit of 500 mA"),
        ("compressor", "breaker/snap-action-20a before air module"),
    ],
)
def test_every_power_wire_has_a_guard(name: str, words: str) -> None:
    """Breaker, fuse, branch, an output's own limit; an output without one is guarded by what lies before it."""
    assert circuit(name).protection == words


def test_a_wire_behind_an_output_without_a_limit_bears_what_the_breaker_before_it_holds() -> None:
    """A compressor's wires are sized for the module's 20 A breaker: 18 AWG, though 9.4 A would do with less."""
    found = circuit("compressor")
    assert found.sizing is not None
    assert found.sizing.constraint(ConstraintName.HOLD_HEAT) is not None
    assert found.sizing.constraint(ConstraintName.RULE_BOOK) is not None
    assert str(found.gauge.value) == "18 AWG"


def test_a_lamp_hangs_on_a_modules_channel_like_a_valve() -> None:
    """`module:` and `channels:` mean the same for whatever hangs there."""
    text = ROBOT + "  ring: {part: light/any, module: air module, channels: 6, draw: 0.2 A, length: 50 cm}\n"
    found = plan_of(text).circuit("ring")
    assert found is not None
    assert (found.source, found.slot.value) == ("air module", "valve 6")


def test_the_drop_of_a_5_v_output_is_a_share_of_5_v() -> None:
    """2 A over 2 x 2 m: 20 AWG drops 0.27 V, which is 2.2 % of 12 V and 5.3 % of 5 V; 18 AWG drops 3.35 %.

    The strip's own leads, 2 x 15 cm of 20 AWG with 33.2 mohm/m, add 2 A x 9.97 mohm: 0.40 % of 5 V.
    """
    found = circuit("strip")
    assert found.sizing is not None
    assert str(found.gauge.value) == "18 AWG"
    assert found.sizing.drop_pct == pytest.approx(100 * found.sizing.drop_v / 5)  # type: ignore[operator]
    assert found.sizing.drop_pct == pytest.approx(3.35 + 0.40, abs=0.02)
