"""Wire colours: plus and minus can be told apart without a meter."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.catalogue.colours import colour_words
from loomwright.model.fact import Fact
from loomwright.model.part import Polarity
from loomwright.rulebook.check import Check
from loomwright.rulebook.minimum import WITH_STRIPE, colour_allowed
from loomwright.rulebook.parameters import Colour, Several, Word, word, words
from loomwright.rulebook.telling import at_circuit, fault_or_question, guessed
from loomwright.wiring.result import CircuitKind
from loomwright.wording import listed

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.model.rules import Rule
    from loomwright.plan.result import Plan, PlannedCircuit

# A motor's two wires change polarity while it runs, and signal leads follow their plugs.
_CONSTANT = (CircuitKind.MAIN, CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)


def _by_polarity(plan: Plan, rule: Rule) -> Iterator[Finding]:
    """Find wires of a wrong colour; a device's own captive leads are exempt."""
    polarity = Polarity(word(rule, "polarity"))
    allowed = [_in_words(code) for code in words(rule, "allowed")]
    for circuit in plan.circuits:
        if circuit.circuit.kind not in _CONSTANT:
            continue
        wires = [w for w in circuit.wires if w.a.polarity is polarity and w.colour and not w.captive]
        wrong = [w for w in wires if not colour_allowed(plan.rules, polarity, w.colour)]
        if wrong:
            wish = _colour_wish(plan, circuit, polarity)
            yield fault_or_question(
                rule,
                "colour-not-allowed",
                at_circuit(circuit, **{f"{polarity}_colour": wish}),
                f"The {polarity} wire {listed([w.id for w in wrong], 'and')} of {circuit.id} is "
                f"{_in_words(wrong[0].colour)}; {polarity} wires are {listed(allowed)}.",
                f"Use {allowed[0]}, or another of these colours.",
                doubtful=guessed(wish),
            )


def _colour_wish(plan: Plan, circuit: PlannedCircuit, polarity: Polarity) -> Fact[str]:
    load = plan.robot.device(circuit.circuit.load)
    if load is None:
        return Fact()
    return load.wishes.plus_colour if polarity is Polarity.PLUS else load.wishes.minus_colour


def _in_words(code: str) -> str:
    """Write a colour out; what is no code stays as it is."""
    body, striped, _ = code.partition(WITH_STRIPE)
    try:
        return colour_words(body) + (" with a stripe" if striped else "")
    except KeyError:
        return code


CHECKS = (
    Check(
        "colour by polarity",
        "Whether a wire of constant polarity has a colour that is allowed for it.",
        _by_polarity,
        {"polarity": Word(("plus", "minus")), "allowed": Several(Colour())},
    ),
)
