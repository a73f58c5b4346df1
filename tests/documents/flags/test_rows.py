"""Which flags a plan has, in which order, and what they say."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomwright.documents.flags.rows import flags
from loomwright.documents.tables.wiring import circuit_rows, wire_rows
from tests.documents.flags.robots_with_flags import example, unknowns
from tests.robots import EXAMPLES


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_wire_has_a_flag_for_each_end_that_says_what_the_plan_says(name: str) -> None:
    """Id, use, slot and places are those of the wire table, the slot with its device that of the circuit table."""
    plan = example(name)
    slots = {row.circuit: (row.source, row.slot) for row in circuit_rows(plan)}
    found = {(flag.id, flag.letter): flag for flag in flags(plan)}
    assert len(found) == len(flags(plan)) == 2 * len(plan.wires)
    for row in wire_rows(plan):
        source, slot = slots[row.circuit]
        for letter, here, there in (("A", row.a, row.b), ("B", row.b, row.a)):
            flag = found[row.wire, letter]
            assert (flag.use, flag.where, flag.far) == (row.use, here.where, there.where)
            assert flag.slot == (slot if slot == "-" else f"{source} {slot}")
            assert flag.code.split("\n")[0] == f"{row.wire} {letter}"
            assert flag.code.split("\n")[-1] == f"plan: {plan.revision}"


def test_flags_come_in_the_order_of_building_end_a_before_end_b() -> None:
    """Wires in the order that was given, those that it leaves out behind them as in the wire table."""
    plan = example("rockpool")
    table = [row.wire for row in wire_rows(plan)]
    first = list(reversed(table[:6]))
    found = [(flag.id, flag.letter) for flag in flags(plan, order=first)]
    assert found == [(wire, letter) for wire in [*first, *table[6:]] for letter in "AB"]
    assert [flag.id for flag in flags(plan)][::2] == table


def test_an_order_of_other_wires_is_refused() -> None:
    """An order that belongs to another plan is told, with the ids; so is one that names a wire twice."""
    with pytest.raises(ValueError, match=r"does not have: W998 and W999$"):
        flags(example("rockpool"), order=["W1", "W998", "W999"])
    with pytest.raises(ValueError, match="names a wire twice"):
        flags(example("rockpool"), order=["W1", "W2", "W1"])


def test_a_lead_that_a_part_brings_has_flags_where_somebody_joins_it() -> None:
    """The motor's captive leads are joined to the controller's by hand, and told apart there."""
    joined = [flag for flag in flags(example("tidepool")) if flag.use == "lift motor, phase a"]
    assert [flag.letter for flag in joined] == ["A", "B"]
    assert {flag.outside_mm for flag in joined} == {3.94}


def test_what_is_unknown_is_told_as_unknown() -> None:
    """A slot and a gauge that wait for an answer say so, on the flag and in the code; a thickness is not guessed."""
    arm = next(circuit for circuit in unknowns().circuits if circuit.id == "arm")
    open_gauge = replace(arm, wires=tuple(replace(wire, gauge=None) for wire in arm.wires))
    plus = flags(replace(unknowns(), circuits=(open_gauge,)))[0]
    assert (plus.slot, plus.gauge, plus.outside_mm) == ("unknown", "gauge unknown RD", None)
    assert plus.code.split("\n")[2] == "gauge unknown RD"
    assert plus.code.split("\n")[5] == "slot: unknown"


def test_no_flag_stammers_and_a_main_lead_says_where_it_leads() -> None:
    """A socket that is called by its cable is not told twice; a main lead is not for the block alone."""
    for name in EXAMPLES:
        for one in flags(example(name)):
            assert len(set(one.where.split()[-2:])) == 2, one.where
    assert [one.where for one in flags(example("tidepool")) if one.id == "W44"] == [
        "regulator radio cable",
        "radio supply by cable",
    ]
    assert {one.use for one in flags(example("tidepool")) if one.id == "W2"} == {"battery plug to main breaker, plus"}


def test_a_ready_made_cable_says_so() -> None:
    """It has no gauge to tell, and its thickness is not known."""
    cable = next(flag for flag in flags(example("breakwater")) if flag.gauge == "ready-made cable")
    assert (cable.outside_mm, cable.code.split("\n")[2]) == (None, "ready-made cable")
