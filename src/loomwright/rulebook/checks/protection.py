"""Breakers and fuses: a rating that the slot takes, that the load wants, that the feed can bear."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.model.fact import Fact
from loomwright.model.reason import Origin
from loomwright.rulebook.check import Check
from loomwright.rulebook.lookup import called, is_a, outlet_of, slot_of, source_of, told_as
from loomwright.rulebook.parameters import Amount, Several, Table, Word, amounts, words
from loomwright.rulebook.telling import at_circuit, fault, fault_or_question, guessed
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind
from loomwright.wording import listed

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan, PlannedCircuit

_SAME = 1e-6


def _fits_slot(plan: Plan, rule: Rule) -> Iterator[Finding]:
    for circuit in plan.circuits:
        outlet, rating = outlet_of(plan, circuit), circuit.protection_a.value
        if outlet is None or rating is None or not outlet.ratings_a or _one_of(rating, outlet.ratings_a):
            continue
        wish = _wish(plan, circuit)
        yield fault_or_question(
            rule,
            "protection-not-for-slot",
            at_circuit(circuit, protection=wish, slot=circuit.circuit.slot),
            f"{called(plan, circuit.circuit.load)} has {_amps(rating)} on slot {slot_of(circuit)} of "
            f"{source_of(circuit)}, which takes {_amps(*outlet.ratings_a)}.",
            "Use a rating that the slot takes, or another slot.",
            doubtful=guessed(wish, circuit.circuit.slot),
        )


def _fits_feed(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Find feeds whose part names the one protection that it wants, and that carry another."""
    for circuit in plan.circuits:
        rating, wanted, exact = _wanted(plan, circuit)
        if not exact or rating is None or not wanted or _one_of(rating, wanted):
            continue
        wish = _wish(plan, circuit)
        yield fault_or_question(
            rule,
            "wrong-fuse",
            at_circuit(circuit, protection=wish),
            f"The feed of {called(plan, circuit.circuit.load)} has {_amps(rating)}; it wants {_amps(*wanted)}.",
            f"Use {_amps(*wanted)}, on an outlet that takes it.",
            doubtful=guessed(wish),
        )


def _not_above_load(plan: Plan, rule: Rule) -> Iterator[Finding]:
    for circuit in plan.circuits:
        rating, wanted, exact = _wanted(plan, circuit)
        if exact or rating is None or not wanted or rating <= max(wanted) + _SAME:
            continue
        wish = _wish(plan, circuit)
        yield fault_or_question(
            rule,
            "protection-above-load",
            at_circuit(circuit, protection=wish),
            f"{called(plan, circuit.circuit.load)} has {_amps(rating)}; its part bears {_amps(max(wanted))} at most.",
            f"Use {_amps(*wanted)}.",
            doubtful=guessed(wish),
        )


def _at_most(plan: Plan, rule: Rule) -> Iterator[Finding]:
    limits = amounts(rule, "of")
    for circuit in plan.circuits:
        load, rating = plan.robot.device(circuit.circuit.load), circuit.protection_a.value
        if load is None or rating is None:
            continue
        most = min((limit for part, limit in limits.items() if is_a(load.part, part)), default=None)
        if most is not None and rating > most + _SAME:
            yield fault_or_question(
                rule,
                "protection-too-large",
                at_circuit(circuit, protection=load.wishes.protection),
                f"{called(plan, load.id)} has {_amps(rating)}; this kind of load may have {_amps(most)} at most.",
                f"Use {_amps(most)} or less.",
                doubtful=guessed(load.wishes.protection),
            )


def _protected(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Find wires on a bare outlet of the battery path or of a block; electronic outputs guard themselves."""
    bare = words(rule, "sources")
    for circuit in plan.circuits:
        source, outlet = plan.robot.device(source_of(circuit)), outlet_of(plan, circuit)
        if source is None or outlet is None or source.kind not in bare:
            continue
        if circuit.protection_a.value is None and outlet.limit_a is None:
            yield fault(
                rule,
                "not-protected",
                at_circuit(circuit),
                f"Nothing protects the wires of {circuit.id}: {outlet.name} of {told_as(source)} has neither breaker "
                "nor fuse.",
                "Put it on a slot with a breaker or a fuse.",
            )


def _sub_block(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Find sub-blocks whose loads together ask for more than the one protection that feeds them."""
    for feed in plan.circuits:
        load, rating = plan.robot.device(feed.circuit.load), feed.protection_a.value
        if feed.circuit.kind not in (CircuitKind.FEEDER, CircuitKind.BRANCH) or load is None or load.kind != "block":
            continue
        behind = [c for c in plan.circuits if source_of(c) == load.id and c.sustained.value is not None]
        total = sum(c.sustained.value or 0.0 for c in behind)
        if rating is not None and total > rating + _SAME:
            assumed = any(c.sustained.origin is Origin.ASSUMED for c in behind)
            yield fault(
                rule,
                "sub-block-overloaded",
                at_circuit(feed, protection=load.wishes.protection),
                f"{called(plan, load.id)} feeds {_amps(total)} in all, and its own feed holds {_amps(rating)}.",
                "Move a load to the main block, or feed the sub-block from a larger slot.",
                rests_on=("assumed currents of some loads",) if assumed else (),
            )


def _wanted(plan: Plan, circuit: PlannedCircuit) -> tuple[float | None, tuple[float, ...], bool]:
    """Return the rating a feed has, those its part wants, and whether nothing else will do."""
    load = plan.robot.device(circuit.circuit.load)
    if load is None:
        return None, (), False
    return circuit.protection_a.value, load.part.wants_protection_a, load.part.required_protection


def _wish(plan: Plan, circuit: PlannedCircuit) -> Fact[float]:
    load = plan.robot.device(circuit.circuit.load)
    return load.wishes.protection if load else Fact()


def _one_of(rating: float, ratings: tuple[float, ...]) -> bool:
    return any(abs(rating - one) <= _SAME for one in ratings)


def _amps(*amounts_a: float) -> str:
    return listed([show(amount_a, Dimension.CURRENT) for amount_a in amounts_a])


CHECKS = (
    Check("protection fits slot", "Whether a breaker or fuse has a rating that its slot takes.", _fits_slot),
    Check("protection fits feed", "Whether a feed that wants one certain fuse has another.", _fits_feed),
    Check(
        "protection not above load", "Whether a breaker or fuse is larger than its load is made for.", _not_above_load
    ),
    Check(
        "protection at most",
        "Whether a kind of load has a larger breaker or fuse than the rule allows.",
        _at_most,
        {"of": Table(Word(), Amount(Dimension.CURRENT))},
    ),
    Check(
        "protected",
        "Whether a circuit has no breaker or fuse at all.",
        _protected,
        {"sources": Several(Word())},
    ),
    Check(
        "sub-block within its feed", "Whether the loads of a sub-block add up to more than its feed holds.", _sub_block
    ),
)
