"""The main breaker sits in the positive lead, and nothing gets past it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.model.part import Polarity
from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import is_a, told_as
from loomwright.rulebook.parameters import Several, Word, word, words
from loomwright.rulebook.telling import at_device, fault

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan


def _in_plus_only(plan: Plan, rule: Rule) -> Iterator[Finding]:
    breakers = [device for device in plan.robot if is_a(device.part, word(rule, "breaker"))]
    for breaker in breakers:
        minus = [
            w
            for w in plan.wires
            if breaker.id in (w.a.device, w.b.device) and Polarity.MINUS in (w.a.polarity, w.b.polarity)
        ]
        if minus:
            yield fault(
                rule,
                "breaker-in-minus",
                at_device(breaker),
                f"Wire {minus[0].id} ({minus[0].role}) brings the negative side to {told_as(breaker)}.",
                "The main breaker goes into the positive lead only; lead the negative straight to the block.",
            )
    if breakers:
        yield from _past_it(plan, rule, {breaker.id for breaker in breakers})


def _past_it(plan: Plan, rule: Rule, breakers: set[str]) -> Iterator[Finding]:
    """Follow the plus wires out of the battery without crossing the breaker; only plugs may be met."""
    passable = words(rule, "before it")
    neighbours: dict[str, set[str]] = defaultdict(set)
    for wire in plan.wires:
        if wire.kind.carries_power and Polarity.PLUS in (wire.a.polarity, wire.b.polarity):
            neighbours[wire.a.device].add(wire.b.device)
            neighbours[wire.b.device].add(wire.a.device)
    seen = {battery.id for battery in plan.robot.of_kind("battery")}
    waiting = sorted(seen)
    while waiting:
        for met in sorted(neighbours[waiting.pop()] - seen - breakers):
            seen.add(met)
            device = plan.robot.device(met)
            if device is not None and device.kind in passable:
                waiting.append(met)
            elif device is not None:
                yield _unswitched(rule, device)


def _unswitched(rule: Rule, device: Device) -> Finding:
    return fault(
        rule,
        "past-the-breaker",
        at_device(device, "from", device.feed.source),
        f"{told_as(device)} gets battery plus without passing the main breaker, so it stays live when that is open.",
        "Feed it from a slot or output behind the main breaker.",
    )


CHECKS = (
    Check(
        "breaker in the positive lead",
        "Whether the main breaker breaks the positive lead, nothing else, and all of it.",
        _in_plus_only,
        {"breaker": Word(), "before it": Several(Word())},
    ),
)
