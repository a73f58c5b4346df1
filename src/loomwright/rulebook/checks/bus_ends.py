"""A chain ends with a terminator at each end, and has none between."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import called, on_bus
from loomwright.rulebook.telling import fault, names, place, question

if TYPE_CHECKING:
    from loomwright.findings import Finding, Place
    from loomwright.model.fact import Fact
    from loomwright.model.robot import Bus
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan

BUILT_IN, SWITCH = "built in", "switch"
_ENDS = 2


def _terminated(plan: Plan, rule: Rule) -> Iterator[Finding]:
    for bus in plan.robot.buses:
        if bus.kind != "bus":
            continue
        if bus.order.value is not None:
            yield from _ordered(plan, rule, bus, tuple(_known(plan, bus.order.value)))
        elif len(bus.members) >= _ENDS or bus.order.asks:
            yield from _unordered(plan, rule, bus)


def _known(plan: Plan, told: tuple[str, ...]) -> Iterator[str]:
    """Give the ids of the devices that are on the robot, in the order told."""
    return (device.id for name in told if (device := on_bus(plan, name)) is not None)


def _ordered(plan: Plan, rule: Rule, bus: Bus, chain: tuple[str, ...]) -> Iterator[Finding]:
    if len(chain) < _ENDS:
        return
    ends = (chain[0], chain[-1])
    always = {name for name in chain if BUILT_IN in _terminators(plan, name)}
    if bus.terminators.value is None:
        yield from _built_in_between(plan, rule, bus, [name for name in chain[1:-1] if name in always])
        open_ends = [name for name in ends if name not in always]
        if open_ends:
            yield _ask_for_ends(plan, rule, bus, open_ends)
        return
    told = set(_known(plan, bus.terminators.value)) | always
    yield from _built_in_between(plan, rule, bus, [name for name in chain[1:-1] if name in told])
    missing = [name for name in ends if name not in told]
    if missing:
        yield fault(
            rule,
            "chain-not-terminated",
            _at(bus, bus.terminators, "terminators"),
            f"{bus.name} ends at {names([called(plan, name) for name in missing])} without a terminator.",
            "Switch the terminator there on, or fit a 120 ohm one. With power off, 60 ohm across the pair is right.",
        )


def _built_in_between(plan: Plan, rule: Rule, bus: Bus, between: list[str]) -> Iterator[Finding]:
    if between:
        yield fault(
            rule,
            "terminator-inside-chain",
            _at(bus, bus.terminators, "terminators"),
            f"The terminator of {names([called(plan, name) for name in between])}, in the middle of {bus.name}, is on.",
            "Only the two ends may have one: switch it off, or let the chain end here.",
        )


def _ask_for_ends(plan: Plan, rule: Rule, bus: Bus, ends: list[str]) -> Finding:
    switched = [name for name in ends if SWITCH in _terminators(plan, name)]
    told = names([called(plan, name) for name in ends])
    how = "Switch it on there" if len(switched) == len(ends) else "Switch it on there, or fit a 120 ohm terminator"
    return question(
        rule,
        "chain-ends-open",
        _at(bus, bus.terminators, "terminators"),
        f"The file does not say that {bus.name} is terminated at {told}.",
        f"{how}, and write `terminators: [...]` with the devices at both ends.",
    )


def _unordered(plan: Plan, rule: Rule, bus: Bus) -> Iterator[Finding]:
    """Count terminators where the order isn't known, and ask for the order."""
    always = {name for name in _known(plan, bus.members) if BUILT_IN in _terminators(plan, name)}
    if bus.terminators.value is not None and len(told := set(_known(plan, bus.terminators.value)) | always) != _ENDS:
        yield fault(
            rule,
            "terminator-count",
            _at(bus, bus.terminators, "terminators"),
            f"{bus.name} has {len(told)} terminators; a chain has two, one at each end.",
            "Measure across the pair with power off: 60 ohm is two, 120 is one, 40 is three.",
        )
    yield question(
        rule,
        "chain-order",
        _at(bus, bus.order, "order"),
        f"The order of the devices along {bus.name} is not known, so neither are its ends.",
        "Follow the wires from device to device and write them as a list, in that order.",
    )


def _terminators(plan: Plan, name: str) -> set[str]:
    device = plan.robot.device(name)
    return {socket.terminator for socket in device.part.sockets if socket.terminator} if device else set()


def _at(bus: Bus, fact: Fact[tuple[str, ...]], key: str) -> Place:
    return place(fact.mark or bus.mark, f"{bus.path}.{key}")


CHECKS = (
    Check(
        "chain terminated",
        "Whether a chain has a terminator at each end and none between. An unknown order is a question.",
        _terminated,
    ),
)
