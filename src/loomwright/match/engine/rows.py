"""The rows of the kernel's working arrays: what it knows of a branch, a mechanism, a match now.

A row is `LANES` numbers, one a match; what stands here is where it begins.
"""

from __future__ import annotations

from typing import Final

from loomwright.match.engine.layout import LANES

# of a branch: motors, loads, then the main leads; what every step touches comes first
(
    UA,
    E,
    A,
    INV,
    RL,
    I,  # noqa: E741  a current
    G,
    ON,
    SUM_I,
    SUM_II,
    HEAT,
    DECAY,
    WARM,
    OHM,
    JOINTS,
    PEAK,
    DIP,
    ALL_II,
    SECOND,
    WORST,
    OPENED,
    OPENED_AT,
    ALL_I,
    WARMEST,
    PUMP_A,
    CLOSED,
    MOTOR,
) = range(0, 27 * LANES, LANES)
BRANCH_ROWS: Final = 27

# of a mechanism
(
    W,
    PLACE,
    GROUND,
    SLIP,
    DUTY,
    ASKED,
    LOAD_NM,
    W_MID,
    HALF_H_J,
    TORQUE,
    PULL,
    LOAD,
    STEP_J,
    SIGN,
    SIZE,
    GOAL,
    WAY,
    LATE,
    MOVES,
    METRES,
    NEW_W,
) = range(0, 21 * LANES, LANES)
MECH_ROWS: Final = 21

# of a match
(
    V,
    VP,
    EMF,
    RS,
    SUM,
    SLOPE,
    REST_V,
    LOW_V,
    HIGH_V,
    Z,
    V1,
    V2,
    ACT,
    TOTAL,
    BEFORE,
    ENABLED,
    ABOVE_S,
    UNTIL,
    OFF_N,
    OFF_S,
    RESTARTS,
    LOWEST,
    LOWEST_AT,
    NEW,
    V_SUM,
    V_LOW,
    DEAD,
    AH,
    JOULE,
    OCV,
    R0,
    COULOMB,
    TARGET,
    MAIN,
    PRESSURE,
    PUMP_S,
    PUMPING_S,
    PUMPS,
    NEXT_AT,
    COUNT,
    STEP,
    LAST,
    SHOT_AT,
    SHOT_EVERY,
    SHOTS,
    AIR_C,
    CHANGED,
    WAITS,
    FAR,
) = range(0, 49 * LANES, LANES)
MATCH_ROWS: Final = 49
