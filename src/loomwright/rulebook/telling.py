"""How findings of the rule book are worded: the place of a fact, lists of ids, must and question."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from loomwright.findings import Finding, Place, Severity
from loomwright.model.fact import State
from loomwright.units import Dimension, show
from loomwright.wording import listed

if TYPE_CHECKING:
    from loomwright.model.device import Device
    from loomwright.model.fact import Fact
    from loomwright.model.mark import Mark
    from loomwright.model.rules import Rule
    from loomwright.plan.result import PlannedCircuit

_MOST_NAMES = 8
_MINUTES = 100.0


def place(mark: Mark | None, thing: str) -> Place:
    """Return the place of a mark; without one, only the thing."""
    return Place(thing=thing) if mark is None else Place(mark.file, mark.line, mark.column, thing)


def at_device(device: Device, key: str = "", *facts: Fact[Any]) -> Place:
    """Return the place of the first of these facts that stands in the file, else of the device."""
    mark = next((fact.mark for fact in facts if fact.mark is not None), device.mark)
    return place(mark, f"{device.path}.{key}" if key else device.path)


def at_circuit(circuit: PlannedCircuit, **facts: Fact[Any]) -> Place:
    """Return the place of the first of these facts that stands in the file, by its key, else of the circuit."""
    for key, fact in facts.items():
        if fact.mark is not None:
            return place(fact.mark, f"{circuit.circuit.path}.{key.replace('_', ' ').strip()}")
    return place(circuit.circuit.mark, circuit.circuit.path)


def fault(rule: Rule, code: str, where: Place, what: str, fix: str, *, rests_on: tuple[str, ...] = ()) -> Finding:
    """Make a finding of the rule's own severity."""
    return Finding(code, rule.severity, where, what, fix, rule.id, rests_on)


def question(rule: Rule, code: str, where: Place, what: str, fix: str, *, rests_on: tuple[str, ...] = ()) -> Finding:
    """Make a finding that asks people: never graver than `should`, since nothing is known to be wrong."""
    severity = max(rule.severity, Severity.SHOULD, key=lambda severity: severity.rank)
    return Finding(code, severity, where, what, fix, rule.id, rests_on, asks=True)


def fault_or_question(
    rule: Rule, code: str, where: Place, what: str, fix: str, *, doubtful: bool, rests_on: tuple[str, ...] = ()
) -> Finding:
    """Make a fault where every fact under it is sure, a question where one of them is doubtful."""
    if doubtful:
        return question(rule, code, where, what, f"Look first, since part of this is guessed. {fix}", rests_on=rests_on)
    return fault(rule, code, where, what, fix, rests_on=rests_on)


def guessed(*facts: Fact[Any]) -> bool:
    """Tell whether one of these facts is only a guess."""
    return any(fact.state is State.GUESSED for fact in facts)


def lasting(seconds: float) -> str:
    """Write a time as the pit says it: "0.3 s", "90 s", "1 h"."""
    return f"{seconds:.2g} s" if seconds < _MINUTES else show(seconds, Dimension.TIME, digits=2)


def names(words: Sequence[str], *, most: int = _MOST_NAMES) -> str:
    """Join ids as a sentence does, telling how many more there are behind the first few."""
    told = list(dict.fromkeys(words))
    if len(told) <= most + 1:
        return listed(told, "and")
    return f"{', '.join(told[:most])} and {len(told) - most} more"
