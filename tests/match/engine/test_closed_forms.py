"""The kernel against formulas that books have: motors, breakers, wires, batteries, powers."""

from __future__ import annotations

from dataclasses import replace
from math import asinh, cos, exp, log, pi, sqrt
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from loomwright.match.engine import layout as at
from loomwright.match.engine.orders import cosine
from loomwright.match.machine import (
    Battery,
    Control,
    Gravity,
    LoadBranch,
    LoadKind,
    Machine,
    Mechanism,
    Trip,
    WireHeat,
)
from tests.match.engine.machines import BATTERY, CALM, OHM, K, motor, one_motor, push
from tests.match.engine.plain import Given, Plain
from tests.match.engine.played import Played, kernel_plays

#: 12 V whatever is taken.
STIFF = Battery("stiff", 1e9, ((0.0, 12.0), (1.0, 12.0)), 0.0, ((0.0, 1.0), (0.0, 1.0)), 0.0, 10.0, 0.1)
NOTHING = Given([0.0, 0.0], warmth_c=20.0)


def _on_stiff(*, line_ohm: float = 0.0, trip: Trip | None = None, **changes: Any) -> Machine:  # noqa: ANN401  fields by name
    """Return one motor on 12 V with nothing in the way but its line."""
    machine = one_motor(**changes)
    branch = replace(machine.motors[0], line_ohm=line_ohm, trip=trip)
    return replace(machine, battery=STIFF, main_ohm=0.0, motors=(branch,))


def _load(
    power_w: float, lasts_s: float, *, battery: Battery = STIFF, line_ohm: float = 0.0, works_v: float = 1.0,
    trip: Trip | None = None, wire: WireHeat | None = None, main_ohm: float = 0.0, given: Given = NOTHING,
    h: float = 0.005,
) -> Played:  # fmt: skip
    """Play a single load and nothing else: a motor is there, but nobody asks for it."""
    idle = replace(motor(0), trip=None, wire=None)
    still = Mechanism("still", "roller", Control.DUTY, 1, 1e-3)
    load = LoadBranch(
        "load", "", LoadKind.POWER, line_ohm, 4, power_w=power_w, works_from_v=works_v, trip=trip, wire=wire
    )
    machine = Machine("load", battery, main_ohm, 4, (idle,), (load,), (still,), CALM)
    joints = replace(given, joints_ohm=[0.0, 0.0, 0.0])
    return kernel_plays(machine, push(1.0, lasts_s, "nobody"), [joints], h)


def test_spin_up() -> None:
    """Speed is (V/K)(1 - exp(-t/tau)), tau = R J/K^2: the kernel's current falls so, its wheel's way is the integral.

    A duty that jumps is at its half in the middle of the first step: time counts from there.
    """
    tau, h, t = OHM * 2e-3 / K**2, 0.001, 1.0 - 0.0005
    made = kernel_plays(_on_stiff(), push(1.0, 1.0), [NOTHING], h)
    middle_s = made.samples[at.T_TIME, 1:] + 0.01 - h / 2
    mean = np.sinh(0.01 / tau) / (0.01 / tau)  # of an exponential over 20 ms, by its middle
    assert made.samples[at.T_TOTAL, 1:] == pytest.approx(12 / OHM * np.exp(-middle_s / tau) * mean, rel=1e-5)
    way = 12 / K * (t - tau * (1 - exp(-t / tau)))
    ahead = h / 2 * 12 / K * (1 - exp(-t / tau))  # the kernel counts it by the speed at each step's end
    assert made.ways[0, 0, at.Y_WAY] == pytest.approx(way + ahead, rel=1e-5)
    plain = Plain(_on_stiff(), push(1.0, 1.0), NOTHING, h).play()
    assert plain.turnings[0].speed == pytest.approx(12 / K * (1 - exp(-t / tau)), rel=2e-6)


