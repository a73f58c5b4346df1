"""The currents that a circuit's wires are sized for: the one the drop is judged at, and the one that heats.

The drop is judged at the current that the circuit may hold: its supply-side limit, its known draw, or its
protection where neither is known; never more than its protection holds for long. What heats a wire for long is
less for a motor that comes and goes; until a match study has been made, a share of that current is assumed for
each kind of mechanism, and said. With a study, its peak stands for the drop where that is less than the limit, and what
heats the wire in its worst match for heat.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from loomwright.catalogue.tables import table
from loomwright.model.reason import Origin, Reasoned
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.model.device import Device
    from loomwright.model.fact import Fact
    from loomwright.model.robot import Robot
    from loomwright.sizing.duty import Duty
    from loomwright.wiring.result import Circuit, Wiring

Current = Reasoned["float | None"]

#: What a whole robot is planned to hold for long [A]; common practice.
PLANNING_CURRENT_A = 180.0
_UNKNOWN = "its current is not known"
_STUDY = "match study"
#: Up to this nobody used a mechanism in a study [A].
_RAN_A = 0.5


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a circuit stands: its source's id and the protection there [A], None for an output's own limit."""

    source: str
    protection_a: float | None


@dataclass(slots=True)
class Demand:
    """Answers for the currents of every circuit of one robot, given where each one stands."""

    robot: Robot
    wiring: Wiring
    standing: Mapping[str, Standing]
    duties: Mapping[str, Duty] = field(default_factory=lambda: MappingProxyType({}))
    _held: dict[str, Current] = field(default_factory=dict)

    def held(self, circuit: Circuit) -> Current:
        """Return the current [A] at which the drop of a circuit is judged."""
        if circuit.id not in self._held:
            # A circle of feeds is refused at reading; this keeps a damaged wiring from running for ever.
            self._held[circuit.id] = Reasoned(None, _UNKNOWN, Origin.UNKNOWN)
            self._held[circuit.id] = self._studied(circuit, self._find(circuit))
        return self._held[circuit.id]

    def sustained(self, circuit: Circuit) -> Current:
        """Return the current [A] that heats the wires of a circuit for long."""
        held = self.held(circuit)
        load = self.robot.device(circuit.load)
        if held.value is None or load is None:
            return held
        if (duty := self._duty(circuit)) is not None:
            told = "what heats it in the worst match of the study"
            return Reasoned(min(duty.sustained_a, held.value), told, Origin.COMPUTED, _STUDY)
        if circuit.kind is CircuitKind.MAIN:
            return self._main_sustained(held)
        if not load.mechanism and load.kind != "compressor":
            return held
        kind, share, source = self._share(load)
        study = "for the match study does not tell it" if self.duties else "until a match study tells"
        reason = f"{share:.0%} of {held.value:.3g} A assumed for {kind}, {study}"
        return Reasoned(share * held.value, reason, Origin.ASSUMED, source)

    def _duty(self, circuit: Circuit) -> Duty | None:
        """Return what a study found for a circuit; of what nobody used in it, it says nothing."""
        duty, load = self.duties.get(circuit.id), self.robot.device(circuit.load)
        least_a = _RAN_A if load is not None and load.mechanism else 0.0
        return duty if duty is not None and duty.sustained_a > least_a else None

    def _studied(self, circuit: Circuit, held: Current) -> Current:
        """Take the study's peak where that is less than what could flow."""
        duty = self._duty(circuit)
        load = self.robot.device(circuit.load)
        if duty is None or held.value is None or duty.peak_a >= held.value or load is None or not load.mechanism:
            return held
        return Reasoned(
            duty.peak_a, f"peak of the match study; its limit is {held.value:.3g} A", Origin.COMPUTED, _STUDY
        )

    def _find(self, circuit: Circuit) -> Current:
        load = self.robot.device(circuit.load)
        if load is None:
            return Reasoned(None, _UNKNOWN, Origin.UNKNOWN)
        if circuit.kind is CircuitKind.MAIN:
            return self._main()
        if circuit.kind is CircuitKind.MOTOR:
            return self._motor_side(circuit, load)
        if load.mechanism:
            return self._motor_branch(circuit, load)
        return self._thing(circuit, load)

    def _main(self) -> Current:
        said = self.robot.house.planning_current
        if said.said:
            return _given(said, "planning current")
        fed = [c for c in self.wiring.circuits if c.kind in (CircuitKind.BRANCH, CircuitKind.FEEDER)]
        ratings = sum(s.protection_a or 0.0 for c in fed if (s := self.standing.get(c.id)))
        if 0 < ratings < PLANNING_CURRENT_A:
            return Reasoned(ratings, "all breakers and fuses of the robot together", Origin.COMPUTED, "common practice")
        return Reasoned(PLANNING_CURRENT_A, "what a whole robot is planned to hold", Origin.ASSUMED, "common practice")

    def _main_sustained(self, held: Current) -> Current:
        breaker = self.robot.device("main breaker")
        rating = breaker.part.number("rating") if breaker else None
        if rating is None or held.value is None or held.value <= rating:
            return held
        return Reasoned(rating, "the main breaker's rating", Origin.CATALOGUE, breaker.part.id if breaker else "")

    def _motor_branch(self, circuit: Circuit, load: Device) -> Current:
        limit = load.limits.supply
        if limit.said and load.limits.enabled.value is not False:
            current = max(value.hold_a for value in limit.values)
            reason = "supply-side limit" + (" (the largest of what is said)" if len(limit.said) > 1 else "")
            most = self._rating_a(circuit)
            if most is not None and current > most:
                told = f"what its protection holds for long; its limit is {current:.3g} A"
                return Reasoned(most, told, Origin.COMPUTED, "common practice")
            if current > 0:
                return Reasoned(current, reason, Origin.GIVEN, _where(limit))
        if load.draw.said:
            return _given(load.draw, "draw")
        return self._protected(circuit)

    def _motor_side(self, circuit: Circuit, motor: Device) -> Current:
        controller = self.robot.device(circuit.sources[0]) if circuit.sources else None
        if controller is not None and controller.limits.motor.said and controller.limits.enabled.value is not False:
            current = max(value.hold_a for value in controller.limits.motor.values)
            if current > 0:
                return Reasoned(current, "motor-side limit", Origin.GIVEN, _where(controller.limits.motor))
        branch = self.wiring.circuit(circuit.upstream)
        above = self.held(branch) if branch is not None else Reasoned(None, _UNKNOWN, Origin.UNKNOWN)
        stall = motor.part.number("stall current")
        if above.value is not None and stall is not None and stall < above.value:
            return Reasoned(stall, "the motor's stall current", Origin.CATALOGUE, motor.part.id)
        return Reasoned(above.value, f"as its branch: {above.reason}", above.origin, above.source)

    def _thing(self, circuit: Circuit, load: Device) -> Current:
        if load.draw.said:
            return _given(load.draw, "draw")
        passed_on = self._passed_on(load)
        own = load.part.number("draw")
        if own is None and not passed_on:
            return self._protected(circuit)
        total = (own or 0.0) + sum(passed_on)
        most = self._rating_a(circuit)
        if most is not None and total > most:
            return Reasoned(
                most, f"its loads could ask {total:.3g} A; its protection holds", Origin.COMPUTED, load.part.id
            )
        reason = f"what hangs on {load.called} taken together" if passed_on else "what its part draws"
        origin = Origin.COMPUTED if passed_on else Origin.CATALOGUE
        return Reasoned(total, reason, origin, load.part.id)

    def _passed_on(self, load: Device) -> list[float]:
        """Return what a block, regulator or module passes on [A], output by output.

        A regulator's outputs are counted ampere for ampere, as a plain series regulator takes them: a
        switching one takes less, so the feed is never sized too thin.
        """
        currents = []
        for circuit in self.wiring.circuits:
            standing = self.standing.get(circuit.id)
            if standing is None or standing.source != load.id or not circuit.kind.carries_power:
                continue
            current = self.held(circuit).value
            if current is not None and circuit.kind is not CircuitKind.MOTOR:
                currents.append(current)
        return currents

    def _rating_a(self, circuit: Circuit) -> float | None:
        """Return the rating [A] of the fuse or breaker in a circuit's own slot."""
        standing = self.standing.get(circuit.id)
        return standing.protection_a if standing is not None else None

    def _protected(self, circuit: Circuit) -> Current:
        rating = self._rating_a(circuit)
        if rating is not None:
            reason = "its protection, since no limit and no draw is known"
            return Reasoned(rating, reason, Origin.ASSUMED, "common practice")
        if circuit.wanted_a:
            reason = f"the protection that it wants, {show(circuit.wanted_a[0], Dimension.CURRENT)}"
            return Reasoned(circuit.wanted_a[0], reason, Origin.ASSUMED, circuit.wanted_source)
        return Reasoned(None, _UNKNOWN, Origin.UNKNOWN)

    def _share(self, load: Device) -> tuple[str, float, str]:
        mechanism = next((m for m in self.robot.mechanisms if m.name == load.mechanism), None)
        kind = (mechanism.kind.value if mechanism else None) or load.kind
        shares = {row["mechanism_kind"]: row for row in table("duty_assumed")}
        row = shares.get(kind, shares["other"])
        article = "an" if kind[0] in "aeiou" else "a"
        return f"{article} {kind}" if kind in shares else "a motor", float(row["sustained_share"]), row["source"]


def _given(fact: Fact[float], what: str) -> Current:
    return Reasoned(max(fact.values), f"{what} as given", Origin.GIVEN, _where(fact))


def _where(fact: Fact[Any]) -> str:
    return str(fact.mark or "")
