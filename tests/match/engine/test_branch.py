"""A branch at a bus voltage: which of its limits speaks, and the formulas of each."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.match.engine.one_branch import State, guessed_and_tried, load_current, motor_currents

VOLTS = st.floats(4, 14)
STATES = st.builds(State, st.floats(0, 1), st.floats(-12, 12), st.floats(0.02, 1), st.floats(0, 0.1))
LIMITED = st.builds(
    State, st.floats(0, 1), st.floats(-12, 12), st.floats(0.02, 1), st.floats(0, 0.1),
    st.floats(0, 100), st.floats(0, 200), st.floats(-200, 0),
)  # fmt: skip
#: Slow, with so low a limit that the motor meets it at any voltage.
HELD = st.builds(
    State, st.floats(0.5, 1), st.floats(-12, 1), st.floats(0.02, 0.1), st.floats(0, 0.02), most_a=st.floats(0, 4)
)


@given(STATES, VOLTS)
def test_without_limits_voltages_add_up(state: State, volt: float) -> None:
    """Winding, turning and duty's share of what the line leaves are one circle; the controller loses nothing."""
    taken, _, in_motor = motor_currents(state, volt)
    there_v = volt - state.line_ohm * taken
    assert state.u * there_v == pytest.approx(state.ohm * in_motor + state.back_v, rel=1e-9, abs=1e-9)
    assert taken * there_v == pytest.approx(in_motor * (state.ohm * in_motor + state.back_v), rel=1e-9, abs=1e-9)


@given(LIMITED, VOLTS)
def test_a_try_takes_what_a_guess_takes(state: State, volt: float) -> None:
    """At one voltage it does not matter whether it was guessed, where the branch is set up too, or tried."""
    guessed, tried = guessed_and_tried(state, volt)
    assert guessed == tried


@given(LIMITED, VOLTS)
def test_limits_are_kept(state: State, volt: float) -> None:
    """No limit is passed, and the controller passes on what it takes, whichever limit speaks."""
    taken, _, in_motor = motor_currents(state, volt)
    assert taken <= state.supply_a * (1 + 1e-12)
    power = in_motor * (state.ohm * in_motor + state.back_v)
    assume(volt**2 - 4 * state.line_ohm * power > 0.01)  # a line can't carry more
    assume(taken > -300)
    if 0 < taken < state.supply_a or taken < 0:
        assert state.least_a - 1e-9 <= in_motor <= state.most_a + 1e-9
        assert taken * (volt - state.line_ohm * taken) == pytest.approx(power, rel=1e-9, abs=1e-9)


@given(STATES, VOLTS, st.floats(0.02, 0.98))
def test_the_motor_limit(state: State, volt: float, share: float) -> None:
    """i_s = 2P/(V + sqrt(V^2 - 4 R_l P)) with P = I_m (A I_m + e) where the motor's limit speaks."""
    most_a = share * motor_currents(state, volt)[2]
    assume(most_a > 0.1)
    taken, slope, in_motor = motor_currents(replace(state, most_a=most_a), volt)
    power = most_a * (state.ohm * most_a + state.back_v)
    root = volt**2 - 4 * state.line_ohm * power
    assume(root > 0.01)
    assert in_motor == most_a
    assert taken == pytest.approx(2 * power / (volt + sqrt(root)), rel=1e-9, abs=1e-9)
    assert slope == pytest.approx(-taken / sqrt(root), rel=1e-9, abs=1e-9)


@given(STATES, VOLTS, st.floats(0.0, 0.98))
def test_the_supply_limit(state: State, volt: float, share: float) -> None:
    """i_m = (sqrt(e^2 + 4 A I_s (V - R_l I_s)) - e)/2A where the supply's limit speaks."""
    free = motor_currents(state, volt)[0]
    assume(1e-3 < free < volt / 2 / (state.line_ohm + 1e-9))
    most_a = share * free
    taken, slope, in_motor = motor_currents(replace(state, supply_a=most_a), volt)
    e, a = state.back_v, state.ohm
    root = e * e + 4 * a * most_a * (volt - state.line_ohm * most_a)
    assert (taken, slope) == (most_a, 0.0)
    assert in_motor == pytest.approx((sqrt(root) - e) / (2 * a), rel=1e-9, abs=1e-9)


def test_no_current_may_be_taken() -> None:
    """A supply limit of 0 A leaves a motor that brakes by its own short circuit as it is."""
    state = State(u=0.0, back_v=5.0, ohm=0.1, line_ohm=0.01, supply_a=0.0)
    assert motor_currents(state, 12.0) == pytest.approx((0.0, 0.0, -50.0))
    # Asked to drive, it drives with nothing; asked against its way, the winding takes its own power up.
    assert motor_currents(replace(state, u=0.9), 12.0)[2] == pytest.approx(0.0)
    assert motor_currents(replace(state, u=0.9, back_v=-5.0), 12.0)[2] == pytest.approx(50.0)