def test_half_the_energy_is_lost_in_the_winding() -> None:
    """Brought to full speed at constant voltage, a wheel holds as much as the winding lost; the battery gave both.

    But for the first step, in which the duty rises: it is 1/2000 of the time constant here.
    """
    lasts_s, h = 6.0, 2e-4
    plain = Plain(_on_stiff(), push(1.0, lasts_s), NOTHING, h, watched=False).play()
    book, made = plain.energy_j(), kernel_plays(_on_stiff(), push(1.0, lasts_s), [NOTHING], h)
    assert book["turning"] == pytest.approx(2e-3 * (12 / K) ** 2 / 2, rel=1e-6)
    assert book["windings"] == pytest.approx(book["turning"], rel=4e-4)
    assert made.matches[0, at.O_JOULE] == pytest.approx(2e-3 * (12 / K) ** 2, rel=4e-4)


@pytest.mark.parametrize("current_a", [60.0, 100.0, 400.0])
@pytest.mark.parametrize("place", [0.0, 0.5, 1.0])
def test_breaker(current_a: float, place: float) -> None:
    """It opens after -tau ln(1 - (I_hold/I)^2), within the 20 ms in which it is looked at; tau by place in band."""
    trip = Trip(40, 46, 2.0, (0.5, 2.0), resets=False, assumed=True)
    tau = 2.0 * 0.5 * (2.0 / 0.5) ** place
    opens = -tau * log(1 - (46 / current_a) ** 2)
    made = _load(12 * current_a, 12.0, trip=trip, given=replace(NOTHING, trip=place))
    assert made.branches[0, 1, at.R_OPENED] == 1
    assert opens <= made.branches[0, 1, at.R_OPENED_AT] <= opens + 0.02 + 1e-9
    assert made.samples[at.T_TOTAL, -1] == 0


def test_a_breaker_that_holds_and_one_that_resets() -> None:
    """Just below its hold current it never opens; one that resets closes at a heat of 0.6, after tau ln(1/0.6)."""
    trip = Trip(40, 46, 0.4, (1.0, 1.0), resets=True, assumed=True)
    assert _load(12 * 45.9, 10.0, trip=trip).branches[0, 1, at.R_OPENED] == 0
    made = _load(12 * 60.0, 3.0, trip=trip)
    total = made.samples[at.T_TOTAL]
    off, on = np.flatnonzero(np.diff(total) < 0), np.flatnonzero(np.diff(total) > 0)
    assert len(off) > 3
    assert abs((on[0] - off[0]) * 0.02 - 0.4 * log(1 / 0.6)) < 0.04
    square = (60 / 46) ** 2
    assert abs((off[1] - on[0]) * 0.02 - 0.4 * log((square - 0.6) / (square - 1))) < 0.06


def test_wire() -> None:
    """It warms to T_a + I^2 R (1 + alpha (T_a - 20))/(G - I^2 R alpha), with a time constant of C/(G - I^2 R alpha)."""
    wire, current_a, air_c = WireHeat("", 0.005, 0.4, 2.0, 105), 40.0, 30.0
    heat = current_a**2 * 0.005
    left = 0.4 - heat * 0.00393
    rise_k, tau = heat * (1 + 0.00393 * 10) / left, 2.0 / left
    given = replace(NOTHING, warmth_c=air_c)
    for lasts_s in (tau, 2 * tau):
        made = _load(12 * current_a, lasts_s, wire=wire, given=given)
        played_s = round(lasts_s / 0.02) * 0.02
        wanted = air_c + rise_k * (1 - exp(-played_s / tau))
        assert made.branches[0, 1, at.R_WARM] == pytest.approx(wanted, abs=5e-3 * rise_k)
        assert made.branches[0, 1, at.R_WARMEST] == made.branches[0, 1, at.R_WARM]
    end = _load(12 * current_a, 30 * tau, wire=wire, given=given)
    assert end.branches[0, 1, at.R_WARM] == pytest.approx(air_c + rise_k, abs=1e-6)


