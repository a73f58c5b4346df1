"""Branches, battery and bus of one match with plain numbers, written from the equations (docs/match.md)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import asinh, exp, inf, sqrt
from typing import Protocol

from loomwright.match.machine import Battery, Trip, WireHeat

ALPHA = 0.00393
SLOW_S = 0.02
TOP_V = 40.0


@dataclass
class Copper:
    """The wires of a branch with their breaker: what they carry, and how warm they get."""

    copper_ohm: float
    joints_ohm: float
    trip: Trip | None
    wire: WireHeat | None
    place_in_band: float
    air_c: float

    def __post_init__(self) -> None:
        """Begin as warm as the air, with the breaker closed."""
        self.warm_c = self.warmest_c = self.air_c
        self.heat, self.closed, self.opened, self.opened_at_s = 0.0, True, 0, 0.0
        self.now_a, self.sum_a, self.sum_aa = 0.0, 0.0, 0.0
        self.peak_a, self.dip_a, self.all_a = 0.0, 0.0, 0.0
        self.squares: list[float] = []

    @property
    def ohm(self) -> float:
        """What the way there and back takes, as warm as it is [ohm]."""
        return self.copper_ohm * (1 + ALPHA * (self.warm_c - 20)) + self.joints_ohm

    def carry(self, current_a: float) -> None:
        """Count the current of one fast step."""
        self.now_a = current_a
        self.sum_a += current_a
        self.sum_aa += current_a * current_a

    def warm_up(self, steps: int, now_s: float) -> None:
        """Move heat on by 20 ms with the mean square current."""
        square = self.sum_aa / steps
        self.squares.append(square)
        self.peak_a = max(self.peak_a, self.sum_a / steps)
        self.all_a += self.sum_a
        self.sum_a = self.sum_aa = 0.0
        if self.wire is not None:
            made = square * self.wire.ohm_per_m * (1 + ALPHA * (self.warm_c - 20))
            lost = self.wire.watt_per_k_m * (self.warm_c - self.air_c)
            self.warm_c += SLOW_S * (made - lost) / self.wire.joule_per_k_m
            self.warmest_c = max(self.warmest_c, self.warm_c)
        if self.trip is not None:
            self._heat_breaker(square / self.trip.hold_a**2, self.trip, now_s)

    def _heat_breaker(self, end: float, trip: Trip, now_s: float) -> None:
        low, high = trip.band
        tau = trip.tau_s * low ** (1 - self.place_in_band) * high**self.place_in_band
        self.heat = end + (self.heat - end) * exp(-SLOW_S / tau)
        if self.closed and self.heat >= 1:
            self.closed, self.opened = False, self.opened + 1
            self.opened_at_s = now_s if self.opened == 1 else self.opened_at_s
        elif not self.closed and trip.resets and self.heat < 0.6:
            self.closed = True

    def worst_aa(self) -> float:
        """Return the greatest mean of squares over 10 s, looked up once a second [A2]."""
        seconds = [sum(self.squares[i : i + 50]) for i in range(0, len(self.squares) - 49, 50)]
        return max((sum(seconds[max(0, i - 9) : i + 1]) / 500 for i in range(len(seconds))), default=0.0)


class Taker(Protocol):
    """Anything on the bus."""

    def take(self, v: float) -> tuple[float, float]:
        """Return the current at a bus voltage and its slope [A, A/V]."""


@dataclass
class Motor:
    """A motor behind its controller in one step: the current is the least of what three modes ask for.

    `u` is a duty of 0 or more: both directions are told as forward. `back_v` and `ohm` have the speed's answer in
    them, see `plain.py`.
    """

    u: float
    back_v: float
    ohm: float
    line_ohm: float
    supply_a: float
    most_a: float
    least_a: float

    def wanted_a(self, v: float) -> float:
        """Return the motor's current within its own limits, the supply's limit aside [A]."""
        free = (self.u * v - self.back_v) / (self.ohm + self.u**2 * self.line_ohm)
        return max(self.least_a, min(self.most_a, free))

    def take(self, v: float) -> tuple[float, float]:
        """Return the current at a bus voltage and its slope [A, A/V]."""
        stiff = self.ohm + self.u**2 * self.line_ohm
        im = self.wanted_a(v)
        if im == (self.u * v - self.back_v) / stiff:
            i, slope = self.u * im, self.u**2 / stiff
        else:
            i, slope = constant_power(v, im * (self.ohm * im + self.back_v), self.line_ohm)
        return (self.supply_a, 0.0) if i > self.supply_a else (i, slope)

    def motor_a(self, v: float, taken_a: float) -> float:
        """Return the current in the windings while the controller takes `taken_a` near this voltage [A]."""
        im = self.wanted_a(v)
        if taken_a < self.supply_a:
            return im
        power = self.supply_a * (v - self.line_ohm * self.supply_a)
        held = (sqrt(max(0.0, self.back_v**2 + 4 * self.ohm * power)) - self.back_v) / (2 * self.ohm)
        return min(im, held)


def constant_power(v: float, power_w: float, line_ohm: float) -> tuple[float, float]:
    """Return the current that brings a power through a line, and its slope [A, A/V]."""
    root = sqrt(max(v * v - 4 * line_ohm * power_w, 1e-3))
    i = 2 * power_w / (v + root)
    return i, -i / root


@dataclass
class Power:
    """Electronics: constant power while there is enough voltage for them, a resistor below."""

    power_w: float
    works_v: float
    line_ohm: float

    def take(self, v: float) -> tuple[float, float]:
        """Return the current at a bus voltage and its slope [A, A/V]."""
        if self.power_w == 0:
            return 0.0, 0.0
        i, slope = constant_power(v, self.power_w, self.line_ohm)
        if v - self.line_ohm * i >= self.works_v:
            return i, slope
        all_ohm = self.line_ohm + self.works_v**2 / self.power_w
        return v / all_ohm, 1 / all_ohm


@dataclass
class Pump:
    """A pump takes its current down to 4 V, and is a resistor below."""

    current_a: float

    def take(self, v: float) -> tuple[float, float]:
        """Return the current at a bus voltage and its slope [A, A/V]."""
        return (self.current_a, 0.0) if v >= 4 else (self.current_a * v / 4, self.current_a / 4)


@dataclass
class Cell:
    """A battery in one match, with what its losses came to."""

    made: Battery
    ohm_factor: float
    capacity_factor: float
    charge: float

    def __post_init__(self) -> None:
        """Begin rested, with every loss at 0."""
        self.v1, self.v2, self.act_v = 0.0, 0.0, 0.0
        self.total_a, self.before_a = 0.0, 0.0
        self.coulomb = 0.0
        self.lost_j = {"battery ohm": 0.0, "pairs": 0.0, "activation": 0.0}
        self.given_j = 0.0
        self.rest_v = 0.0

    def rests(self) -> float:
        """Look up the rest voltage of the charge and keep it [V]."""
        points = self.made.rest
        k = 1
        while k < len(points) - 1 and self.charge > points[k][0]:
            k += 1
        (z0, v0), (z1, v1) = points[k - 1], points[k]
        self.rest_v = v0 + (v1 - v0) * (self.charge - z0) / (z1 - z0)
        return self.rest_v

    def pair(self, which: int) -> tuple[float, float]:
        """Return resistance and time constant of a pair [ohm, s]."""
        ohm, tau = self.made.pairs[which]
        return ohm * self.ohm_factor, tau

    def folded(self, h: float) -> tuple[float, float]:
        """Return voltage and resistance that the cell's terminals show in the middle of a step [V, ohm].

        The middle voltage of a pair solves R C (v - v0) = h/2 (R I - v).
        """
        emf, ohm = self.rest_v, self.made.ohm * self.ohm_factor
        for which, v0 in ((0, self.v1), (1, self.v2)):
            r, tau = self.pair(which)
            emf -= v0 * tau / (tau + h / 2)
            ohm += r * (h / 2) / (tau + h / 2)
        return emf - self._act_mid(h), ohm

    def _target(self) -> float:
        ahead = 2 * self.total_a - self.before_a
        return self.ohm_factor * self.made.activation_v * asinh(ahead / self.made.activation_a)

    def _act_mid(self, h: float) -> float:
        half = h / 2 / self.made.activation_lag_s
        return (self.act_v + half * self._target()) / (1 + half)

    def flow(self, current_a: float, h: float) -> None:
        """Let a current flow for a step, and book its losses."""
        act = self._act_mid(h)
        self.lost_j["activation"] += act * current_a * h
        self.act_v = 2 * act - self.act_v
        middles = []
        for which, v0 in ((0, self.v1), (1, self.v2)):
            r, tau = self.pair(which)
            middle = (v0 * tau + r * current_a * h / 2) / (tau + h / 2)
            self.lost_j["pairs"] += middle**2 / r * h if r else 0.0
            middles.append(2 * middle - v0)
        self.v1, self.v2 = middles
        self.lost_j["battery ohm"] += self.made.ohm * self.ohm_factor * current_a**2 * h
        self.given_j += self.rest_v * current_a * h
        self.before_a, self.total_a = self.total_a, current_a
        self.charge -= current_a * h / (3600 * self.made.capacity_ah * self.capacity_factor)
        self.coulomb += current_a * h

    def stored_j(self) -> float:
        """Return what the pairs hold [J]."""
        held = ((self.pair(0), self.v1), (self.pair(1), self.v2))
        return sum(tau / r * v * v / 2 for (r, tau), v in held if r)


@dataclass
class Found:
    """A bus voltage, the one that was tried for it, every taker's current at that one, and how often was tried."""

    volt: float
    tried_v: float
    currents: list[float]
    rounds: int


def solve(emf: float, ohm: float, guess: float, takers: Sequence[Taker]) -> Found:
    """Find the bus voltage by Newton's steps in a bracket; the guess itself is never taken.

    At the voltage that is taken the battery has less than 0.1 mV more or less; the bus has what the battery has.
    """
    v, low, high = guess, 0.0, TOP_V
    currents: list[float] = []
    for turn in range(60):
        taken = [one.take(v) for one in takers]
        currents = [i for i, _ in taken]
        f = v - emf + ohm * sum(currents)
        slope = 1 + ohm * sum(g for _, g in taken)
        if f > 0 and slope < 0 and turn < 6:  # below the reach of the upper of two voltages: come from above
            v = emf
            continue
        if turn and abs(f) < 1e-4:
            return Found(v - f, v, currents, turn + 1)
        step = -f / max(slope, 0.05)
        low, high = (low, v) if f > 0 else (v, high)
        v = v + step if turn < 6 and low <= v + step <= high else (low + high) / 2
    return Found(v, v, currents, 60)


NO_LIMIT_A = 1e6


def limit(given_a: float) -> float:
    """Return a limit [A]; the kernel's arrays hold a great number for none."""
    return NO_LIMIT_A if given_a == inf else given_a
