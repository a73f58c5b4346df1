"""What motors do: commanded or not, with whole leads or not, with what their feed leaves them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from loomwright.plan.result import PlannedCircuit
from tests.hunting.robot.twin_body import DARK, Body, works_from_v
from tests.hunting.robot.twin_chains import Chains
from tests.hunting.robot.twin_robot import Motor

RUN_A, _MATCH_A = 10.0, 40.0
_WEAK_SHARE, _RATED_V = 0.15, 12.0
# With less than this a motor does not turn.
_TURNS_A = 1.0
_LEAD_GONE_OHM = 1e3
_GONE_IN_BOTH = 2


@dataclass(frozen=True, slots=True)
class Stiffness:
    """The feed of a controller as one source: its voltage without the motor [V] and its resistance [ohm]."""

    volts: float
    ohm: float

    def at(self, amps: float) -> float:
        """Return what is left under a current [V]."""
        return self.volts - amps * self.ohm


class Motors:
    """The motors of one body, held against a healthy one."""

    def __init__(self, body: Body, chains: Chains, healthy: Body | None = None) -> None:
        self.body = body
        self.chains = chains
        self.healthy = healthy or body

    def ran(self, motor: Motor, *, match: bool, backward: bool) -> str:
        """Tell what a motor does under 10 A or in a match; `backward` is the coin of swapped phases."""
        amps = RUN_A if not match else match_a(motor)
        if not self.commanded(motor) or self._cut_off(motor):
            return "dead"
        if self._most_a(motor) < _TURNS_A:
            return "dead"
        if self._lost_v(motor, amps) >= _WEAK_SHARE * _RATED_V:
            return "weak"
        if motor.leads and motor.leads.id in self.body.harm.reversed:
            return "backward" if backward or not motor.brushless else "weak"
        return "weak" if any(math.isinf(ohm) for ohm in self.lead_ohms(motor)) else "runs"

    def commanded(self, motor: Motor) -> bool:
        """Tell whether a motor's driver is lit, does its work and hears what it shall do."""
        driver = motor.driver.id
        if self.body.light(driver) == DARK or {driver, motor.id} & self.body.harm.silent:
            return False
        chain = next((c for c in self.body.anatomy.chains if motor.driver in c.devices), None)
        if chain is not None and motor.driver.id in {d.id for d in chain.devices[1:]}:
            return self.chains.outcome(chain, driver) != "missing"
        return motor.pulse is None or self._pulsed(motor.pulse)

    def lead_ohms(self, motor: Motor) -> list[float]:
        """Return the ohms that faults put into each of a motor's leads."""
        wires = motor.leads.wires if motor.leads else ()
        return [self._added(w.id, f"{w.id} A", f"{w.id} B") for w in wires]

    def taken_a(self, motor: Motor, outcome: str) -> float:
        """Return what a motor takes of its feed while it is run under 10 A [A]."""
        if outcome == "dead":
            return 0.0
        broken = motor.brushless and any(math.isinf(ohm) for ohm in self.lead_ohms(motor))
        return min(RUN_A, self._most_a(motor)) * (0.5 if broken else 1.0)

    def stiffness(self, body: Body, motor: Motor) -> Stiffness:
        """Return a driver's feed as one source."""
        supply = body.anatomy.supply(motor.driver.id)
        if supply is None:
            return Stiffness(0.0, math.inf)
        moved = body.alive.moved(body.alive.taking(supply.plus, supply.minus), supply.plus, supply.minus)
        return Stiffness(body.alive.volts(supply.plus, supply.minus), -moved)

    def _most_a(self, motor: Motor) -> float:
        """Return the most that the feed gives before its controller stops [A]."""
        supply, feed = self.body.anatomy.supply(motor.driver.id), self.stiffness(self.body, motor)
        if supply is None:
            return 0.0
        return max(feed.volts - works_from_v(supply), 0.0) / feed.ohm if feed.ohm > 0 else math.inf

    def _lost_v(self, motor: Motor, amps: float) -> float:
        """Return what faults take from a motor at a current [V]: in its feed, and in its leads."""
        lost = self.stiffness(self.healthy, motor).at(amps) - self.stiffness(self.body, motor).at(amps)
        passing = [ohm for ohm in self.lead_ohms(motor) if not math.isinf(ohm)]
        return lost + amps * (max(passing, default=0.0) if motor.brushless else sum(passing))

    def _cut_off(self, motor: Motor) -> bool:
        ohms = self.lead_ohms(motor)
        shorted = motor.leads is not None and motor.leads.id in self.body.harm.shorts
        if motor.brushless:
            return shorted or sum(math.isinf(ohm) for ohm in ohms) >= _GONE_IN_BOTH
        return shorted or sum(ohms) > _RATED_V / _TURNS_A

    def _pulsed(self, pulse: PlannedCircuit) -> bool:
        sender = pulse.wires[0].a.device
        if self.body.light(sender) == DARK or sender in self.body.harm.silent:
            return False
        seats = [(w.id, f"{w.id} A", f"{w.id} B") for w in pulse.wires]
        return all(self._added(*seat) < _LEAD_GONE_OHM for seat in seats)

    def _added(self, *seats: str) -> float:
        return sum(self.body.harm.added.get(seat, 0.0) for seat in seats)


def match_a(motor: Motor) -> float:
    """Return what a motor takes in a match [A]: its circuit's current."""
    current = motor.feed.current.value if motor.feed else None
    return _MATCH_A if current is None else current