def test_warm_copper_resists_more() -> None:
    """A line of 20 C has its resistance; one of 60 C has 0.00393 x 40 more of it; contacts do not change."""
    for air_c in (20.0, 60.0):
        ohm = 0.1 * (1 + 0.00393 * (air_c - 20))
        made = _load(100.0, 0.1, line_ohm=0.1, given=replace(NOTHING, warmth_c=air_c))
        assert made.samples[at.T_TOTAL, -1] == pytest.approx(2 * 100 / (12 + sqrt(144 - 400 * ohm)), rel=1e-12)


def test_a_step_of_current_on_the_pairs() -> None:
    """Both pairs follow I R (1 - exp(-t/tau)), by what the bus has lost; a hundredth of a step in time is all."""
    battery = replace(STIFF, ohm=0.01, pairs=((0.005, 0.5), (0.004, 30.0)))
    made = _load(100.0, 4.0, battery=battery, h=0.001)
    now_s = made.samples[at.T_TIME] + 0.01
    # The power is constant, the current nearly so: it is taken from the samples, and the pairs are fed with it.
    current = made.samples[at.T_TOTAL]
    lost = 12 - made.samples[at.T_BUS] - 0.01 * current
    for at_s in (0.1, 0.5, 1.0, 3.0):
        i = int(np.argmin(abs(now_s - at_s)))
        ideal = current[: i + 1].mean() * sum(r * (1 - exp(-now_s[i] / tau)) for r, tau in battery.pairs)
        assert lost[i] == pytest.approx(ideal, rel=3e-3)


def test_activation_settles() -> None:
    """After its lag the bus has lost a asinh(I/I0), to 1e-9: the kernel's series for it is as good."""
    battery = replace(STIFF, activation_v=0.05)
    for power_w in (0.01, 1.0, 50.0, 2000.0):
        made = _load(power_w, 4.0, battery=battery)
        current = made.samples[at.T_TOTAL, -1]
        assert 12 - made.samples[at.T_BUS, -1] == pytest.approx(0.05 * asinh(current / 10), abs=1e-9)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.97])
def test_constant_power_alone(share: float) -> None:
    """It is (E + sqrt(E^2 - 4 R P))/2, the upper of two voltages, up to the brink, even if power comes at once."""
    battery, ohm = replace(STIFF, ohm=0.02), 0.025
    power_w = share * 144 / (4 * ohm)
    made = _load(power_w, 0.5, battery=battery, main_ohm=0.005)
    wanted = (12 + sqrt(144 - 4 * ohm * power_w)) / 2
    assert made.samples[at.T_BUS, -1] == pytest.approx(wanted, abs=1e-5)


@pytest.mark.parametrize("share", [1.01, 2.0, 50.0])
def test_more_power_than_there_is(share: float) -> None:
    """Beyond E^2/4R the load falls to its undervoltage and is a resistor: V = E R_load/(R_load + R)."""
    ohm, works_v = 0.025, 5.0
    power_w = share * 144 / (4 * ohm)
    made = _load(power_w, 0.5, battery=replace(STIFF, ohm=0.02), main_ohm=0.005, works_v=works_v)
    as_ohm = works_v**2 / power_w
    wanted = 12 * as_ohm / (as_ohm + ohm)
    assert made.samples[at.T_BUS, -1] == pytest.approx(wanted, abs=2e-4)
    assert wanted < works_v


def test_gravity_is_held() -> None:
    """A lift that stands is held by i = tau_g/(N K) in each of its N motors, which costs I^2 R in each winding."""
    lift = Mechanism("lift", "lift", Control.PLACE, 2, 1e-3, 0.0, gravity=Gravity.STEADY, gravity_nm=0.5, way=400.0)
    still = motor(0, supply_limit_a=1e9, motor_limit_a=1e9, trip=None, wire=None, line_ohm=0.0)
    machine = replace(_on_stiff(), motors=(still, still), mechanisms=(lift,))
    given = replace(NOTHING, joints_ohm=[0.0, 0.0, 0.0])
    made, plain = (
        kernel_plays(machine, push(0.5, 4.0, "lift"), [given]),
        Plain(machine, push(0.5, 4.0, "lift"), given).play(),
    )
    hold = 0.5 / (2 * K)
    assert plain.steps[-1].motor_a == pytest.approx([hold, hold], rel=1e-5)
    assert made.samples[at.T_TOTAL, -1] == pytest.approx(2 * hold**2 * OHM / 12, rel=1e-5)


