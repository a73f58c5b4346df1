"""Machines of every sort for laws that hold for all of them; each has the names and kinds that drivers speak of."""

from __future__ import annotations

from dataclasses import replace
from math import inf

from hypothesis import strategies as st

from loomwright.match.machine import (
    Air,
    Battery,
    Control,
    Gravity,
    LoadBranch,
    LoadKind,
    Machine,
    Mechanism,
    MotorBranch,
    Thresholds,
    Trip,
    WireHeat,
)
from tests.match.engine.machines import BATTERY, WIRE

KINDS = ("drive", "lift", "arm", "roller", "flywheel")


def _from(low: float, high: float) -> st.SearchStrategy[float]:
    """Draw from two values, evenly by their logarithm; both are met."""
    return st.one_of(st.sampled_from((low, high)), st.floats(0, 1).map(lambda part: low * (high / low) ** part))


def batteries() -> st.SearchStrategy[Battery]:
    """Draw batteries from fresh to hopeless."""
    return st.builds(
        lambda ohm, ah, act: replace(BATTERY, ohm=ohm, capacity_ah=ah, activation_v=act),
        _from(0.002, 0.1), _from(0.5, 20), st.sampled_from((0.0, 0.05)),
    )  # fmt: skip


def trips() -> st.SearchStrategy[Trip | None]:
    """Draw breakers that open soon, or none."""
    trip = st.builds(
        Trip, st.just(40.0), _from(2, 60), _from(0.05, 30), st.just((0.5, 2.0)), st.booleans(), st.booleans()
    )
    return st.none() | trip


def wires() -> st.SearchStrategy[WireHeat | None]:
    """Draw wires, or none that gets warm."""
    return st.sampled_from((None, WIRE, replace(WIRE, ohm_per_m=0.05, joule_per_k_m=3.0)))


def limits() -> st.SearchStrategy[float]:
    """Draw limits: none, none at all, or some."""
    return st.one_of(st.sampled_from((inf, 0.0)), _from(1, 200))


@st.composite
def mechanisms(draw: st.DrawFn, kind: str, name: str, motors: int) -> Mechanism:
    """Draw a mechanism of a kind that a driver knows."""
    control = {"lift": Control.PLACE, "arm": Control.PLACE, "flywheel": Control.SPEED}.get(kind, Control.DUTY)
    gravity = {"lift": Gravity.STEADY, "arm": Gravity.TURNING}.get(kind, Gravity.NONE)
    drives = kind == "drive"
    return Mechanism(
        name, kind, control, motors,
        inertia=draw(_from(1e-5, 5e-3)),
        moved=draw(_from(1e-3, 1e-2)) if drives else 0.0,
        grip_nm=draw(_from(0.1, 10)) if drives else inf,
        friction_nm=draw(st.sampled_from((0.0, 0.02, 0.5))),
        viscous=draw(st.sampled_from((0.0, 1e-4))),
        gravity=gravity, gravity_nm=draw(st.sampled_from((0.0, 0.3))),
        start_angle=draw(st.sampled_from((-0.5, 0.0, 3.0))), angle_per_rad=0.02,
        way=draw(_from(5, 500)) if control is Control.PLACE else inf,
        full_speed=500.0 if control is Control.SPEED else 0.0,
        metres_per_rad=0.009, ramp_s=draw(st.sampled_from((0.0, 0.03, 0.2))), brakes=draw(st.booleans()),
        work_nm=draw(st.sampled_from((0.0, 0.5))), shot_share=draw(st.sampled_from((0.0, 0.2))) if not drives else 0.0,
    )  # fmt: skip


@st.composite
def machines(draw: st.DrawFn) -> Machine:
    """Draw a machine with one to three mechanisms of one or two motors, and up to three loads."""
    kinds = draw(st.lists(st.sampled_from(KINDS), min_size=1, max_size=3))
    count = [draw(st.integers(1, 2)) for _ in kinds]
    made = tuple(draw(mechanisms(kind, f"{kind} {m}", count[m])) for m, kind in enumerate(kinds))
    motors = []
    for m, n in enumerate(count):
        one = MotorBranch(
            f"motor {m}", "", m, draw(_from(0.02, 1)), draw(_from(0.005, 0.1)),
            draw(st.sampled_from((0.0, 0.005, 0.1))), 4, draw(limits()), draw(limits()), draw(trips()), draw(wires()),
        )  # fmt: skip
        motors += [one, replace(one, line_ohm=2 * one.line_ohm)][:n]
    power = st.builds(
        LoadBranch,
        st.just("computer"), st.just(""), st.just(LoadKind.POWER), st.sampled_from((0.0, 0.01, 0.2)), st.just(4),
        power_w=_from(1, 5000), works_from_v=st.sampled_from((3.0, 6.0, 9.0)), trip=trips(), wire=wires(),
    )  # fmt: skip
    pump = st.just(LoadBranch("pump", "", LoadKind.PUMP, 0.02, 4, current_a=9.0, start_a=20.0))
    loads = (*draw(st.lists(power, max_size=2)), *draw(st.lists(pump, max_size=1)))
    off = draw(st.sampled_from((0.0, 6.5, 11.0)))
    low = Thresholds("computer", off, off + 0.5, draw(st.sampled_from((0.0, 0.2))), off / 2, off / 2, 0.5)
    air = draw(st.sampled_from((None, Air(0.8, 10.0, 0.1), Air(0.8, 10.0, 0.1, waits=True))))
    main = draw(trips())
    return Machine(
        "any", draw(batteries()), draw(_from(1e-3, 0.05)), 4, tuple(motors), loads, made, low, main, WIRE, air
    )
