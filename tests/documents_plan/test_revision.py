"""The revision changes with every decision, and with nothing else; and plan.yaml shows what changed."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from loomwright.cutting.result import CutPlan, SpoolCut
from loomwright.model.part import Polarity
from loomwright.model.reason import Origin
from loomwright.plan.result import PlannedCircuit, PlannedWire
from loomwright.plan.revision import revision_of
from loomwright.robotfile.plans.planfile import write_plan
from loomwright.units import Gauge
from loomwright.wiring.treatment import Treatment
from tests.documents_plan.factories import CLAMP, branch, chain, end, plan, reasoned, sizing
from tests.plan.decided import decided

Change = Callable[[PlannedCircuit], PlannedCircuit]


def first_wire(**said: object) -> Change:
    """Change one wire of a circuit."""

    def change(circuit: PlannedCircuit) -> PlannedCircuit:
        wires: tuple[PlannedWire, ...] = (replace(circuit.wires[0], **said), *circuit.wires[1:])  # type: ignore[arg-type]
        return replace(circuit, wires=wires)

    return change


def end_b(treatment: Treatment | None) -> Change:
    """Change what is done to end B."""
    return first_wire(b=end("B", "left front controller", Polarity.PLUS, done=treatment))


DECISIONS: dict[str, Change] = {
    "source": lambda c: replace(c, source="sub-block"),
    "slot": lambda c: replace(c, slot=reasoned("H4", "the first heavy slot that is free")),
    "rating": lambda c: replace(c, protection_a=reasoned(30.0, "", "")),
    "no rating": lambda c: replace(c, protection_a=reasoned(None)),
    "family of protection": lambda c: replace(c, protection="fuse/blade"),
    "gauge": lambda c: replace(c, gauge=reasoned(Gauge(10))),
    "no gauge": lambda c: replace(c, gauge=reasoned(None)),
    "length": lambda c: replace(c, length=reasoned(0.854)),
    "no length": lambda c: replace(c, length=reasoned(None)),
    "wire left out": lambda c: replace(c, wires=c.wires[1:]),
    "wire id": first_wire(id="W99"),
    "wire role": first_wire(role="plus 2"),
    "wire gauge": first_wire(gauge=Gauge(10)),
    "wire colour": first_wire(colour="WH"),
    "wire length": first_wire(length_m=0.854),
    "wire twisted": first_wire(twisted_with="W2"),
    "wire captive": first_wire(captive=True),
    "wire path": first_wire(path=("centre", "left rail")),
    "wire path turned": first_wire(path=("left rail", "centre")),
    "end device": first_wire(a=end("A", "other block", Polarity.PLUS, socket="H3")),
    "end socket": first_wire(a=end("A", "block", Polarity.PLUS, socket="H4")),
    "end polarity": first_wire(a=end("A", "block", Polarity.MINUS, socket="H3")),
    "ends swapped": lambda c: replace(c, wires=(replace(c.wires[0], a=c.wires[0].b, b=c.wires[0].a), *c.wires[1:])),
    "end not made": end_b(None),
    "terminal": end_b(replace(CLAMP, terminal="ferrule")),
    "strip": end_b(replace(CLAMP, strip_m=0.011)),
    "folded": end_b(replace(CLAMP, folded=True)),
    "tool": end_b(replace(CLAMP, tool="ferrule crimper")),
    "insulation": end_b(replace(CLAMP, insulation="heat-shrink")),
}

NO_DECISIONS: dict[str, Change] = {
    "reason": lambda c: replace(
        c, slot=replace(c.slot, reason="another reason", origin=Origin.GIVEN, source="robot.yaml:1:1")
    ),
    "current": lambda c: replace(c, current=reasoned(39.0), sustained=reasoned(1.0)),
    "proof": lambda c: replace(c, sizing=sizing(drop_v=0.1, sources=())),
    "no sizing": lambda c: replace(c, sizing=None),
    "curve": lambda c: replace(c, trip_curve=(), curve_assumed=False),
    "rounding noise": lambda c: replace(c, length=reasoned(0.853 + 1e-12), protection_a=reasoned(40.0 + 1e-12)),
    "words for a place": lambda c: replace(
        c, wires=tuple(replace(w, a=replace(w.a, where="other words", port=None)) for w in c.wires)
    ),
    "advice on an end": lambda c: replace(
        c,
        wires=tuple(
            replace(w, a=replace(w.a, treatment=replace(CLAMP, good="other words", pull_n=1.0, source="from memory")))
            for w in c.wires
        ),
    ),
    "order of wires": lambda c: replace(c, wires=tuple(reversed(c.wires))),
}


@pytest.mark.parametrize("name", DECISIONS)
def test_a_decision_changes_the_revision_and_shows_in_the_plan_file(name: str) -> None:
    before = branch("left front", 1)
    after = DECISIONS[name](before)
    assert revision_of([before]) != revision_of([after])
    assert write_plan(plan((before,), revision="")) != write_plan(plan((after,), revision=""))


@pytest.mark.parametrize("name", NO_DECISIONS)
def test_what_is_no_decision_leaves_the_revision_alone(name: str) -> None:
    before = branch("left front", 1)
    after = NO_DECISIONS[name](before)
    assert after != before
    assert revision_of([before]) == revision_of([after])


def test_every_change_gives_a_revision_of_its_own() -> None:
    revisions = {revision_of([change(branch("left front", 1))]) for change in DECISIONS.values()}
    assert len(revisions) == len(DECISIONS)


def test_the_order_of_circuits_does_not_count_but_each_circuit_does() -> None:
    held = [chain(), branch("left front", 1), branch("right front", 3)]
    assert revision_of(held) == revision_of(reversed(held))
    assert revision_of(held) != revision_of(held[:2])


def test_a_revision_is_short_enough_to_compare_by_eye() -> None:
    assert re.fullmatch(r"[0-9a-f]{8}", revision_of(plan().circuits))


def test_the_revision_of_a_known_plan_never_changes_by_itself() -> None:
    """Sheets that hang in the pit carry it: a release that renames every plan must do so knowingly."""
    assert revision_of(plan().circuits) == "187b51d7"


def cut_with(*cuts: SpoolCut) -> str:
    """Name one set of circuits with this cut list."""
    return revision_of(plan().circuits, CutPlan(cuts=cuts))


def test_which_pieces_are_cut_from_which_spool_counts() -> None:
    first, second = (decided(plan()).cut or CutPlan()).cuts
    other = [
        revision_of(plan().circuits),
        cut_with(first, second),
        cut_with(first),
        cut_with(first, replace(second, pieces=second.pieces[::-1])),
        cut_with(first, replace(second, spool=replace(second.spool, name="shelf 3"))),
        cut_with(first, replace(second, bought=None)),
        cut_with(replace(first, pieces=(*first.pieces, *second.pieces)), replace(second, pieces=())),
    ]
    assert len(set(other)) == len(other)


def test_the_order_of_spools_and_what_is_left_of_them_does_not_count() -> None:
    first, second = (decided(plan()).cut or CutPlan()).cuts
    assert cut_with(first, second) == cut_with(second, first)
    assert cut_with(first, second) == cut_with(replace(first, left_m=0.1, kept=False), second)
    assert revision_of(plan().circuits, CutPlan()) == revision_of(plan().circuits)


def test_a_later_proof_of_the_same_answer_changes_no_revision() -> None:
    """Sheets that hang in the pit stay good when a night of searching shows that nothing is better."""
    held = decided(plan())
    assert held.cut is not None
    assert held.cut.certificate is not None
    proved = replace(held.cut, certificate=replace(held.cut.certificate, bound=held.cut.certificate.cost))
    assert proved.certificate != held.cut.certificate
    assert revision_of(held.circuits, proved) == revision_of(held.circuits, held.cut)
