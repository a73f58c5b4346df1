"""What protects a circuit: the main breaker, the fuse in its slot, an output's own limit, or what lies before."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.jobs.requests import Guard
from loomwright.layout import Choice
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from loomwright.model.part import Part, Socket
    from loomwright.model.robot import Robot
    from loomwright.wiring.result import Circuit, Wiring

_FEEDS = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
_NOWHERE = Choice()


@dataclass(frozen=True, slots=True)
class Guards:
    """Answers for one robot whose slots are chosen; `find_part` looks up breakers and fuses by their id."""

    robot: Robot
    wiring: Wiring
    choices: Mapping[str, Choice]
    find_part: Callable[[str], Part | None]

    def of(self, circuit: Circuit) -> Guard:
        """Return what opens if something goes wrong on a circuit's wires."""
        if circuit.kind is CircuitKind.MAIN:
            return self._main()
        if circuit.kind is CircuitKind.MOTOR:
            branch = self.wiring.circuit(circuit.upstream)
            return self.of(branch) if branch is not None else Guard(None, "nothing")
        choice = self.choices.get(circuit.id, _NOWHERE)
        outlet = self._outlet(choice)
        if outlet is None:
            return Guard(None, "")
        if choice.protection_a is not None:
            family = outlet.protection or "protection"
            part = self.find_part(f"{family}-{choice.protection_a:g}a")
            return Guard(choice.protection_a, part.id if part else family, part)
        if outlet.limit_a is not None:
            return Guard(outlet.limit_a, f"the output's own limit of {show(outlet.limit_a, Dimension.CURRENT)}")
        return self._before(choice.device)

    def _main(self) -> Guard:
        breaker = self.robot.device("main breaker")
        if breaker is None or breaker.absent:
            return Guard(None, "nothing")
        return Guard(breaker.part.number("rating"), breaker.part.id, breaker.part)

    def _outlet(self, choice: Choice) -> Socket | None:
        device = self.robot.device(choice.device) if choice.device else None
        return device.part.socket(choice.slot) if device else None

    def _before(self, source: str) -> Guard:
        """Return what guards an output that states no limit: the fuse or breaker of the thing that it is on."""
        feed = next((c for c in self.wiring.circuits if c.load == source and c.kind in _FEEDS), None)
        guard = self.of(feed) if feed is not None else Guard(None, "")
        return Guard(guard.rating_a, f"{guard.words} before {source}", guard.part) if guard.words else guard
