"""Loads: power through regulators, the compressor's share of a match, thresholds of the robot controller."""

from __future__ import annotations

import pytest

from loomwright.match.machine import Air, LoadBranch, LoadKind
from loomwright.match.of_plan import MachineOf
from tests.match.small_robot import codes, played, small_robot


def _load(made: MachineOf, name: str, kind: LoadKind = LoadKind.POWER) -> LoadBranch:
    assert made.machine is not None
    return next(load for load in made.machine.loads if load.name == name and load.kind is kind)


def test_what_hangs_on_a_regulator() -> None:
    """1 A at 5 V and a radio of 1 A at 12 V, over 85 %: 20 W, as a switching regulator takes it."""
    robot = small_robot()
    robot["electronics"] |= {
        "regulator": {"part": "regulator/12v-3a-5v-3a", "feed": "fused", "length": "30 cm"},
        "radio": {"part": "radio/generic", "from": "regulator", "over": "network cable", "length": "50 cm"},
    }
    robot["lights"] = {"strip": {"part": "light/strip-5v", "from": "regulator", "draw": "1 A", "length": "50 cm"}}
    made = played(robot)
    assert _load(made, "regulator").power_w == pytest.approx((5 + 12) / 0.85)
    assert any("power for power" in line and "regulator" in line for line in made.rests_on)


def test_a_thing_of_its_own() -> None:
    """The robot controller takes its 1 A at 12 V; its fuse, its wire and six contacts are in its way."""
    load = _load(played(small_robot()), "robot controller")
    assert load.power_w == pytest.approx(12)
    assert load.joints == 6
    assert load.trip is not None
    assert load.trip.rating_a == 10
    assert not load.trip.resets


def test_controllers_take_a_little_at_rest() -> None:
    """Two controllers of 50 mA."""
    assert _load(played(small_robot()), "motor controllers").power_w == pytest.approx(2 * 0.05 * 12)


def test_an_unknown_draw_is_asked() -> None:
    """A thing that does not say what it takes gets a usual draw, and a question."""
    robot = small_robot()
    robot["electronics"]["box"] = {"part": "device/any", "length": "30 cm"}
    made = played(robot)
    assert _load(made, "box").power_w == pytest.approx(6)
    assert "draw-unknown" in codes(made)


def _with_air(*, switch: bool) -> MachineOf:
    robot = small_robot()
    robot["pneumatics"] = {
        "air module": {"part": "pneumatics/control-module", "length": "30 cm"},
        "compressor": {"part": "compressor/12v", "length": "30 cm"},
    }
    if switch:
        robot["pneumatics"]["pressure switch"] = {
            "part": "switch/pressure",
            "on": "air module",
            "port": "pressure switch",
        }
    return played(robot)


def test_a_compressor_is_a_pump() -> None:
    """It is fed through its module: 9.4 A running, 17 A at first, behind the module's breaker."""
    made = _with_air(switch=True)
    pump = _load(made, "compressor", LoadKind.PUMP)
    assert (pump.current_a, pump.start_a) == (9.4, 17)
    assert pump.trip is not None
    assert pump.trip.rating_a == 20
    assert pump.line_ohm > _load(made, "air module").line_ohm
    assert "no-pressure-switch" not in codes(made)
    assert "no-pressure-switch" in codes(_with_air(switch=False))


def _pumps_share(air: Air) -> float:
    """Return the share of a match that the pump runs: four strokes in 11 s until 125 s, two more at the end."""
    full, running, ran_s, step_s = 1.0, False, 0.0, 0.05
    strokes = sorted([11 * cycle + s for cycle in range(12) for s in (2, 6, 7, 9) if 11 * cycle + s < 125] + [130, 131])
    for tick in range(round(150 / step_s)):
        while strokes and strokes[0] <= tick * step_s:
            full -= air.stroke_share
            strokes.pop(0)
        running = (running or full < air.on_share) and full < 1
        if running:
            full, ran_s = full + step_s / air.fill_s, ran_s + step_s
    return ran_s / 150


def test_the_compressor_runs_most_of_a_match() -> None:
    """60 to 73 % of a match with usual strokes (common practice); never out of air."""
    machine = _with_air(switch=True).machine
    assert machine is not None
    assert machine.air is not None
    assert 0.60 <= _pumps_share(machine.air) <= 0.73
    assert played(small_robot()).machine is not None


def test_thresholds_of_the_part_and_of_the_file() -> None:
    """The part's voltages; what the file says comes first."""
    robot = small_robot()
    usual = played(robot).machine
    robot["electronics"]["robot controller"]["outputs off below"] = "6.3 V"
    older = played(robot).machine
    assert usual is not None
    assert older is not None
    assert (usual.thresholds.off_v, usual.thresholds.on_v) == (6.75, 7.5)
    assert (usual.thresholds.stop_v, usual.thresholds.start_v, usual.thresholds.recovery_s) == (4.5, 4.65, 50)
    assert older.thresholds.off_v == 6.3
    assert usual.air is None


def test_without_a_robot_controller() -> None:
    """It is asked for; usual voltages are taken and said."""
    robot = small_robot()
    robot["electronics"] = {}
    made = played(robot)
    assert "no-robot-controller" in codes(made)
    assert made.machine is not None
    assert made.machine.thresholds.off_v == 6.75
    assert any(line.startswith("outputs off below 6.75 V") for line in made.rests_on)
