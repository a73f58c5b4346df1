"""One match with plain numbers: the kernel's twin, written from the equations (docs/match.md), with its books.

It walks through the same steps in time as the kernel does, one match and one number at a time, and takes the machine
and the driver themselves, not the kernel's arrays. Beside the outcome it books where charge and energy went.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import exp, inf
from typing import Final

from loomwright.match.driver import Driver
from loomwright.match.machine import LoadBranch, LoadKind, Machine, MotorBranch
from tests.match.engine.plain_bus import SLOW_S, Cell, Copper, Motor, Power, Pump, Taker, limit, solve
from tests.match.engine.plain_driver import Orders
from tests.match.engine.plain_motion import Turning

_NEVER_S: Final = 1e9


@dataclass(frozen=True)
class Given:
    """What is drawn for a match: factors on the battery, its charge, contacts [ohm], place in trip bands, air [C]."""

    joints_ohm: Sequence[float]
    ohm: float = 1.0
    capacity: float = 1.0
    charge: float = 1.0
    trip: float = 0.5
    warmth_c: float = 25.0
    seed: int = 1
    match: int = 0


@dataclass
class Step:
    """One fast step, for laws that hold in each: bus [V], rest voltage less what the battery lost, all currents [A].

    `met` tells whether battery and branches met; where a line can't carry what is asked, there may be no such voltage.
    """

    now_s: float
    bus_v: float
    inner_v: float
    inner_ohm: float
    total_a: float
    branch_a: list[float]
    motor_a: list[float]
    speeds: list[float]
    met: bool


@dataclass
class Plain:
    """A match in hand."""

    machine: Machine
    driver: Driver
    given: Given
    h: float = 0.005
    watched: bool = True
    steps: list[Step] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Set everything to its beginning."""
        machine, given = self.machine, self.given
        self.cell = Cell(machine.battery, given.ohm, given.capacity, given.charge)
        wired: list[MotorBranch | LoadBranch] = [*machine.motors, *machine.loads]
        self.coppers = [self._copper(one, i) for i, one in enumerate(wired)]
        self.main = Copper(
            machine.main_ohm, given.joints_ohm[-1], machine.main_trip, machine.main_wire, given.trip, given.warmth_c
        )
        self.turnings = [
            Turning(one, *next((b.winding_ohm, b.constant) for b in machine.motors if b.mechanism == m))
            for m, one in enumerate(machine.mechanisms)
        ]
        self.orders = Orders(machine, self.driver, given.seed, given.match)
        self.volt = self.volt_before = self.cell.rests()
        self.on, self.above_s, self.until_s, self.dead_at_s = True, 0.0, 0.0, _NEVER_S
        self.offs, self.off_s, self.restarts = 0, 0.0, 0
        self.lowest_v, self.lowest_at_s, self.bus_j = 40.0, 0.0, 0.0
        self.pressure, self.pumping, self.pumping_s, self.pump_s, self.pump_a = 1.0, False, 0.0, 0.0, 0.0
        self.lost_j = dict.fromkeys(("main leads", "lines", "windings", "loads"), 0.0)
        self.left_j = 0.0
        self.rounds = 0

    def _copper(self, one: MotorBranch | LoadBranch, i: int) -> Copper:
        given = self.given
        return Copper(one.line_ohm, given.joints_ohm[i], one.trip, one.wire, given.trip, given.warmth_c)

    # ------------------------------------------------------------ 20 ms
    def play(self) -> Plain:
        """Play the match to its end."""
        for tick in range(round(self.driver.lasts_s / SLOW_S)):
            self.tick(tick * SLOW_S, (tick + 1) * SLOW_S)
        return self

    def tick(self, now_s: float, end_s: float) -> None:
        """Play 20 ms: orders first, then the fast steps, then heat."""
        air = self.machine.air
        self.pressure = max(0.0, self.pressure - self.orders.follow(now_s) * (air.stroke_share if air else 0.0))
        self.cell.rests()
        for goal, load, one in zip(self.orders.goals, self.orders.loads, self.turnings, strict=True):
            one.load = load
            one.command(goal)
        if self.orders.shoots(now_s):
            for one in self.turnings:
                one.shoot()
        self._pump(now_s)
        powered = [copper.closed and self.dead_at_s > now_s for copper in self.coppers]
        steps = round(SLOW_S / self.h)
        for k in range(steps):
            self._step(now_s + k * self.h, powered)
        for copper in (*self.coppers, self.main):
            copper.warm_up(steps, end_s)
        if not self.main.closed:
            self.dead_at_s = min(self.dead_at_s, end_s)

    def _pump(self, now_s: float) -> None:
        air, pumps = self.machine.air, [one for one in self.machine.loads if one.kind is LoadKind.PUMP]
        if not pumps or air is None:
            return
        copper = self.coppers[len(self.machine.motors) + self.machine.loads.index(pumps[0])]
        self.pressure += SLOW_S / air.fill_s * self.pumping
        wanted = self.pressure < (1.0 if self.pumping else air.on_share)
        sprints = air.waits and any(abs(one.asked) > 0.5 and one.made.moved > 0 for one in self.turnings)
        runs = wanted and self.on and not sprints and copper.closed and self.dead_at_s > now_s
        self.pumping_s = self.pumping_s + SLOW_S if runs and self.pumping else 0.0
        self.pumping = runs
        self.pump_s += SLOW_S * runs
        start = max(pumps[0].start_a, pumps[0].current_a)
        extra = (start - pumps[0].current_a) * exp(-self.pumping_s / 0.15)
        self.pump_a = runs * (pumps[0].current_a + extra)

    # ------------------------------------------------------------ the fast step
    def _step(self, here_s: float, powered: Sequence[bool]) -> None:
        h, machine = self.h, self.machine
        ready = [one.prepare(h) for one in self.turnings]
        motors = [self._motor(branch, i, ready[branch.mechanism], here_s) for i, branch in enumerate(machine.motors)]
        n = len(motors)
        loads = [self._load(load, n + i, powered[n + i]) for i, load in enumerate(machine.loads)]
        takers: list[Taker] = [*(motor for motor, _ in motors), *loads]
        emf, inner_ohm = self.cell.folded(h)
        ohm = inner_ohm + self.main.ohm
        guess = 2 * self.volt - self.volt_before
        guess = guess if 0 < guess < 40 else self.volt
        found = solve(emf, ohm, guess, takers)
        self.rounds += found.rounds
        self.volt_before, self.volt = self.volt, found.volt
        sums = [0.0] * len(self.turnings)
        reckoned_j = [0.0] * len(self.turnings)
        in_motors = []
        for i, branch in enumerate(machine.motors):
            motor, sign = motors[i]
            im = motor.motor_a(found.tried_v, found.currents[i])
            in_motors.append(sign * im)
            sums[branch.mechanism] += sign * branch.constant * im
            own = (motor.back_v + (motor.ohm - branch.winding_ohm) * im) / branch.constant
            reckoned_j[branch.mechanism] += branch.constant * im * own * h
            self._book_motor(branch, i, found.currents[i], found.volt, im, own)
        for i, load in enumerate(loads):
            current = found.currents[n + i]
            lost = self.coppers[n + i].ohm * current**2 * h if isinstance(load, Power) else 0.0
            self.lost_j["lines"] += lost
            self.lost_j["loads"] += current * found.volt * h - lost
        for one, torque, work_j in zip(self.turnings, sums, reckoned_j, strict=True):
            one.turn(torque, work_j, h)
        self._flowed(found.currents, here_s + h / 2)
        if self.watched:
            speeds = [one.speed for one in self.turnings]
            self.steps.append(
                Step(
                    here_s,
                    found.volt,
                    emf,
                    ohm,
                    self.cell.total_a,
                    list(found.currents),
                    in_motors,
                    speeds,
                    met=found.rounds < 60,
                )
            )

    def _motor(
        self, branch: MotorBranch, i: int, ready: tuple[float, float, float], here_s: float
    ) -> tuple[Motor, float]:
        """Return a motor told as forward, with its sign; one that is cut off takes nothing and gives nothing."""
        u, middle, per_nm = ready
        turning = self.turnings[branch.mechanism]
        sign = 1.0 if u > 0 or (u == 0 and turning.speed >= 0) else -1.0
        on = self.coppers[i].closed and self.on and self.dead_at_s > here_s
        most = limit(branch.motor_limit_a)
        motor = Motor(
            u=abs(u) * on,
            back_v=sign * branch.constant * middle * on,
            ohm=branch.winding_ohm + branch.constant**2 * per_nm,
            line_ohm=self.coppers[i].ohm,
            supply_a=limit(branch.supply_limit_a),
            most_a=most,
            least_a=-most if turning.made.brakes else 0.0,
        )
        return motor, sign

    def _load(self, load: LoadBranch, i: int, on: bool) -> Power | Pump:  # noqa: FBT001  one of three plain values
        if load.kind is LoadKind.PUMP:
            return Pump(self.pump_a)
        return Power(load.power_w * on, load.works_from_v, self.coppers[i].ohm)

    def _book_motor(self, branch: MotorBranch, i: int, taken: float, volt: float, im: float, own: float) -> None:
        """Book line and winding; what the controller does not pass on to the last joule is what the step left."""
        line, winding = self.coppers[i].ohm * taken**2, branch.winding_ohm * im**2
        self.lost_j["lines"] += line * self.h
        self.lost_j["windings"] += winding * self.h
        self.left_j += self.h * (taken * volt - line - winding - branch.constant * own * im)

    def _flowed(self, currents: Sequence[float], middle_s: float) -> None:
        """Let the currents empty the battery, count them, and switch outputs."""
        total, v = sum(currents), self.volt
        self.cell.flow(total, self.h)
        self.lost_j["main leads"] += self.main.ohm * total**2 * self.h
        self.bus_j += v * total * self.h
        if v < self.lowest_v and self.dead_at_s > middle_s:
            self.lowest_v, self.lowest_at_s = v, middle_s
            for copper, current in zip(self.coppers, currents, strict=True):
                copper.dip_a = current
        for copper, current in zip((*self.coppers, self.main), (*currents, total), strict=True):
            copper.carry(current)
        self._outputs(v, middle_s)

    def _outputs(self, v: float, middle_s: float) -> None:
        low = self.machine.thresholds
        if v < low.stop_v and self.until_s <= middle_s:
            self.restarts += 1
            self.until_s = middle_s + low.recovery_s
        elif middle_s < self.until_s and v < low.start_v:
            self.until_s += self.h
        up = self.until_s <= middle_s
        self.above_s = self.above_s + self.h if v > low.on_v else 0.0
        if self.on:
            self.offs += v < low.off_v
            self.on = up and v >= low.off_v
        else:
            self.on = up and self.above_s >= low.hold_s and v > low.on_v
        self.off_s += self.h * (not self.on)

    # ------------------------------------------------------------ books
    def energy_j(self) -> dict[str, float]:
        """Return where the battery's energy went [J]: losses, what is stored, and what the steps' error made up."""
        book = self.lost_j | self.cell.lost_j | {"stored": self.cell.stored_j()}
        for name in self.turnings[0].lost_j if self.turnings else ():
            book[name] = sum(one.lost_j[name] for one in self.turnings)
        return book | {"turning": sum(one.kinetic_j() for one in self.turnings)}

    def missing_j(self) -> float:
        """Return what the battery gave and no book holds [J]: the error of the steps."""
        return self.cell.given_j - sum(self.energy_j().values())

    def known_error_j(self) -> float:
        """Return the part of it that is known: currents along slopes, and middle speeds that friction changed [J]."""
        return self.left_j + sum(one.gap_j for one in self.turnings)

    @property
    def dead_s(self) -> float:
        """When the main breaker opened [s], infinite if never."""
        return inf if self.dead_at_s == _NEVER_S else self.dead_at_s
