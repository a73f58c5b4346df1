"""What a match is played with: battery, joints, branches and mechanisms, in SI and referred to the motors' shafts.

Nothing here knows a file or a wire's id beyond its name; `of_plan.py` makes it. Resistances are those at 20 C.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum, StrEnum
from math import inf


class Control(IntEnum):
    """What a command to a mechanism means: a share of full voltage, of its way, or of its full speed."""

    DUTY = 0
    PLACE = 1
    SPEED = 2


class Gravity(IntEnum):
    """How gravity pulls on a mechanism: not at all, always alike (a lift), with the cosine of its angle (an arm)."""

    NONE = 0
    STEADY = 1
    TURNING = 2


class LoadKind(StrEnum):
    """A load without a motor controller: constant power, or a pump that runs until its switch opens."""

    POWER = "power"
    PUMP = "pump"


@dataclass(frozen=True, slots=True)
class Trip:
    """How a breaker or fuse gets hot: tau dth/dt = (I/hold)^2 - th; it opens at 1 and, where it resets, closes at 0.6.

    `tau_s` is the middle of its band, `band` the least and most factor on it that its curve leaves open. `assumed`
    marks a curve of common practice, not of a data sheet.
    """

    rating_a: float
    hold_a: float
    tau_s: float
    band: tuple[float, float]
    resets: bool
    assumed: bool


@dataclass(frozen=True, slots=True)
class WireHeat:
    """The wire of a branch that gets hottest, for each metre: C dT/dt = I^2 R20 (1 + alpha (T - 20)) - G (T - air).

    `limit_c` is its insulation class.
    """

    gauge: str
    ohm_per_m: float
    watt_per_k_m: float
    joule_per_k_m: float
    limit_c: float


@dataclass(frozen=True, slots=True)
class MotorBranch:
    """A motor with its controller and wires; `mechanism` counts in `Machine.mechanisms`.

    `constant` is V s/rad and N m/A in one. A limit that is not set is infinite. `line_ohm` is all copper from the bus
    to the controller and back, `joints` the number of contacts on that way.
    """

    name: str
    circuit: str
    mechanism: int
    winding_ohm: float
    constant: float
    line_ohm: float
    joints: int
    supply_limit_a: float = inf
    motor_limit_a: float = inf
    trip: Trip | None = None
    wire: WireHeat | None = None


@dataclass(frozen=True, slots=True)
class LoadBranch:
    """A load without a motor controller of its own.

    POWER takes `power_w` while it has at least `works_from_v`, and is a resistor below. PUMP takes `current_a` while it
    runs, with `start_a` in its first moments (falling with a time constant of 0.15 s).
    """

    name: str
    circuit: str
    kind: LoadKind
    line_ohm: float
    joints: int
    power_w: float = 0.0
    works_from_v: float = 6.0
    current_a: float = 0.0
    start_a: float = 0.0
    trip: Trip | None = None
    wire: WireHeat | None = None


@dataclass(frozen=True, slots=True)
class Mechanism:
    """A mechanism, all of it referred to one motor's shaft [kg m2, N m, rad].

    `inertia` turns with the motors whatever happens; `moved` is what it moves beyond its grip (the robot's mass, for a
    drive): wheels slip where that would take more than `grip_nm`. `friction_nm` is Coulomb friction, `viscous` [N m
    s/rad]. Gravity pulls with `gravity_nm` (at the horizontal, for an arm, whose angle is `start_angle` at place 0 and
    grows by `angle_per_rad`). It may go from 0 to `way` rad (infinite: no stops). `full_speed` [rad/s] is what a
    command of 1 asks of SPEED. `metres_per_rad` is the way of a drive's wheels or a lift's carriage. `ramp_s` is the
    time from nothing to full voltage. `brakes` tells whether a command of 0 holds it by its motors. `work_nm` is the
    torque that a roller's piece, or what else it works on, takes at a load of 1; `shot_share` is the share of its
    speed that a shot takes from a flywheel.
    """

    name: str
    kind: str
    control: Control
    motors: int
    inertia: float
    moved: float = 0.0
    grip_nm: float = inf
    friction_nm: float = 0.0
    viscous: float = 0.0
    gravity: Gravity = Gravity.NONE
    gravity_nm: float = 0.0
    start_angle: float = 0.0
    angle_per_rad: float = 0.0
    way: float = inf
    full_speed: float = 0.0
    metres_per_rad: float = 0.0
    ramp_s: float = 0.1
    brakes: bool = True
    work_nm: float = 0.0
    shot_share: float = 0.0


@dataclass(frozen=True, slots=True)
class Battery:
    """A battery: V = rest(z) - R0 I - v1 - v2 - a asinh(I/I0), the last through a lag.

    `state` is how good it still is ("fresh"). `rest` are (state of charge, open-circuit volts) from empty to full.
    `pairs` are (R, tau) of two RC pairs.
    """

    label: str
    capacity_ah: float
    rest: tuple[tuple[float, float], ...]
    ohm: float
    pairs: tuple[tuple[float, float], tuple[float, float]]
    activation_v: float
    activation_a: float
    activation_lag_s: float
    state: str = ""


@dataclass(frozen=True, slots=True)
class Thresholds:
    """What low voltage does: outputs off below `off_v` until above `on_v` for `hold_s`; restart below `stop_v`.

    A restart takes `recovery_s` with more than `start_v`. `name` is the computer that decides; it is taken to see the
    bus voltage.
    """

    name: str
    off_v: float
    on_v: float
    hold_s: float
    stop_v: float
    start_v: float
    recovery_s: float


@dataclass(frozen=True, slots=True)
class Air:
    """Stored air: the switch starts the pump below `on_share` of the tank's pressure and stops it at 1.

    `fill_s` is what the pump needs from empty to full, `stroke_share` what one stroke takes. Where it `waits`, the pump
    stands still while a drive sprints.
    """

    on_share: float
    fill_s: float
    stroke_share: float
    waits: bool = False


@dataclass(frozen=True, slots=True)
class Machine:
    """A robot as a match sees it.

    Motor branches come first in every table, in this order, then loads, then the main leads. `main_fixed_ohm` is what
    of `main_ohm` is no copper of leads, but the main breaker.
    """

    name: str
    battery: Battery
    main_ohm: float
    main_joints: int
    motors: tuple[MotorBranch, ...]
    loads: tuple[LoadBranch, ...]
    mechanisms: tuple[Mechanism, ...]
    thresholds: Thresholds
    main_trip: Trip | None = None
    main_wire: WireHeat | None = None
    air: Air | None = None
    ambient_c: float = 25.0
    main_fixed_ohm: float = 0.0


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something that is not known to the point: drawn anew for every match between two values.

    `key` names what it changes: "battery ohm" and "capacity" (factors on the battery as it stands in the machine),
    "charge" (state of charge at the start), "joint ohm" (each contact), "main joint ohm" (each contact of the main
    leads), "trip" (place in each breaker's band, 0 to 1), "warmth" [C]. `even` on a logarithmic scale or a plain one.
    """

    key: str
    what: str
    low: float
    high: float
    unit: str = ""
    logarithmic: bool = False
    source: str = ""
