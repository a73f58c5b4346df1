"""The kernel's arrays, put together by what they tell of; `layout` and `rows` name the columns and rows in them.

They are named tuples, since compiled functions take those apart before they run: a name costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from loomwright.match.engine.hot import Floats, Ints


class MachineArrays(NamedTuple):
    """What a machine has.

    Shapes: `motors` (motors, M_COLUMNS), `loads` (loads, L_COLUMNS), `mechs` (mechanisms, Q_COLUMNS), `heat` (motors,
    loads and the main leads, H_COLUMNS), `whole` (B_PLACES), `rest` (points, 2): charge as a share, and volts.
    """

    motors: Floats
    loads: Floats
    mechs: Floats
    heat: Floats
    whole: Floats
    rest: Floats


class DriverArrays(NamedTuple):
    """What drivers ask.

    Shapes: `offsets` (drivers, 2) the first and last of its `phases` (phases, 4), `choices` (choices, 3), `steps`
    (steps, S_COLUMNS), `wishes` (steps, mechanisms, W_COLUMNS).
    """

    offsets: Floats
    phases: Floats
    choices: Floats
    steps: Floats
    wishes: Floats


class LotArrays(NamedTuple):
    """Matches: what is drawn for each, and room for how it goes.

    Shapes: `drawn` (matches, D_COLUMNS), `joints` (matches, branches and main leads) [ohm], `matches` (matches,
    O_COLUMNS), `branches` (matches, branches and main leads, R_COLUMNS), `ways` (matches, mechanisms, Y_COLUMNS).
    """

    drawn: Floats
    joints: Floats
    matches: Floats
    branches: Floats
    ways: Floats


class Front(NamedTuple):
    """Where matches that are played side by side stand, one lane each; rows as in `rows`, a row of LANES for each.

    Shapes: `s` (branches and main leads, BRANCH_ROWS rows), `x` (mechanisms, MECH_ROWS rows), `t` (MATCH_ROWS rows),
    `ring` (branches and main leads, 10, LANES) heat of the last ten seconds, `rows` (lanes) the match of each lane.
    `abreast` are the motors of a match that is played alone (`alone`), None where lanes are.
    """

    s: Floats
    x: Floats
    t: Floats
    ring: Floats
    rows: Ints
    abreast: Floats | None