@given(LIMITED, VOLTS)
def test_the_slope_is_the_currents(state: State, volt: float) -> None:
    """The slope that Newton uses is the difference quotient, but at a kink."""
    free = motor_currents(replace(state, supply_a=1e6, most_a=1e6, least_a=-1e6), volt)[2]
    assume(min(abs(free - state.most_a), abs(free - state.least_a)) > 1e-3)
    low, mid, high = (motor_currents(state, volt + d) for d in (-1e-5, 0.0, 1e-5))
    assume(abs(low[1] - high[1]) < 1e-4 * (1 + abs(mid[1])))
    assume(abs(mid[0]) < 1000)
    assert (high[0] - low[0]) / 2e-5 == pytest.approx(mid[1], rel=1e-3, abs=1e-3)


@given(LIMITED, VOLTS)
def test_currents_have_no_jumps(state: State, volt: float) -> None:
    """From one mode to the next the current goes on steadily, where the line is less than the motor."""
    assume(state.line_ohm * state.u**2 < 0.5 * state.ohm)
    assume(state.back_v > -volt / 4)
    near = (motor_currents(state, volt + d)[0] for d in (0.0, 1e-7))
    assert abs(next(near) - next(near)) < 1e-3


@given(LIMITED, VOLTS, st.floats(0, 0.2))
def test_more_line_never_takes_more(state: State, volt: float, more_ohm: float) -> None:
    """With duty alone, or held by the supply's limit, more resistance never raises what is taken.

    Held by the motor's limit a controller is a constant power, which takes more through a longer line, as it must.
    """
    before, after = (
        motor_currents(replace(state, line_ohm=ohm), volt) for ohm in (state.line_ohm, state.line_ohm + more_ohm)
    )
    assume(not {state.most_a, state.least_a} & {before[2], after[2]})
    assert abs(after[0]) <= abs(before[0]) + 1e-9
    assert after[2] <= before[2] + 1e-9 or before[0] < 0


@given(HELD, VOLTS, st.floats(0, 0.1))
def test_a_held_motor_is_a_constant_power(state: State, volt: float, more_ohm: float) -> None:
    """Held by the motor's limit, it has the power of that limit beyond the line, whatever the line takes."""
    for ohm in (state.line_ohm, state.line_ohm + more_ohm):
        taken, _, in_motor = motor_currents(replace(state, line_ohm=ohm), volt)
        power = state.most_a * (state.ohm * state.most_a + state.back_v)
        assert in_motor == state.most_a
        assert taken * (volt - ohm * taken) == pytest.approx(power, rel=1e-9, abs=1e-9)


@given(LIMITED, VOLTS, st.floats(0, 0.5))
def test_more_winding_never_takes_more(state: State, volt: float, more_ohm: float) -> None:
    """More resistance in a motor that drives never raises its current."""
    before, after = (motor_currents(replace(state, ohm=ohm), volt)[2] for ohm in (state.ohm, state.ohm + more_ohm))
    assume(before > 0)
    assert after <= before + 1e-9


@given(st.floats(-1, 1), VOLTS, st.floats(0, 0.05))
def test_regeneration_flows_back(share: float, volt: float, line_ohm: float) -> None:
    """A motor faster than its duty's speed gives back; a slower one takes; one that may only coast does neither."""
    assume(abs(share) > 1e-6)
    u = 0.5
    state = State(u=u, back_v=u * volt * (1 + share), ohm=0.1, line_ohm=line_ohm)
    taken, _, in_motor = motor_currents(state, volt)
    assert (taken > 0) is (in_motor > 0) is (share < 0)
    assert (taken < 0) is (in_motor < 0) is (share > 0)
    assert motor_currents(replace(state, least_a=0.0), volt)[0] >= 0


@given(st.floats(1, 14), st.floats(0.1, 500), st.floats(3, 9), st.floats(0, 0.1))
def test_electronics(volt: float, power_w: float, works_v: float, line_ohm: float) -> None:
    """Their power while they have their voltage, a resistor below; steady where the two meet."""
    taken, slope = load_current(volt, power_w, works_v, line_ohm)
    there_v = volt - line_ohm * taken
    if there_v > works_v * (1 + 1e-9):
        assume(volt**2 - 4 * line_ohm * power_w > 0.01)  # where a line is at its end, the root is held
        assert taken * there_v == pytest.approx(power_w, rel=1e-9)
        assert slope <= 0
    elif there_v < works_v * (1 - 1e-9):
        assert taken * works_v**2 == pytest.approx(there_v * power_w, rel=1e-6)
        assert slope > 0
    meets_v = works_v + line_ohm * power_w / works_v
    if line_ohm * power_w < 0.9 * works_v**2:
        below, above = (load_current(meets_v + d, power_w, works_v, line_ohm)[0] for d in (-1e-9, 1e-9))
        assert below == pytest.approx(above, rel=1e-6)
