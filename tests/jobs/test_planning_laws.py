"""Laws of whole plans: the file's order and names cost nothing, more load never means less copper."""

from __future__ import annotations

import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.documents.json.plan import plan_json
from loomwright.documents.spine.plan import spine_svg
from loomwright.documents.tables.csv_sheet import circuits_csv, wires_csv
from loomwright.documents.workbook.book import workbook
from loomwright.plan.memory import Memory
from loomwright.plan.result import Plan
from loomwright.robotfile.plans.planfile import read_memory, write_plan
from loomwright.search import Effort
from loomwright.wiring import CircuitKind
from tests.robots import EXAMPLES, as_text, example_plan, example_text, plan_of, robots, shuffled

_PAPERS = (write_plan, circuits_csv, wires_csv, plan_json, workbook, spine_svg)


def copper(plan: Plan) -> list[tuple[str, str, str]]:
    """Return what a plan costs: kind, gauge and length of each wire, whatever its name."""
    return sorted((str(w.kind), str(w.gauge), str(w.length_m)) for w in plan.wires)


def seats(plan: Plan) -> dict[str, tuple[float | None, str]]:
    """Return the protection [A] of each circuit and the sort of its slot, by its name."""
    return {c.circuit.id: (c.protection_a.value, (c.slot.value or "")[:1]) for c in plan.circuits}


def proved_cost(plan: Plan) -> tuple[float, float] | None:
    """Return what the slots of a plan break and cost [mm] where that is proved best, else None."""
    proof = plan.slots.certificate if plan.slots is not None else None
    return (proof.breaks, proof.cost) if proof is not None and proof.gap == 0 else None


def gauge_number(plan: Plan, circuit: str) -> int:
    """Return the AWG number of a circuit; smaller is thicker."""
    found = plan.circuit(circuit)
    assert found is not None
    assert found.gauge.value is not None, found.gauge.reason
    return found.gauge.value.number


@given(robots(), st.integers(0, 99))
@settings(max_examples=25)
def test_reordering_the_file_changes_nothing(data: dict[str, Any], seed: int) -> None:
    """Keys in another order give the same decisions, wire ids and all."""
    assert plan_of(as_text(data)).revision == plan_of(as_text(shuffled(data, seed))).revision


@pytest.mark.parametrize("name", EXAMPLES)
def test_planning_twice_gives_the_same_bytes(name: str) -> None:
    """Every paper of a plan is the same to the byte when it is made again, also with the memory of the first."""
    first = example_plan(name)
    again = plan_of(example_text(name), effort=Effort.USUAL)
    for paper in _PAPERS:
        assert paper(first) == paper(again), paper.__name__
    memory = read_memory(write_plan(first), "plan.yaml")
    remembering = plan_of(example_text(name), memory=memory, effort=Effort.USUAL)
    assert remembering.revision == first.revision
    assert remembering.next_wire == first.next_wire


@given(robots(most_motors=16))
@settings(max_examples=15)
def test_renaming_changes_no_cost(data: dict[str, Any]) -> None:
    """Other names for the motors, in another order of the alphabet, cost the same slots and the same copper.

    Names settle only which of several motors gets the better slot where the slots' costs are even (all of a row, say,
    but one). The copper is then that of other ends, so it is compared where no motor has changed its protection or gone
    from a heavy slot to a light one.
    """
    text = as_text(data)
    renamed = re.sub(r"\bmotor (\d+)\b", lambda found: f"arm {99 - int(found[1])}", text)
    plan, other = plan_of(text, effort=Effort.USUAL), plan_of(renamed, effort=Effort.USUAL)
    assert proved_cost(plan) == proved_cost(other)
    back = {re.sub(r"\barm (\d+)\b", lambda found: f"motor {99 - int(found[1])}", name): name for name in seats(other)}
    if seats(plan) == {name: seats(other)[new] for name, new in back.items()}:
        assert copper(plan) == copper(other)


