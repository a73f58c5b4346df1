"""The shipped examples as machines: whole, and in the range of what such robots are seen to do."""

from __future__ import annotations

from math import asinh, exp, inf, sqrt

import pytest

from loomwright.match.machine import Machine, Mechanism
from loomwright.match.of_plan import MachineOf, machine_of
from tests.robots import LIBRARY, example_plan

BIG = ("tidepool", "breakwater")


def made(name: str) -> MachineOf:
    """Return what is made of a shipped example."""
    return machine_of(example_plan(name), find_part=LIBRARY.part)


def _machine(name: str) -> Machine:
    machine = made(name).machine
    assert machine is not None
    return machine


def _of_kind(machine: Machine, kind: str) -> list[Mechanism]:
    return [mechanism for mechanism in machine.mechanisms if mechanism.kind == kind]


def _free_rad_s(machine: Machine, mechanism: Mechanism) -> float:
    """Return the speed at 12 V against friction [rad/s]: w = (V - R tau/(K N))/K."""
    motor = next(m for m in machine.motors if machine.mechanisms[m.mechanism] is mechanism)
    return (12 - motor.winding_ohm * mechanism.friction_nm / motor.constant / mechanism.motors) / motor.constant


def _amps(machine: Machine, mechanism: Mechanism, torque_nm: float) -> float:
    """Return the motor-side current of each motor that a torque takes [A]."""
    motor = next(m for m in machine.motors if machine.mechanisms[m.mechanism] is mechanism)
    return torque_nm / motor.constant / mechanism.motors


@pytest.mark.parametrize("name", BIG)
def test_the_whole_path_at_the_block(name: str) -> None:
    """Pulses of a second see 14 to 20 milliohm over battery, leads and contacts (common practice, from logs)."""
    machine, battery = _machine(name), _machine(name).battery
    inside = battery.ohm + sum(ohm * (1 - exp(-1 / tau)) for ohm, tau in battery.pairs)
    level = battery.activation_a
    inside += battery.activation_v * (asinh(180 / level) - asinh(20 / level)) / 160
    contacts = machine.main_joints * sqrt(0.1e-3 * 0.5e-3)
    assert 14e-3 <= inside + machine.main_ohm + contacts <= 20e-3


@pytest.mark.parametrize("name", BIG)
def test_drives_are_as_fast_as_drives_are(name: str) -> None:
    """3 to 5.5 m/s at the top; wheels slip at 40 to 100 A a motor, below where the motor stalls (common practice)."""
    machine = _machine(name)
    assert _of_kind(machine, "drive")
    for drive in _of_kind(machine, "drive"):
        assert 3 <= _free_rad_s(machine, drive) * drive.metres_per_rad <= 5.5
        slips_a = _amps(machine, drive, drive.grip_nm)
        motor = next(m for m in machine.motors if machine.mechanisms[m.mechanism] is drive)
        assert 40 <= slips_a <= 100
        assert slips_a < 12 / motor.winding_ohm
        # A robot takes 0.1 to 0.5 s to its first speed step without limits: R J/(N K^2).
        assert 0.1 <= motor.winding_ohm * (drive.inertia + drive.moved) / motor.constant**2 / drive.motors <= 0.5


def test_all_of_a_robot_is_moved_once() -> None:
    """What the drives move, at the wheels: 54 kg of Tidepool in two sides, 58 kg of Breakwater on four modules."""
    for name, mass_kg in (("tidepool", 54), ("breakwater", 58)):
        drives = _of_kind(_machine(name), "drive")
        assert sum(0.9 * drive.moved / drive.metres_per_rad**2 for drive in drives) == pytest.approx(mass_kg)


