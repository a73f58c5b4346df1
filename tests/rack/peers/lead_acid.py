"""A full electrochemical model of a lead-acid battery, led through charges, loads and rests: six cells, 17 Ah.

The model is PyBaMM's; it is an extra (`pip install -r requirements/battery-peer.txt`). Where it is not installed, a
test that asks for it is skipped and says so. It knows the acid between the plates and the current's way through them.
It knows no sulphate that runs out, so it is never full: it goes on taking charge until its acid is stronger than any.
Neither does it know acid that lies in layers, nor gas; its oxygen cycle is an option that is left off.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import pytest

if TYPE_CHECKING:
    from numpy.typing import NDArray

RATED_AH: Final = 17.0
#: A discharge that a rating in 20 hours is told for [A].
GENTLE_A: Final = RATED_AH / 20


@dataclass(frozen=True, slots=True)
class Course:
    """What the model did in one step: hours since it began, volts of all six cells, charge as a share of the rating."""

    hours: NDArray[np.float64]
    volts: NDArray[np.float64]
    charge: NDArray[np.float64]

    def volts_after(self, hours: float) -> float:
        """Return the voltage so many hours after the step began [V]."""
        return float(np.interp(hours, self.hours, self.volts))

    def minutes_to(self, charge: float) -> float:
        """Return the minutes after which a charge is reached by charging."""
        return 60.0 * float(np.interp(charge, self.charge, self.hours))


@cache
def led_through(*steps: str) -> tuple[Course, ...]:
    """Return what the model does in each step, beginning full and rested; a step is PyBaMM's own words."""
    if find_spec("pybamm") is None:
        pytest.skip("PyBaMM is not installed: requirements/battery-peer.txt")
    os.environ["PYBAMM_DISABLE_TELEMETRY"] = "true"  # or it would ask, and tell others
    pybamm: Any = import_module("pybamm")
    values = pybamm.lead_acid.Full().default_parameter_values
    assert values["Nominal cell capacity [A.h]"] == RATED_AH
    assert values["Number of cells connected in series to make a battery"] == 6
    # Wide apart, so that the steps say where it stops and nothing else does.
    values.update({"Lower voltage cut-off [V]": 0.5, "Upper voltage cut-off [V]": 3.5})
    told = pybamm.Experiment(list(steps), period="1 minute")
    found = pybamm.Simulation(pybamm.lead_acid.Full(), parameter_values=values, experiment=told).solve()
    assert len(found.cycles) == len(steps)
    return tuple(_course(one) for one in found.cycles)


def emptied_to(charge: float) -> tuple[str, str]:
    """Return the steps that take a full battery down to a charge gently and let it rest for 12 hours."""
    return _taken_out(1.0 - charge), "Rest for 12 hours"


def rested_v(charge: float) -> float:
    """Return the voltage after 12 hours of rest at a charge of 100, 80, 60, 40 or 20 % [V]."""
    rests = led_through("Rest for 12 hours", *(_taken_out(0.2), "Rest for 12 hours") * 4)[::2]
    return rests[round((1.0 - charge) / 0.2)].volts_after(12.0)


def _taken_out(share: float) -> str:
    return f"Discharge at {GENTLE_A} A for {share * RATED_AH / GENTLE_A:.6f} hours"


def _course(cycle: Any) -> Course:  # noqa: ANN401  PyBaMM tells no types
    hours, volts, used_ah = (
        cycle[name].entries for name in ("Time [h]", "Battery voltage [V]", "Discharge capacity [A.h]")
    )
    return Course(hours - hours[0], volts, 1 - used_ah / RATED_AH)
