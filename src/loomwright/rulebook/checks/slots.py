"""Slots: one circuit each, one slot a motor, every motor on one, what is kept free stays free."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.model.part import Role
from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import called, fed_from_slot, feeds, is_fed, slot_of, source_of, told_as
from loomwright.rulebook.parameters import Several, Word, words
from loomwright.rulebook.telling import at_circuit, at_device, fault, fault_or_question, guessed, names, question

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan, PlannedCircuit


def _one_circuit(plan: Plan, rule: Rule) -> Iterator[Finding]:
    on_slot: dict[tuple[str, str], list[PlannedCircuit]] = defaultdict(list)
    for circuit in plan.circuits:
        if fed_from_slot(circuit) and source_of(circuit) and slot_of(circuit):
            on_slot[source_of(circuit), slot_of(circuit)].append(circuit)
    for (source, slot), circuits in on_slot.items():
        if len(circuits) > 1:
            last = max(circuits, key=lambda c: c.circuit.slot.mark or c.circuit.mark)
            together = "both" if len(circuits) == 2 else "all"  # noqa: PLR2004  two are both
            yield fault_or_question(
                rule,
                "slot-used-twice",
                at_circuit(last, slot=last.circuit.slot),
                f"{names(sorted(c.id for c in circuits))} are {together} on slot {slot} of {source}.",
                "Give each circuit a slot of its own: change `slot:` of one, or leave it out and let the plan choose.",
                doubtful=any(_doubtful(plan, c) for c in circuits),
            )


def _doubtful(plan: Plan, circuit: PlannedCircuit) -> bool:
    load = plan.robot.device(circuit.circuit.load)
    unsure = load is not None and (load.present.asks or guessed(load.present))
    return unsure or guessed(circuit.circuit.slot)


def _one_slot(plan: Plan, rule: Rule) -> Iterator[Finding]:
    by_load: dict[tuple[str, str], list[PlannedCircuit]] = defaultdict(list)
    for circuit in plan.circuits:
        if fed_from_slot(circuit):
            by_load[circuit.circuit.load, circuit.circuit.load_socket].append(circuit)
            yield from _said_to_be_on_several(plan, rule, circuit)
    for (load, _), circuits in by_load.items():
        spots = sorted({f"{slot_of(c)} of {source_of(c)}" for c in circuits if slot_of(c)})
        if len(spots) > 1:
            last = max(circuits, key=lambda c: c.circuit.slot.mark or c.circuit.mark)
            yield fault_or_question(
                rule,
                "load-on-two-slots",
                at_circuit(last, slot=last.circuit.slot),
                f"{called(plan, load)} is on slots {names(spots)}.",
                "A device has one feed. Trace its wires, and name the one slot that it is really on.",
                doubtful=any(guessed(c.circuit.slot) for c in circuits),
            )


def _said_to_be_on_several(plan: Plan, rule: Rule, circuit: PlannedCircuit) -> Iterator[Finding]:
    """Ask about claims that put one load on different slots."""
    slot = circuit.circuit.slot
    if slot.asks and len(set(slot.values)) > 1:
        yield question(
            rule,
            "load-on-two-slots",
            at_circuit(circuit, slot=slot),
            f"{called(plan, circuit.circuit.load)} is said to be on slot {slot.describe()}.",
            "Trace its wires to the block, then write the one slot, such as "
            f"`slot: {{value: {slot.values[0]}, state: traced}}`.",
        )


def _has_slot(plan: Plan, rule: Rule) -> Iterator[Finding]:
    for circuit in plan.circuits:
        if not is_fed(circuit) or slot_of(circuit) or circuit.circuit.slot.asks:
            continue
        if plan.robot.asks and circuit.circuit.slot.open_to_decide:
            continue  # asked together with everything else that such a file leaves out
        load = called(plan, circuit.circuit.load)
        if circuit.circuit.slot.said:
            yield question(
                rule,
                "no-slot",
                at_circuit(circuit, slot=circuit.circuit.slot),
                f"{load} may be on slot {circuit.circuit.slot.describe()}, and none of these could be chosen.",
                "Free one of these slots, or name another one.",
            )
            continue
        reason = f": {circuit.slot.reason.rstrip('.')}" if circuit.slot.reason else ""
        yield fault(
            rule,
            "no-slot",
            at_circuit(circuit, slot=circuit.circuit.slot),
            f"{load} has no {'slot' if fed_from_slot(circuit) else 'output'}{reason}.",
            "Free a slot with a fitting protection, add a block, or take something off the robot."
            if fed_from_slot(circuit)
            else "Name another thing that feeds it with `from:`, or add one: each output's terminals hold one wire.",
        )
    yield from _motors_without_feed(plan, rule)


def _motors_without_feed(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Ask about motors that nothing feeds, where the wiring has not asked already."""
    asked = tuple(finding.place.thing for finding in plan.wiring.questions)
    for motor in plan.robot.of_kind("motor"):
        fed = feeds(plan, motor.driven_by or motor.id)
        if fed or any(thing.startswith(motor.path) for thing in asked):
            continue
        yield question(
            rule,
            "motor-not-fed",
            at_device(motor, "", motor.feed.slot, motor.feed.source),
            f"Nothing feeds {told_as(motor)}: no circuit of the plan leads to it.",
            "Name its controller (`controller: ...`) and what feeds it (`from: ...` or `slot: ...`).",
        )