@pytest.mark.parametrize("ramp_s", [0.0, 0.05, 0.2])
@pytest.mark.parametrize("way", [60.0, 80.0, 300.0, 1000.0])
@pytest.mark.parametrize("inertia", [5e-5, 3e-4, 1e-3])
def test_a_place_is_found(way: float, inertia: float, ramp_s: float) -> None:
    """Short way or long, light or heavy, quick ramp or slow: it comes to where it is asked for, and stands there."""
    moves = {"control": Control.PLACE, "friction_nm": 0.02, "gravity": Gravity.TURNING, "gravity_nm": 0.4}
    machine = one_motor(way=way, inertia=inertia, ramp_s=ramp_s, start_angle=-0.5, angle_per_rad=1.6 / way, **moves)
    made = kernel_plays(machine, push(0.6, 4.0), [NOTHING])
    assert np.ptp(made.samples[at.T_TOTAL, -50:]) < 1.0
    assert made.ways[0, 0, at.Y_LATE] < 2.5


@pytest.mark.parametrize("ramp_s", [0.0, 0.1, 0.5])
@pytest.mark.parametrize("full_speed", [200.0, 450.0, 560.0])
@pytest.mark.parametrize("inertia", [1e-4, 3e-4, 3e-3])
def test_a_speed_is_found(full_speed: float, inertia: float, ramp_s: float) -> None:
    """Light or heavy: it comes to its speed, and keeps it with a steady current."""
    machine = one_motor(control=Control.SPEED, full_speed=full_speed, inertia=inertia, ramp_s=ramp_s, friction_nm=0.05)
    made = kernel_plays(machine, push(0.8, 4.0), [NOTHING])
    assert np.ptp(made.samples[at.T_TOTAL, -50:]) < 1.0
    assert made.ways[0, 0, at.Y_LATE] < 1.5


@pytest.mark.parametrize("changes", [{"way": 20.0}, {"friction_nm": 9.0}])
def test_stalled(changes: dict[str, Any]) -> None:
    """Against a stop or friction the current is V/R but for h/2tau, since half a step of speeding up is reckoned with.

    It is of first order: known, and the reason for a short step where light things press against stops.
    """
    tau = OHM * 2e-3 / K**2
    for h in (0.005, 0.001):
        made = kernel_plays(_on_stiff(**changes), push(1.0, 2.0), [NOTHING], h)
        assert made.samples[at.T_TOTAL, -1] == pytest.approx(12 / OHM / (1 + h / (2 * tau)), rel=1e-4)


def test_a_motor_that_is_turned_gives_back() -> None:
    """Slowed from full speed to a lower duty, the battery is charged, and its voltage rises above its rest."""
    machine = replace(one_motor(ramp_s=0.0), battery=BATTERY)
    fast = push(1.0, 4.0)
    slow = replace(
        fast.cycles[0].steps[0],
        wishes=(replace(fast.cycles[0].steps[0].wishes[0], goal=(0.3, 0.3)),),
        lasts_s=(2.0, 2.0),
    )
    first = replace(fast.cycles[0].steps[0], lasts_s=(2.0, 2.0))
    driver = replace(fast, cycles=(replace(fast.cycles[0], steps=(first, slow)),))
    made = kernel_plays(machine, driver, [NOTHING])
    assert made.samples[at.T_TOTAL, 101] < -30
    assert made.samples[at.T_BUS].max() > 12.85 + 0.3
    assert made.matches[0, at.O_LOWEST] < 12.85


@given(st.floats(-6000.0, 6000.0))
@example(0.0)
@example(pi)
@example(-pi)
@example(0.5 * pi)
def test_the_cosine_is_the_library_s(angle: float) -> None:
    """The series for the pull of an arm is right to 1e-12 over a thousand turns, beside the C library's cosine."""
    assert cosine.py_func(angle) == pytest.approx(cos(angle), abs=1e-12)  # type: ignore[attr-defined]
