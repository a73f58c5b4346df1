"""From planned wires to pieces, and a cut list that is read back when nothing has changed."""

from __future__ import annotations

import pytest

from loomwright.jobs import cut_list as cutting_job
from loomwright.jobs.cut_list import pieces_of
from loomwright.jobs.planning import make_plan
from loomwright.model.stock import Stock
from loomwright.plan.memory import Memory
from loomwright.plan.remembering import remembered
from loomwright.plan.result import Plan
from loomwright.robotfile.reading import read_robot
from loomwright.robotfile.rules.rulefile import read_rules
from loomwright.robotfile.stockfile import read_stock
from loomwright.search import Effort
from tests.robots import LIBRARY, example_plan

ROBOT = b"""
robot: Cut
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm}
main breaker: {part: breaker/main-120a, lead length: 20 cm}
blocks:
  block: {part: block/6-heavy-10-light-2-fused, lead length: 15 cm}
mechanisms:
  one: {motor: motor/brushless-500w, controller: controller/inline-40a, length: 80 cm}
  two: {motor: motor/brushless-500w, controller: controller/inline-40a, length: 90 cm}
  three: {motor: motor/brushless-500w, controller: controller/inline-40a, length: 60 cm}
"""
STOCK = b"""
wire:
  12 AWG: {red/black: {spools: [2 m], offcuts: [65 cm]}}
  6 AWG: enough
buy:
  12 AWG: {red/black: {length: 3 m, price: 9}}
"""


def planned(memory: Memory | None = None, *, effort: Effort = Effort.USUAL) -> Plan:
    """Plan the robot with its stock; the same digest each time."""
    robot = read_robot(ROBOT, library=LIBRARY, stock=stock(), build="")
    rules = read_rules(None, name=robot.rules)
    return make_plan(robot, rules, find_part=LIBRARY.part, memory=memory, inputs="same", effort=effort)


def stock() -> Stock:
    """Read the wire on hand."""
    return read_stock(STOCK)


def test_plus_and_minus_of_one_length_are_one_piece() -> None:
    """A branch is cut as a pair, red and black; captive leads and cables are not cut at all."""
    plan = planned()
    circuit = plan.circuit("one")
    assert circuit is not None
    (piece,) = pieces_of(circuit.wires)
    assert (piece.colours, piece.length_m, len(piece.wires)) == (("RD", "BK"), 0.8, 2)
    motor = plan.circuit("one: motor side")
    assert motor is not None
    assert not [p for p in pieces_of(motor.wires) if any(w.captive for w in motor.wires if w.id in p.wires)]


def test_every_wire_that_is_cut_is_cut_once() -> None:
    """Over a whole example: each wire of known gauge and length, captive leads and cables apart, in one piece."""
    plan = example_plan("tidepool")
    assert plan.cut is not None
    pieces = [*plan.cut.freely, *plan.cut.missing, *(p for spool in plan.cut.cuts for p in spool.pieces)]
    wires = [wire for piece in pieces for wire in piece.wires]
    due = [w.id for w in plan.wires if not w.captive and w.gauge is not None and w.length_m]
    cables = {w.id for w in plan.wires if w.a.polarity.value == "cable"}
    assert sorted(wires) == sorted(set(due) - cables)


def test_a_cut_list_worked_by_hand() -> None:
    """Pairs of 90, 80 and 60 cm; 65 cm of off-cut take the 60, the 2 m spool takes 90 and 80 (1.70, and 1 cm trim)."""
    plan = planned()
    assert plan.cut is not None
    assert not plan.cut.buys
    by_spool = {one.spool.offcut: [piece.length_m for piece in one.pieces] for one in plan.cut.cuts}
    assert by_spool == {True: [0.6], False: [0.9, 0.8]}
    assert {one.spool.offcut: round(one.left_m, 3) for one in plan.cut.cuts} == {True: 0.05, False: 0.29}


def test_a_current_cut_list_is_read_back_and_not_laid_out_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """With nothing changed the list of plan.yaml stands after a check; with another stock it is laid out anew."""
    plan = planned()
    memory = remembered(plan)

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("laid out again")

    monkeypatch.setattr(cutting_job, "cut", refuse)
    again = planned(memory)
    assert again.cut == plan.cut
    assert again.revision == plan.revision
    with pytest.raises(AssertionError, match="laid out again"):
        planned(Memory())


def test_wire_that_is_nowhere_to_be_had_is_told() -> None:
    """No spool and no shop has a red and black pair of 12 AWG that is long enough: which wires wait, and for what."""
    robot = read_robot(ROBOT, library=LIBRARY, stock=read_stock(b"wire: {12 AWG: {red/black: 20 cm}, 6 AWG: enough}\n"))
    plan = make_plan(robot, read_rules(None, name=robot.rules), find_part=LIBRARY.part)
    told = [f for f in plan.findings if f.code == "wire-missing" and "12 AWG RD" in f.what]
    assert len(told) == 1
    assert told[0].place.file == "stock.yaml"
    assert plan.cut is not None
    red = [piece for piece in plan.cut.missing if piece.colours == ("RD",)]
    assert len(red) == 3
    assert all(wire in told[0].what for piece in red for wire in piece.wires)
    assert not [f for f in planned().findings if f.code == "wire-missing"]