@given(st.lists(st.integers(1, 9), min_size=1, max_size=5), st.integers(1, 9))
@settings(max_examples=20)
def test_adding_a_load_never_shrinks_a_feeder(loads: list[int], more: int) -> None:
    """Whatever hangs on a sub-block, one thing more makes its feeder as thick or thicker, and its current no less."""

    def plan(draws: list[int]) -> Plan:
        things = {f"box {n}": {"part": "device/any", "from": "sub", "draw": f"{a} A"} for n, a in enumerate(draws)}
        feeder = {"part": "block/sub-6-light", "from": "block", "length": "3 m"}
        return plan_of(
            as_text(
                {
                    "robot": "T",
                    "battery": {"part": "battery/agm-12v-18ah"},
                    "blocks": {"block": {"part": "block/12-heavy-12-light-2-fused"}, "sub": feeder},
                    "electronics": things,
                }
            )
        )

    before, after = plan(loads), plan([*loads, more])
    assert gauge_number(after, "sub") <= gauge_number(before, "sub")
    currents = [p.circuit("sub") for p in (before, after)]
    assert currents[0] is not None
    assert currents[1] is not None
    assert (currents[1].current.value or 0) >= (currents[0].current.value or 0)


@given(st.integers(30, 600), st.integers(30, 600))
@settings(max_examples=25)
def test_a_longer_run_is_never_thinner(one_cm: int, other_cm: int) -> None:
    """The same circuit on a longer way takes as much copper or more."""

    def number(length_cm: int) -> int:
        motor = {"motor": "motor/brushed-340w", "controller": "controller/inline-40a", "length": f"{length_cm} cm"}
        robot = {
            "robot": "T",
            "battery": {"part": "battery/agm-12v-18ah"},
            "blocks": {"block": {"part": "block/6-heavy-10-light-2-fused"}},
            "mechanisms": {"lift": motor},
        }
        found = plan_of(as_text(robot)).circuit("lift")
        assert found is not None
        assert found.sizing is not None
        return found.sizing.shown_for.number

    short, far = sorted((one_cm, other_cm))
    assert number(far) <= number(short)


def test_wire_ids_stay_when_the_robot_changes() -> None:
    """A wire keeps its id when others come and go, and a number that was given away is never used again."""
    text = example_text("tidepool")
    first = plan_of(text)
    memory = read_memory(write_plan(first), "plan.yaml")
    without = plan_of(text, build="practice", memory=memory)
    ids = {wire.key: wire.id for wire in first.wires}
    assert all(ids[wire.key] == wire.id for wire in without.wires if wire.key in ids)
    later = Memory(wires={w.key: w.id for w in without.wires}, next_wire=without.next_wire)
    back = plan_of(text, memory=later)
    gone = set(ids.values()) - {wire.id for wire in without.wires}
    assert gone
    assert not gone & {wire.id for wire in back.wires}


@given(robots())
@settings(max_examples=15)
def test_every_paper_can_be_made_of_every_plan(data: dict[str, Any]) -> None:
    """No robot that can be read breaks a writer."""
    plan = plan_of(as_text(data))
    for paper in _PAPERS:
        assert paper(plan)


def test_every_power_wire_has_a_gauge_and_both_its_treatments() -> None:
    """In the examples nothing that is cut is left without a gauge, and nothing that is made without a treatment."""
    for name in EXAMPLES:
        for circuit in example_plan(name).circuits:
            for wire in circuit.wires:
                cable = str(wire.a.polarity) == "cable"
                assert wire.gauge is not None or cable, f"{name}: {wire.id} has no gauge"
                made = [end for end in (wire.a, wire.b) if end.treatment is not None]
                assert len(made) == (1 if wire.captive else 2), f"{name}: {wire.id} {wire.role} of {circuit.id}"


def test_every_decision_has_a_reason() -> None:
    """Slot, protection, current, length and gauge of every circuit say why they are so."""
    for name in EXAMPLES:
        for circuit in example_plan(name).circuits:
            told = (circuit.slot, circuit.protection_a, circuit.current, circuit.length, circuit.gauge)
            assert all(held.reason for held in told), f"{name}: {circuit.id}"
            if circuit.circuit.kind in (CircuitKind.BRANCH, CircuitKind.FEEDER):
                assert circuit.sizing is not None
                assert circuit.sizing.constraints
