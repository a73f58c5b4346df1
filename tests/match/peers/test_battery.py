"""The kernel's battery against a full electrochemical model of a lead-acid battery: six cells, 17 Ah.

The model is PyBaMM's; it is an extra (`pip install -r requirements/battery-peer.txt`). Where it is not installed, this
test is skipped and says so.
"""

from __future__ import annotations

import os
from importlib import import_module
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import pytest

from tests.match.peers.discharged import STEP_S, fitted, volts_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

CAPACITY_AH: Final = 17.0
#: Current [A] and how long [s], each reached within 0.1 s; the first half is fitted, the second held out.
PULSES: Final = (
    (20, 6.0), (100, 2.0), (5, 8.0), (180, 1.0), (40, 6.0), (150, 2.5), (60, 8.0), (0.5, 12.0), (10, 10.0), (200, 0.8),
    (30, 12.0), (120, 3.0), (0.5, 15.0), (70, 5.0), (35, 5.0), (130, 3.0), (0.5, 10.0), (90, 4.0), (15, 12.0),
    (190, 1.0), (50, 7.0), (8, 10.0), (160, 2.0), (0.5, 8.0), (110, 3.0), (25, 10.0), (70, 6.0), (0.5, 15.0),
)  # fmt: skip
EDGE_S: Final = 0.1


def full_model() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return current and voltage of the full model in the middle of every step of 20 ms."""
    if find_spec("pybamm") is None:
        pytest.skip("PyBaMM is not installed: requirements/battery-peer.txt")
    os.environ["PYBAMM_DISABLE_TELEMETRY"] = "true"  # or it would ask, and tell others
    pybamm: Any = import_module("pybamm")
    times, amperes, now = [0.0], [0.0], 0.5
    for ampere, lasts_s in PULSES:
        times += [now, now + EDGE_S]
        amperes += [amperes[-1], float(ampere)]
        now += lasts_s
    values = pybamm.lead_acid.Full().default_parameter_values
    assert values["Nominal cell capacity [A.h]"] == CAPACITY_AH
    assert values["Number of cells connected in series to make a battery"] == 6
    current = pybamm.Interpolant(np.array([*times, now + 1.0]), np.array([*amperes, amperes[-1]]), pybamm.t)
    values.update({"Current function [A]": current, "Lower voltage cut-off [V]": 0.5, "Upper voltage cut-off [V]": 3.0})
    at_s = (np.arange(round(now / STEP_S)) + 0.5) * STEP_S
    found = pybamm.Simulation(pybamm.lead_acid.Full(), parameter_values=values).solve(np.concatenate([[0.0], at_s]))
    return found["Current [A]"](at_s), found["Battery voltage [V]"](at_s)


@pytest.mark.filterwarnings("default")
def test_two_pairs_and_activation_are_what_a_battery_needs() -> None:
    """Fitted on half a train of pulses: 30 mV rms there, 35 on the other half; without activation above 100."""
    current, volts = full_model()
    assert np.ptp(volts) > 1.5
    half = len(volts) // 2
    off = {}
    for activation in (True, False):
        found = fitted(current[:half], volts[:half], CAPACITY_AH, activation=activation)
        apart = 1e3 * (volts_of(found, CAPACITY_AH, current) - volts)
        off[activation] = [float(np.sqrt(np.mean(part**2))) for part in (apart[:half], apart[half:])]
    assert off[True][0] < 30.0
    assert off[True][1] < 35.0
    assert min(off[False]) > 100.0
