"""What meters show on the twin, and which outcome of the document that is."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cached_property

from loomwright.plan.result import PlannedCircuit
from loomwright.wiring.result import CircuitKind
from tests.hunting.robot.twin_asks import Ask, driven_wires
from tests.hunting.robot.twin_body import Body
from tests.hunting.robot.twin_build import FRAME
from tests.hunting.robot.twin_motors import RUN_A, Motors
from tests.hunting.robot.twin_net import Node
from tests.hunting.robot.twin_robot import MINUS, PAIR, PLUS, Motor

_LOW_SHARE, _NONE_V = 0.94, 1.0
_SOME_V, _MUCH_V = 0.15, 1.0
_AS_EXPECTED_SHARE, _NONE_A = 0.7, 0.5
_HIGH_OHM, _OPEN_OHM = 1.5, 200.0
_SHORT_OHM, _LEAK_OHM, _JOINED_OHM = 10.0, 100e3, 1e3
_BUS_OHM = ((33.0, "shorted"), (50.0, "three terminators"), (70.0, "two terminators"), (200.0, "one terminator"))
_CHARGED_V, _FLAT_V = 12.5, 11.9
_METERED = ("volts", "plus", "drop", "amps", "ohms", "across", "rail", "frame", "bus", "rest")


class Meter:
    """A meter on one body; `healthy` is the robot as planned, which says what to expect."""

    def __init__(self, body: Body, motors: Motors, run: Callable[[Motor], str], healthy: Meter | None = None) -> None:
        self.body = body
        self.anatomy = body.anatomy
        self.motors = motors
        self.run = run
        self.healthy = healthy or self

    @staticmethod
    def measures(kind: str) -> bool:
        """Tell whether a kind of check is read off a meter."""
        return kind in _METERED

    def reading(self, ask: Ask) -> float:
        """Return the number on the display [V, A or ohm], infinite for open."""
        readers: dict[str, Callable[[Ask], float]] = {
            "volts": self._volts,
            "plus": self._plus,
            "drop": self._drop,
            "amps": self._amps,
            "ohms": self._ohms,
            "across": self._across,
            "rail": self._rail,
            "frame": self._frame,
            "bus": self._bus,
            "rest": self._rest,
        }
        return readers[ask.kind](ask)

    def outcome(self, ask: Ask) -> str:
        """Return the document's outcome for what the display shows."""
        shown = self.reading(ask)
        judges: dict[str, Callable[[float, Ask], str]] = {
            "volts": self._as_volts,
            "plus": self._as_volts,
            "drop": lambda v, _: _ladder(v, (_SOME_V, "little"), (_MUCH_V, "some"), last="much"),
            "amps": self._as_amps,
            "ohms": lambda ohm, _: _ladder(ohm, (_HIGH_OHM, "as expected"), (_OPEN_OHM, "high"), last="open"),
            "across": self._as_low,
            "rail": self._as_low,
            "frame": lambda ohm, _: _ladder(ohm, (_JOINED_OHM, "joined"), (_LEAK_OHM, "leak"), last="open"),
            "bus": lambda ohm, _: _ladder(ohm, *_BUS_OHM, last="open"),
            "rest": lambda v, _: _ladder(v, (_FLAT_V, "flat"), (_CHARGED_V, "low"), last="charged"),
        }
        return judges[ask.kind](shown, ask)

    @cached_property
    def _driven(self) -> dict[str, str]:
        return driven_wires(self.anatomy)

    def _pair(self, ask: Ask, letter: str) -> tuple[Node, Node]:
        circuit = self.anatomy.circuits[ask.about]
        red, black = (self.anatomy.at(circuit, letter, polarity) for polarity in (PLUS, MINUS))
        assert red is not None
        assert black is not None
        return red, black

    def _volts(self, ask: Ask) -> float:
        circuit = self.anatomy.circuits[ask.about]
        if ask.letter == "A" and circuit.circuit.kind is not CircuitKind.MAIN and ask.about in self.body.harm.unfed:
            return 0.0
        return self.body.alive.volts(*self._pair(ask, ask.letter))

    def _plus(self, ask: Ask) -> float:
        return self.body.alive.volts(self._pair(ask, "B")[0], (self.anatomy.block, str(MINUS)))

    def _drop(self, ask: Ask) -> float:
        wire, motor = self.anatomy.wires[ask.about], self.anatomy.motors[self._driven[ask.about]]
        if wire.circuit == self.anatomy.main.id:
            running = (m for m in self.anatomy.motors.values() if self.run(m) != "dead")
            motor = next(running, motor)
        amps = self.motors.taken_a(motor, self.run(motor))
        if motor.leads and wire in motor.leads.wires:
            added = self.motors.lead_ohms(motor)[motor.leads.wires.index(wire)]
            return 0.0 if not amps else amps * (added + self.body.frame.fixed[wire.id][2])
        return abs(self._with_motor(motor, amps, *self.body.alive.links[wire.id][:2]))

    def _with_motor(self, motor: Motor, amps: float, red: Node, black: Node) -> float:
        alive, supply = self.body.alive, self.anatomy.supply(motor.driver.id)
        moved = 0.0
        if amps and supply is not None:
            moved = amps * alive.moved(alive.taking(supply.plus, supply.minus), red, black)
        return alive.volts(red, black) + moved

    def _amps(self, ask: Ask) -> float:
        motor = next(m for m in self.anatomy.motors.values() if m.feed and m.feed.id == ask.about)
        wire = self.anatomy.wire_at(self.anatomy.circuits[ask.about], "B", PLUS)
        amps = self.motors.taken_a(motor, self.run(motor))
        if wire is None:
            return amps
        a, b, ohm = self.body.alive.links[wire.id]
        return 0.0 if math.isinf(ohm) else abs(self._with_motor(motor, amps, a, b)) / ohm

    def _ohms(self, ask: Ask) -> float:
        return self.body.dead.ohms(*self.body.dead.links[ask.about][:2])

    def _across(self, ask: Ask) -> float:
        return self.body.pulled(self._guard(self.anatomy.circuits[ask.about])).ohms(*self._pair(ask, "B"))

    def _rail(self, ask: Ask) -> float:
        supply = self.anatomy.supply(ask.about)
        assert supply is not None
        return self.body.dead.ohms(supply.plus, supply.minus)

    def _frame(self, ask: Ask) -> float:
        plus = self.anatomy.at(self.anatomy.circuits[ask.about], "B", PLUS)
        assert plus is not None
        return self.body.pulled(self._guard(self.anatomy.circuits[ask.about])).ohms(plus, FRAME)

    def _bus(self, ask: Ask) -> float:
        chain = next(c for c in self.anatomy.chains if c.name == ask.about)
        high, low = ((chain.devices[0].id, chain.path, str(line)) for line in PAIR)
        return self.body.dead.ohms(high, low)

    def _rest(self, _: Ask) -> float:
        plug = self.anatomy.plug
        holder = self.anatomy.battery if plug is None else plug
        red, black = ((holder.id, holder.part.sockets[0].name, str(polarity)) for polarity in (PLUS, MINUS))
        return self.body.battery_alone.volts(red, black)

    def _guard(self, circuit: PlannedCircuit) -> str:
        return self.anatomy.guard(circuit)

    def _as_volts(self, volts: float, ask: Ask) -> str:
        if volts < -_NONE_V and ask.kind == "volts":
            return "reversed"
        expected = self.healthy.reading(ask)
        return _ladder(volts, (_NONE_V, "none"), (_LOW_SHARE * expected, "low"), last="as expected")

    def _as_amps(self, amps: float, _: Ask) -> str:
        return _ladder(amps, (_NONE_A, "none"), (_AS_EXPECTED_SHARE * RUN_A, "little"), last="as expected")

    def _as_low(self, ohm: float, ask: Ask) -> str:
        return _ladder(ohm, (_SHORT_OHM, "short"), (0.5 * self.healthy.least(ask), "low"), last="as expected")

    def least(self, ask: Ask) -> float:
        """Return the least that a healthy robot may show across a circuit or a block's feed [ohm]."""
        if ask.kind == "rail":
            supply = self.anatomy.supply(ask.about)
            assert supply is not None
            return self.body.least_dead.ohms(supply.plus, supply.minus)
        return self.body.least_across(self._guard(self.anatomy.circuits[ask.about]), *self._pair(ask, "B"))


def _ladder(value: float, *steps: tuple[float, str], last: str) -> str:
    """Return the word of the first step that a value is below."""
    return next((word for limit, word in steps if value < limit), last)
