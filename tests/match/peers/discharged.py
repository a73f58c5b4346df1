"""The kernel's battery alone: what its voltage is while it is made to give a current, and a fit of it to a course."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from scipy.optimize import least_squares

from loomwright.match.engine import layout as at
from loomwright.match.engine import rows as r
from loomwright.match.engine.bus import fold
from loomwright.match.engine.discharge import discharge, open_volts
from loomwright.match.engine.hot import kept

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from loomwright.match.engine.hot import Floats

STEP_S: Final = 0.02
#: What is fitted: rest voltage when full, its fall to empty [V]; logarithms of R0, R1, tau1, R2, tau2, a, I0, lag [SI].
_START: Final = (12.9, 1.0, *np.log([0.006, 0.002, 0.4, 0.005, 20.0, 0.05, 3.0, 0.1]))
_LEAST: Final = (12.0, 0.0, *np.log([1e-4, 1e-5, 0.1, 1e-5, 8.0, 1e-3, 0.1, 0.02]))
_MOST: Final = (13.5, 6.0, *np.log([0.1, 0.1, 2.0, 0.1, 60.0, 1.0, 50.0, 1.0]))


@kept
def _loop(whole: Floats, rest: Floats, current: Floats, volts: Floats, h: float, lanes: int) -> None:
    t = np.zeros(r.MATCH_ROWS * lanes)
    for lane in range(lanes):
        t[r.Z + lane], t[r.R0 + lane], t[r.COULOMB + lane] = 1.0, 1.0, 3600.0 * whole[at.B_AH]
    tau1, tau2, lag = whole[at.B_TAU1], whole[at.B_TAU2], whole[at.B_LAG]
    for k in range(len(current)):
        open_volts(t, rest, lanes)
        fold(t, whole, tau1, tau2, lag, h, lanes)
        for lane in range(lanes):
            t[r.SUM + lane] = current[k]
            t[r.V + lane] = t[r.EMF + lane] - t[r.RS + lane] * current[k]
        discharge(t, whole, tau1, tau2, lag, h, k * h, lanes)
        volts[k] = t[r.V]


def volts_of(found: NDArray[np.float64], capacity_ah: float, current: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the voltage in the middle of each step of 20 ms of a battery that gives these currents."""
    whole = np.zeros(at.B_PLACES)
    whole[at.B_AH] = capacity_ah
    places = [at.B_OHM, at.B_R1, at.B_TAU1, at.B_R2, at.B_TAU2, at.B_ACT_V, at.B_ACT_A, at.B_LAG]
    whole[places] = np.exp(found[2:])
    rest = np.array([[0.0, found[0] - found[1]], [1.0, found[0]]])
    volts = np.zeros(len(current))
    _loop(whole, rest, current, volts, STEP_S, at.LANES)
    return volts


def fitted(
    current: NDArray[np.float64], volts: NDArray[np.float64], capacity_ah: float, *, activation: bool = True
) -> NDArray[np.float64]:
    """Fit the battery to a course; without `activation`, by its resistances and RC pairs alone."""
    start, least, most = (np.array(row) for row in (_START, _LEAST, _MOST))
    free = np.ones(len(start), dtype=bool)
    if not activation:
        start[7], free[7:] = -30.0, False

    def off(some: NDArray[np.float64]) -> NDArray[np.float64]:
        trial = start.copy()
        trial[free] = some
        return volts_of(trial, capacity_ah, current) - volts

    found = least_squares(off, start[free], bounds=(least[free], most[free]), x_scale="jac", max_nfev=200)
    start[free] = found.x
    return start
