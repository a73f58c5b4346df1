"""The motors of a front: by lanes where matches are played side by side (`branches`), else by themselves (`alone`).

Each function takes the front's `abreast`, for numba leaves out what is not for its kind of front only where it hangs on
an argument of the function.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.match.engine import alone, branches
from loomwright.match.engine.hot import compiled

if TYPE_CHECKING:
    from loomwright.match.engine.arrays import Front
    from loomwright.match.engine.hot import Floats


@compiled
def wire_up(abreast: Floats | None, front: Front, motors: Floats) -> None:
    """Have what breakers and wires have, as long as nothing switches and nothing gets warmer."""
    if abreast is not None:
        alone.wire_up(abreast, front.s, motors)


@compiled
def line_up(abreast: Floats | None, front: Front, motors: Floats) -> None:
    """Have what mechanisms have in this step."""
    if abreast is not None:
        alone.line_up(abreast, front.x, motors)


@compiled
def meet(abreast: Floats | None, front: Front, motors: Floats, lanes: int) -> None:
    """Set up each motor branch for this step, and add up what all take at the voltages that are guessed."""
    if abreast is None:
        branches.meet(front.s, front.x, front.t, motors, lanes)
    else:
        alone.meet(abreast, front.s, front.t, motors)


@compiled
def again(abreast: Floats | None, front: Front, motors: Floats, lanes: int) -> None:
    """Work out what every motor branch takes and what is in its motor, and add up what all take."""
    if abreast is None:
        branches.again(front.s, front.t, motors, lanes)
    else:
        alone.again(abreast, front.s, front.t, motors)


@compiled
def push(abreast: Floats | None, front: Front, motors: Floats, lanes: int) -> None:
    """Gather charge and heat of each branch, and torque of each mechanism."""
    if abreast is None:
        branches.push(front.s, front.x, motors, lanes)
    else:
        alone.push(abreast, front.x, motors)


@compiled
def tell_currents(abreast: Floats | None, front: Front, motors: Floats) -> None:
    """Let the branches have what they take."""
    if abreast is not None:
        alone.tell_currents(abreast, front.s, motors)


@compiled
def tell_sums(abreast: Floats | None, front: Front, motors: Floats) -> None:
    """Let the branches have what was gathered in 20 ms, and begin anew."""
    if abreast is not None:
        alone.tell_sums(abreast, front.s, motors)
