"""Where each number stands in the kernel's arrays: one name a column or row."""

from __future__ import annotations

from typing import Final

#: Matches that are played side by side. Thirty-two fill the widest registers four times: what each loop takes to begin
#: is shared by more than with sixteen; sixty-four are no faster. Eight would be unrolled and then not worked on
#: together. The compiled kernel is kept by this number too: it is part of its name.
LANES: Final = 32

# ------------------------------------------------------------------ what holds for all matches
#: Of a motor branch, columns of `motors`.
M_MECH, M_K, M_OHM, M_COPPER, M_SUPPLY, M_MOTOR, M_LEAST = range(7)
M_COLUMNS: Final = 7
#: Of a load, columns of `loads`.
L_PUMP, L_POWER, L_WORKS, L_AS_OHM, L_COPPER, L_RUN, L_START = range(7)
L_COLUMNS: Final = 7
#: Of a branch's heat, motors and loads first, the main leads last; columns of `heat`. Where 1 over the square of what
#: it holds is 0, no breaker is known; the last is 20 ms over the heat that a kelvin takes, 0 where no wire is known.
H_PER_HOLD, H_TAU, H_LOW, H_HIGH, H_RESETS, H_OHM, H_WATT, H_PER_JOULE = range(8)
H_COLUMNS: Final = 8
#: Of a mechanism, columns of `mechs`; the ramp is that of the duty in one fast step. Of each fast step, too: half of it
#: over what turns, while it grips and while it slips, and what the ground is pushed by. All divisions are done before.
(
    Q_CONTROL,
    Q_MOTORS,
    Q_INERTIA,
    Q_MOVED,
    Q_GRIP,
    Q_FRICTION,
    Q_VISCOUS,
    Q_GRAVITY,
    Q_PULL,
    Q_ANGLE,
    Q_TURN,
    Q_WAY,
    Q_FULL,
    Q_METRES,
    Q_WORK,
    Q_SHOT,
    Q_GAIN,
    Q_HOLD,
    Q_RAMP,
    Q_GRIPS,
    Q_SLIPS,
    Q_PUSHED,
    Q_PER_ALL,
) = range(23)
Q_COLUMNS: Final = 23
#: Of the battery and what hangs on its voltage, places in `whole`.
(
    B_AH,
    B_OHM,
    B_R1,
    B_TAU1,
    B_R2,
    B_TAU2,
    B_ACT_V,
    B_ACT_A,
    B_LAG,
    B_MAIN,
    B_OFF,
    B_ON,
    B_HOLD,
    B_STOP,
    B_START,
    B_RECOVER,
    B_AIR_ON,
    B_AIR_FILL,
    B_AIR_STROKE,
    B_AIR_WAITS,
) = range(20)
B_PLACES: Final = 20

# ------------------------------------------------------------------ the driver
#: Of a phase, columns of `phases`: its span, and the first and last of its entries in `choices`.
P_FROM, P_TO, P_FIRST, P_LAST = range(4)
#: Of a choice, columns of `choices`: the share of all cycles up to it, and the first and last of its steps.
C_UP_TO, C_FIRST, C_LAST = range(3)
#: Of a step, columns of `steps`; what is drawn in it depends on its key within its cycle.
S_LOW, S_HIGH, S_SHOTS, S_STROKES, S_KEY = range(5)
S_COLUMNS: Final = 5
#: Of a step's wish for a mechanism, columns of `wishes`; those with the same draw get the same numbers.
W_SAID, W_LOW, W_HIGH, W_LOAD_LOW, W_LOAD_HIGH, W_TURN_LOW, W_TURN_HIGH, W_DRAW = range(8)
W_COLUMNS: Final = 8

# ------------------------------------------------------------------ what is drawn for each match
D_OHM, D_AH, D_CHARGE, D_MAIN_JOINTS, D_TRIP, D_WARMTH, D_DRIVER = range(7)
D_COLUMNS: Final = 7

# ------------------------------------------------------------------ what comes out
#: Of a match, columns of `matches`.
(
    O_LOWEST,
    O_LOWEST_AT,
    O_OFF,
    O_OFF_S,
    O_RESTARTS,
    O_DEAD_AT,
    O_AH,
    O_JOULE,
    O_CHARGE,
    O_METRES,
    O_PUMP_S,
    O_STEPS,
) = range(12)
O_COLUMNS: Final = 12
#: Of a branch in a match, columns of `branches`.
R_PEAK, R_SQUARES, R_WORST, R_WARM, R_OPENED, R_OPENED_AT, R_DIP, R_AH, R_WARMEST = range(9)
R_COLUMNS: Final = 9
#: Of a mechanism in a match, columns of `ways`.
Y_WAY, Y_LATE, Y_MOVES = range(3)
Y_COLUMNS: Final = 3
#: Of a sample, columns of `samples` before the branches' currents.
T_TIME, T_BUS, T_LOW, T_TOTAL, T_ON, T_STEP = range(6)
T_ROWS: Final = 6
