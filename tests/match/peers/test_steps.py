"""What a study says does not hang on the length of its steps: 5 ms beside 1 ms, match by match."""

from __future__ import annotations

import numpy as np

from loomwright.match.engine.study import play_study
from tests.match.peers.sixteen import risky

MATCHES = 128


def test_five_milliseconds_brown_out_as_one_does() -> None:
    """Of 128 matches two at most end otherwise (`benchmarks.match` has 2,000), and the rest sink as low.

    In those without a brown-out the lowest voltage is 15 mV off in the middle, 50 at most: wheels begin to slip, and
    motors meet limits, somewhere within a step. Once outputs are off, how low it got hangs on when in a step they fell.
    """
    coarse, fine = (play_study(risky(step_s), MATCHES) for step_s in (0.005, 0.001))
    assert 0.2 < np.mean(fine.browned_out) < 0.6
    assert np.count_nonzero(coarse.browned_out != fine.browned_out) <= 2
    calm = ~coarse.browned_out & ~fine.browned_out
    apart = np.abs(coarse.lowest_v - fine.lowest_v)[calm]
    assert np.median(apart) < 0.015
    assert np.max(apart) < 0.05
