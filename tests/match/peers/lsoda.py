"""The network by LSODA: its differential equations, with the bus voltage found inside each call by bracketing.

Written from the physics, not from the kernel: no step is folded in, limits are conditions on power and current.
"""

from __future__ import annotations

from math import asinh, pi, sqrt
from typing import TYPE_CHECKING, Final

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from tests.match.peers import network as net

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Volts around the last answer in which the next is looked for at first.
_AROUND_V: Final = 0.5
_OF: Final = net.owners()
_PLACE: Final = np.array([net.TURNING.index(one) for one in _OF])
_LINE: Final = np.array(net.LINES)
_SUPPLY: Final = np.array([one.supply_a for one in _OF])
_MOTOR: Final = np.array([one.motor_a for one in _OF])
_COUNT: Final = np.array([float(one.motors) for one in net.TURNING])
_INERTIA: Final = np.array([one.inertia for one in net.TURNING])
_VISCOUS: Final = np.array([one.viscous for one in net.TURNING])
_GRAVITY: Final = np.array([one.gravity_nm for one in net.TURNING])
_SHARE: Final = np.array([one.share for one in net.TURNING])
_PERIOD: Final = np.array([one.period_s for one in net.TURNING])


def duties(time_s: float) -> NDArray[np.float64]:
    """Return each motor's duty."""
    return np.asarray((_SHARE * np.sin(2.0 * pi * time_s / _PERIOD))[_PLACE])


def motors(
    volts: float, speed: NDArray[np.float64], duty: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return supply-side and motor-side currents of all motors at a bus voltage."""
    back = net.CONSTANT * speed[_PLACE]
    motor = (duty * volts - back) / (net.OHM + duty**2 * _LINE)
    motor = np.clip(motor, -_MOTOR, _MOTOR)
    power = motor * (net.OHM * motor + back)
    supply = 2.0 * power / (volts + np.sqrt(volts**2 - 4.0 * _LINE * power))
    over = supply > _SUPPLY
    least = np.where(over, _SUPPLY, 0.0)
    watt = least * (volts - least * _LINE)
    toward = np.where(duty < 0.0, -back, back)
    held = (np.sqrt(toward**2 + 4.0 * net.OHM * watt) - toward) / (2.0 * net.OHM)
    return np.where(over, _SUPPLY, supply), np.where(over, np.where(duty < 0.0, -held, held), motor)


class Bus:
    """Finds the bus voltage of a state; remembers the last one to begin from."""

    def __init__(self) -> None:
        self.last_v = 12.5

    def volts(self, state: NDArray[np.float64], time_s: float) -> tuple[float, float]:
        """Return bus voltage and battery current."""
        speed, (charge, v1, v2, act) = state[:-4], state[-4:]
        rest = float(np.interp(charge, [z for z, _ in net.BATTERY.rest], [v for _, v in net.BATTERY.rest]))
        emf, duty, ohm = rest - v1 - v2 - act, duties(time_s), net.BATTERY.ohm + net.MAIN_OHM

        def current(volts: float) -> float:
            radio = 2.0 * net.RADIO_W / (volts + sqrt(volts**2 - 4.0 * net.RADIO_OHM * net.RADIO_W))
            return float(np.sum(motors(volts, speed, duty)[0])) + radio + net.PUMP_A

        def left(volts: float) -> float:
            return float(volts - emf + ohm * current(volts))

        low, high = self.last_v - _AROUND_V, self.last_v + _AROUND_V
        if not left(low) < 0.0 < left(high):
            low, high = 7.0, 20.0
        self.last_v = float(brentq(left, low, high, xtol=1e-12, rtol=1e-14))
        return self.last_v, (emf - self.last_v) / ohm


def by_lsoda(at_s: NDArray[np.float64], tolerance: float = 1e-9) -> net.Course:
    """Solve it to a tolerance, absolute and relative, and tell the bus voltage at these times."""
    bus, battery = Bus(), net.BATTERY

    def slope(time_s: float, state: NDArray[np.float64]) -> NDArray[np.float64]:
        volts, total = bus.volts(state, time_s)
        speed, (_, v1, v2, act) = state[:-4], state[-4:]
        driven = np.bincount(_PLACE, motors(volts, speed, duties(time_s))[1])
        spin = (net.CONSTANT * driven - _VISCOUS * speed - _GRAVITY) / _INERTIA
        (r1, tau1), (r2, tau2) = battery.pairs
        over = battery.activation_v * asinh(total / battery.activation_a)
        chemical = [
            -total / (3600.0 * battery.capacity_ah),
            (total * r1 - v1) / tau1,
            (total * r2 - v2) / tau2,
            (over - act) / battery.activation_lag_s,
        ]
        return np.concatenate([spin, chemical])

    start = np.concatenate([np.zeros(len(net.TURNING)), [net.FULL, 0.0, 0.0, 0.0]])
    found = solve_ivp(slope, (0.0, net.LASTS_S), start, "LSODA", t_eval=at_s, rtol=tolerance, atol=tolerance)
    assert found.success, found.message
    volts = [bus.volts(found.y[:, k], time_s)[0] for k, time_s in enumerate(at_s)]
    return net.Course(at_s, np.array(volts), found.y[:-4])
