"""One mechanism with plain numbers: speed, place, grip, stops, and where its energy went."""

from __future__ import annotations

from dataclasses import dataclass
from math import copysign, cos, inf

from loomwright.match.machine import Control, Gravity, Mechanism
from tests.match.engine.plain_bus import limit

KINETIC = 0.9


@dataclass
class Turning:
    """A mechanism in one match. `hold_u` and `gain_u` make a duty of a goal."""

    made: Mechanism
    winding_ohm: float
    constant: float

    def __post_init__(self) -> None:
        """Begin at rest, at the lower stop where there is one."""
        self.speed = self.place = self.ground = 0.0
        self.slip = 0
        self.duty = self.asked = 0.0
        self.pull_nm = 0.0 if self.made.gravity is Gravity.NONE else self.made.gravity_nm
        self.load = 0.0
        self.way = self.metres_way = self.late_s = 0.0
        self.lost_j = dict.fromkeys(("friction", "viscous", "slip", "stops", "gravity", "shots"), 0.0)
        self.gap_j = 0.0

    # ------------------------------------------------------------ every 20 ms
    def command(self, goal: float) -> None:
        """Turn a goal into a duty."""
        one = self.made
        if one.gravity is Gravity.TURNING:
            self.pull_nm = one.gravity_nm * cos(one.start_angle + one.angle_per_rad * self.place)
        if one.control is Control.PLACE:
            away = goal * one.way - self.place
            held = self.pull_nm * self.winding_ohm / (one.motors * self.constant) / 12  # V that hold it, of 12
            zone = max(0.15 * one.way, self._runs_on_rad())
            self.asked = min(1.0, max(-1.0, away / zone + held))
            self.late_s += 0.02 * (abs(away) > 0.05 * one.way)
        elif one.control is Control.SPEED:
            wanted = goal * one.full_speed
            zone = max(0.25 * one.full_speed, 12 / self.constant * 0.02 / self._own_s())
            u = self.constant * wanted / 12 + (wanted - self.speed) / zone
            self.asked = min(1.0, max(0.0, u)) if wanted > 0 else 0.0
            self.late_s += 0.02 * (self.speed < 0.95 * wanted)
        else:
            self.asked = goal

    def _runs_on_rad(self) -> float:
        """Return how far it runs from full speed in half its ramp, its motors' time constant and one command [rad]."""
        return 12 / self.constant * (self.made.ramp_s / 2 + self._own_s() + 0.02)

    def _own_s(self) -> float:
        """Return its motors' time constant R J/(N K^2) [s]."""
        return self.winding_ohm * self.made.inertia / self.made.motors / self.constant**2

    def shoot(self) -> None:
        """Give a shot its share of the speed."""
        before = self.kinetic_j()
        self.speed *= 1 - self.made.shot_share
        if self.slip == 0:
            self.ground = self.speed if self.made.shot_share else self.ground
        self.lost_j["shots"] += before - self.kinetic_j()

    def kinetic_j(self) -> float:
        """Return the energy of what turns and moves [J]."""
        ground = self.ground if self.slip else self.speed
        return (self.made.inertia * self.speed**2 + self.made.moved * ground**2) / 2

    # ------------------------------------------------------------ every fast step
    def prepare(self, h: float) -> tuple[float, float, float]:
        """Ramp the duty; return its middle, the middle speed without any current, and what one ampere-constant adds.

        The middle speed is w + h/2J (N K i - tau): the first part is known, the second makes the motor stiffer.
        """
        one = self.made
        ramp = 2.0 if one.ramp_s <= 0 else h / one.ramp_s
        moved = min(ramp, max(-ramp, self.asked - self.duty))
        middle = self.duty + moved / 2
        self.duty += moved
        self.turns_j = one.inertia + (0.0 if self.slip else one.moved)
        self.drag_nm = KINETIC * limit(one.grip_nm) * self.slip if one.moved else 0.0
        # Viscous friction is that of the middle speed too: half a step of it weighs like inertia.
        self.known_nm = self.pull_nm + one.viscous * self.speed + self.drag_nm
        self.stiff_j = self.turns_j + h / 2 * one.viscous
        per_nm = h / 2 / self.stiff_j
        return middle, self.speed - per_nm * self.known_nm, per_nm * one.motors

    def turn(self, torque_nm: float, reckoned_j: float, h: float) -> None:
        """Let a torque act for a step; `reckoned_j` is the work that the motors reckoned with before friction [J]."""
        one, before = self.made, self.speed
        free = before + h / self.stiff_j * (torque_nm - self.known_nm)
        most = h / self.stiff_j * (one.friction_nm + one.work_nm * self.load)
        new = 0.0 if abs(free) <= most else free - copysign(most, free)
        middle = (before + new) / 2
        place = self.place + h * middle
        self.lost_j["friction"] += self.stiff_j * (free - new) * middle
        self.lost_j["viscous"] += one.viscous * middle**2 * h
        self.lost_j["gravity"] += self.pull_nm * middle * h
        self.gap_j += reckoned_j - torque_nm * h * middle
        low = -inf if one.way == inf else 0.0
        if (place < low and new < 0) or (place > one.way and new > 0):
            self.lost_j["stops"] += self.turns_j * new**2 / 2
            new = 0.0
        self.place = min(one.way, max(low, place))
        self._grip(new, before, middle, h)
        self.way += abs(self.speed) * h
        self.metres_way += abs(self.ground) * h

    def _grip(self, new: float, before: float, middle: float, h: float) -> None:
        """Let wheels slip, hold on with less while they do, and catch again with the momentum that there is."""
        one, most = self.made, limit(self.made.grip_nm) * h
        if not self.slip:
            pull = one.moved * (new - before)
            self.slip = (pull > most) - (pull < -most)
            self.speed = self.ground = new
            return
        pushed = KINETIC * most / one.moved * self.slip
        ground = self.ground + pushed
        self.lost_j["slip"] += self.drag_nm * h * (middle - (self.ground + ground) / 2)
        if (new - ground) * self.slip <= 0:
            both = (one.inertia * new + one.moved * ground) / (one.inertia + one.moved)
            self.lost_j["slip"] += (one.inertia * new**2 + one.moved * ground**2) / 2
            self.lost_j["slip"] -= (one.inertia + one.moved) * both**2 / 2
            new = ground = both
            self.slip = 0
        self.speed, self.ground = new, ground