@pytest.mark.parametrize("name", BIG)
def test_lifts_and_arms_move_as_they_do(name: str) -> None:
    """A lift is up in 0.4 to 1.5 s and holds with 3 to 25 A a motor; an arm is round in 0.2 to 1.5 s."""
    machine = _machine(name)
    for kind, quickest in (("lift", 0.4), ("arm", 0.2)):
        for mechanism in _of_kind(machine, kind):
            assert quickest <= mechanism.way / _free_rad_s(machine, mechanism) <= 1.5
            assert 3 <= _amps(machine, mechanism, mechanism.gravity_nm) <= 25
            assert mechanism.gravity_nm < 0.3 * _stall_nm(machine, mechanism)


def _stall_nm(machine: Machine, mechanism: Mechanism) -> float:
    motors = [m for m in machine.motors if machine.mechanisms[m.mechanism] is mechanism]
    return sum(12 / motor.winding_ohm * motor.constant for motor in motors)


def test_a_climber_pulls_a_robot_up() -> None:
    """Half a metre in 2 to 8 s, and it holds the robot at less than a fifth of its stall torque (common practice)."""
    machine = _machine("tidepool")
    (climber,) = _of_kind(machine, "climber")
    assert 2 <= climber.way / _free_rad_s(machine, climber) <= 8
    assert climber.gravity_nm < 0.2 * _stall_nm(machine, climber)


def test_a_shooter_reaches_its_speed_in_a_moment() -> None:
    """4000 rpm, below its free speed; what its limits give brings its wheels there in 0.3 to 2 s (common practice)."""
    machine = _machine("tidepool")
    (shooter,) = _of_kind(machine, "flywheel")
    assert shooter.full_speed < 0.8 * _free_rad_s(machine, shooter)
    joule = shooter.inertia * shooter.full_speed**2 / 2
    limits = [m.supply_limit_a for m in machine.motors if machine.mechanisms[m.mechanism] is shooter]
    # Two thirds of what the supply gives arrives while a wheel spins up.
    assert 0.3 <= joule / (sum(limits) * 11 * 2 / 3) <= 2


def test_rollers_take_what_rollers_take() -> None:
    """15 to 30 A of each motor's own current while a piece is in it (common practice: 15 to 25 A of supply)."""
    for name in BIG:
        machine = _machine(name)
        for roller in _of_kind(machine, "roller"):
            assert 15 <= _amps(machine, roller, roller.work_nm) <= 30


@pytest.mark.parametrize("name", [*BIG, "rockpool"])
def test_every_branch_is_whole(name: str) -> None:
    """Each motor has its breaker, its wire and a sane way; every mechanism has its motors."""
    machine = _machine(name)
    for motor in machine.motors:
        assert motor.trip is not None
        assert motor.wire is not None
        assert 2e-3 < motor.line_ohm < 40e-3
        assert motor.joints in {4, 6}
    for index, mechanism in enumerate(machine.mechanisms):
        assert mechanism.motors == sum(motor.mechanism == index for motor in machine.motors)
        assert 0 < mechanism.inertia < inf
    # Everything that is on without moving: 10 to 120 W (common practice: 1 to 10 A).
    assert 10 <= sum(load.power_w for load in machine.loads) <= 120
    assert machine.main_trip is not None


def test_the_bench_trainer_is_asked_for_its_gearing() -> None:
    """Its two rollers are played with a gearing of 1; that is all that is asked."""
    rockpool = made("rockpool")
    assert rockpool.machine is not None
    assert [m.name for m in rockpool.machine.mechanisms] == ["left wheel", "right wheel"]
    assert [finding.code for finding in rockpool.findings] == ["gearing-unsaid", "gearing-unsaid"]
    assert all(finding.asks for finding in rockpool.findings)


@pytest.mark.parametrize("name", BIG)
def test_the_big_examples_say_enough(name: str) -> None:
    """Nothing is asked, and what is assumed is said."""
    assert made(name).findings == ()
    assert "how the battery's resistance divides into quick and slow parts is assumed" in made(name).rests_on


def test_a_state_that_is_none() -> None:
    """A word that is no state of a battery is refused."""
    with pytest.raises(KeyError):
        machine_of(example_plan("rockpool"), battery_state="brand new")