def _kept_free(plan: Plan, rule: Rule) -> Iterator[Finding]:
    for circuit in plan.circuits:
        source = plan.robot.device(source_of(circuit))
        kept = source.reserved.get(slot_of(circuit)) if source else None
        load = called(plan, circuit.circuit.load)
        if source is None or kept is None or kept.value is None or load in kept.value:
            continue
        yield fault(
            rule,
            "slot-kept-free",
            at_circuit(circuit, slot=circuit.circuit.slot),
            f"{load} is on slot {slot_of(circuit)} of {told_as(source)}, which is kept free for {kept.value}.",
            f"Move {load} to another slot, or take {slot_of(circuit)} out of `reserved`.",
        )


def _free(plan: Plan, rule: Rule) -> Iterator[Finding]:
    kinds = words(rule, "of")
    for block in plan.robot.of_kind(*kinds):
        here = [c for c in plan.circuits if source_of(c) == block.id]
        undecided = any(fed_from_slot(c) and not slot_of(c) and block.id in c.circuit.sources for c in plan.circuits)
        slots = [s for s in block.part.with_role(Role.OUTLET) if s.ratings_a]
        if not slots or undecided:
            continue
        taken = {slot_of(c) for c in here}
        free = [s.name for s in slots if s.name not in taken]
        kept = [name for name in free if name in block.reserved]
        yield fault(rule, "free-slots", at_device(block), *_free_in_words(block, len(slots), free, kept))


def _free_in_words(block: Device, count: int, free: list[str], kept: list[str]) -> tuple[str, str]:
    name = told_as(block)
    if not free:
        return f"{name} has no free slot left of {count}.", "Plan for this before something is added in the last week."
    aside = f"; {names(kept)} {'is' if len(kept) == 1 else 'are'} kept free on purpose" if kept else ""
    what = f"{name} has {len(free)} of {count} slots free: {names(free)}{aside}."
    return (
        what,
        "Nothing to do. Leave the breaker or fuse out of a free slot, and keep swarf and stray wires out of it.",
    )


CHECKS = (
    Check("one circuit a slot", "Whether two circuits share a slot.", _one_circuit),
    Check("one slot a load", "Whether one thing is on two slots, or is said to be.", _one_slot),
    Check("every load has a slot", "Whether a load has no slot, or a motor has no feed.", _has_slot),
    Check("slots kept free", "Whether a circuit stands on a slot that is kept free for something else.", _kept_free),
    Check("free slots", "How many slots are left.", _free, {"of": Several(Word())}),
)
