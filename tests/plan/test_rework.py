"""What a new plan means for wires that are made: each thing that must change, and everything that may stay."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomwright.model.device import Feed, Hookup, Wishes
from loomwright.model.fact import Fact, State
from loomwright.model.part import Part, Polarity
from loomwright.model.robot import House
from loomwright.plan.fitted import as_reported, made_wires, said_fitted
from loomwright.plan.memory import Memory
from loomwright.plan.remembering import remembered
from loomwright.plan.result import Plan, PlannedWire
from loomwright.plan.rework import Rework, Step, rework
from loomwright.units import Gauge
from tests.documents_plan.factories import CLAMP, CONTROLLER, branch, chain, end, plan, reasoned, robot

PLUS, MINUS = ("left front", "plus"), ("left front", "minus")
BOTH = frozenset({PLUS, MINUS})


def one(**said: object) -> Plan:
    """Plan one branch whose plus wire is W1 and says this."""
    held = branch("left front", 1)
    return plan((replace(held, wires=(replace(held.wires[0], **said), held.wires[1])),))  # type: ignore[arg-type]


def told(after: Plan, *, before: Memory | None = None, made: frozenset[tuple[str, str]] = BOTH) -> Rework:
    """Compare a plan with that of a plain branch whose two wires are made."""
    return rework(before or remembered(one()), after, made)


def only(steps: tuple[Step, ...]) -> Step:
    """Give the one step there is."""
    (step,) = steps
    return step


def test_a_plan_that_stays_asks_for_nothing() -> None:
    found = told(one())
    assert not found.changes
    assert (found.keep, found.waiting) == (("W1", "W2"), ())
    assert rework(remembered(one()), one(), ()).waiting == ("W1", "W2")


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"gauge": Gauge(10)}, "10 AWG instead of 12 AWG"),
        ({"colour": "WH"}, "WH instead of RD"),
        ({"length_m": 0.929}, "92.9 cm instead of 85.3 cm"),
        ({"captive": True}, "the part's own lead instead of a wire"),
    ],
)
def test_what_makes_a_made_wire_useless(said: dict[str, object], why: str) -> None:
    """Another gauge or colour, or more length than a loop can give: the wire comes out, and is made anew by its id."""
    found = told(one(**said))
    step = only(found.undo)
    assert (step.id, step.whole, step.ends, step.why) == ("W1", True, ("A", "B"), (why,))
    assert (step.a, step.b) == ("block H3 plus", "left front controller plus")
    assert only(found.make).id == "W1"
    assert only(found.make).wire == remembered(one(**said)).kept_wires[PLUS]
    assert found.keep == ("W2",)


@pytest.mark.parametrize(
    ("said", "ends", "why"),
    [
        ({"a": end("A", "block", Polarity.PLUS, socket="H5")}, "A", "block H5 plus instead of block H3 plus"),
        (
            {"a": end("A", "block", Polarity.PLUS, socket="H3", done=replace(CLAMP, terminal="ferrule"))},
            "A",
            "ferrule instead of bare end",
        ),
        (
            {"b": end("B", "other controller", Polarity.PLUS)},
            "B",
            "other controller plus instead of left front controller plus",
        ),
        ({"length_m": 0.853 - 0.075}, "B", "77.8 cm instead of 85.3 cm"),
    ],
)
def test_what_makes_an_end_useless(said: dict[str, object], ends: str, why: str) -> None:
    """Another place or terminal, or a loop too much: that end is opened and made again, the wire stays."""
    found = told(one(**said))
    for step in (only(found.undo), only(found.make)):
        assert (step.id, step.whole, step.ends, step.why) == ("W1", False, tuple(ends), (why,))
    assert only(found.undo).wire == remembered(one()).kept_wires[PLUS]
    assert only(found.make).wire == remembered(one(**said)).kept_wires[PLUS]


@pytest.mark.parametrize(
    "said",
    [
        {"gauge": None},
        {"length_m": None},
        {"length_m": 0.853 + 0.075},
        {"length_m": 0.853 - 0.074},
        {"path": ("centre",)},
        {"a": end("A", "block", Polarity.PLUS, socket="H3", done=None)},
        {"a": end("A", "block", Polarity.PLUS)},
        {"a": end("A", "", Polarity.PLUS)},
        {"a": end("A", "block", Polarity.PLUS, socket="H3", done=replace(CLAMP, tool="another", strip_m=0.011))},
    ],
)
def test_what_may_stay_on_a_made_wire(said: dict[str, object]) -> None:
    """Nothing is undone for what is not known now, for a length within one service loop, or for another way."""
    found = told(one(**said))
    assert (found.undo, found.make, found.keep) == ((), (), ("W1", "W2"))


def test_the_service_loop_of_the_file_decides_what_is_too_long_or_too_short() -> None:
    for length_m, loop_m, undone in ((0.9, 0.05, False), (0.91, 0.05, True), (0.81, 0.05, False), (0.8, 0.05, True)):
        after = one(length_m=length_m)
        after = replace(after, robot=replace(after.robot, house=House(service_loop=Fact.of(loop_m))))
        assert bool(told(after).undo) == undone, length_m


def test_who_swaps_a_part_opens_the_ends_on_it() -> None:
    """The controller is of another class now: end B of both wires comes off, though both look as before."""
    other = replace(CONTROLLER, id="controller/other")
    after = with_part(one(), other)
    found = told(after, before=remembered(with_part(one(), CONTROLLER)))
    words = "left front controller is another part: controller/other instead of controller/inline-40a"
    assert [(step.id, step.ends, step.whole, step.why) for step in found.undo] == [
        ("W1", ("B",), False, (words,)),
        ("W2", ("B",), False, (words,)),
    ]


def test_a_parts_own_lead_goes_with_the_part() -> None:
    """Where nobody makes the end at the swapped part, the lead is the part's, and goes whole."""
    lead = {"captive": True, "b": end("B", "left front controller", Polarity.PLUS, done=None)}
    after = with_part(one(**lead), replace(CONTROLLER, id="controller/other"))
    found = told(after, before=remembered(with_part(one(**lead), CONTROLLER)))
    assert [(step.id, step.whole) for step in found.undo] == [("W1", True), ("W2", False)]


def with_part(held: Plan, part: Part) -> Plan:
    """Give the controller of the branch another part class."""
    devices = tuple(replace(d, part=part) if d.id == "left front controller" else d for d in held.robot.devices)
    return replace(held, robot=replace(held.robot, devices=devices))


def test_a_made_wire_that_is_gone_is_undone_and_one_on_paper_is_dropped() -> None:
    before = remembered(plan((branch("left front", 1), branch("right front", 3))))
    found = rework(before, one(), BOTH | {("right front", "plus")})
    assert [(step.id, step.why, step.whole) for step in found.undo] == [("W3", ("not in the plan any more",), True)]
    assert [step.id for step in found.drop] == ["W4"]
    assert found.keep == ("W1", "W2")
    assert found.changes


def test_a_wire_on_paper_is_to_make_in_the_new_way() -> None:
    """Nothing is undone, and each of its changes is told, a length to the millimetre too."""
    found = told(one(length_m=0.854, gauge=Gauge(10)), made=frozenset())
    assert only(found.make).why == ("10 AWG instead of 12 AWG", "85.4 cm instead of 85.3 cm")
    assert (found.undo, found.waiting) == ((), ("W2",))


def test_a_new_circuit_is_to_make() -> None:
    found = told(plan((branch("left front", 1), branch("arm", 10))))
    assert [(step.id, step.circuit, step.why) for step in found.make] == [
        ("W10", "arm", ("new",)),
        ("W11", "arm", ("new",)),
    ]
    assert (found.undo, found.keep) == ((), ("W1", "W2"))


def test_lists_are_in_the_order_of_the_ids() -> None:
    found = rework(Memory(), plan((branch("b", 9), branch("a", 11), chain())), ())
    assert [step.id for step in found.make] == ["W5", "W9", "W10", "W11", "W12"]


def renamed(before: Memory) -> Memory:
    """Say that the controller had another name."""
    return replace(before, renamed={"left front controller": "port controller"})


def test_a_made_wire_that_stays_gets_a_flag_with_the_new_name() -> None:
    found = told(one(), before=renamed(remembered(one())))
    assert [(step.id, step.why) for step in found.relabel] == [
        ("W1", ("port controller is called left front controller now",)),
        ("W2", ("port controller is called left front controller now",)),
    ]
    assert (found.undo, found.make, found.keep) == ((), (), ("W1", "W2"))


def test_only_a_wire_that_stays_is_relabelled() -> None:
    """A new wire gets its flag when it is made; one on paper has none yet; one with a new end keeps the other flag."""
    before = renamed(remembered(one()))
    assert [step.id for step in told(one(gauge=Gauge(10)), before=before).relabel] == ["W2"]
    assert told(one(), before=before, made=frozenset()).relabel == ()
    moved = told(one(a=end("A", "block", Polarity.PLUS, socket="H5")), before=before)
    assert [step.id for step in moved.relabel] == ["W1", "W2"]


# ---------------------------------------------------------------- what is made


def fitted(**said: object) -> Plan:
    """Plan the branch of a robot whose file says something of its controller."""
    held = one()
    devices = tuple(
        replace(d, **said) if d.id == "left front controller" else d  # type: ignore[arg-type]
        for d in robot().devices
    )
    return replace(held, robot=replace(held.robot, devices=devices))


FITTED_SLOT = {"feed": Feed(slot=Fact.of("H5", state=State.FITTED))}


@pytest.mark.parametrize(
    ("said", "made"),
    [
        (FITTED_SLOT, True),
        ({"wishes": Wishes(length=Fact.of(1.0, state=State.FITTED))}, True),
        ({"wishes": Wishes(gauge=Fact.of(Gauge(12), state=State.FITTED))}, True),
        ({"feed": Feed(slot=Fact.of("H5", state=State.TRACED))}, False),
        ({"feed": Feed(group=Fact.of("heavy", state=State.FITTED))}, False),
        ({"hookup": Hookup(sockets=Fact.of(("digital 0",), state=State.FITTED))}, False),
        ({}, False),
    ],
)
def test_a_branch_is_made_where_its_slot_length_or_wire_is_fitted(said: dict[str, object], made: bool) -> None:  # noqa: FBT001
    held = fitted(**said)
    assert said_fitted(held.robot, held.wiring) == ({PLUS} if made else set())


def test_only_a_wire_of_the_last_plan_can_be_made() -> None:
    held = fitted(**FITTED_SLOT)
    assert made_wires(held.robot, held.wiring, Memory()) == set()
    assert made_wires(held.robot, held.wiring, Memory(wires={PLUS: "W1"})) == {PLUS}


def test_what_was_fitted_in_the_last_plan_is_made_whatever_the_file_says_now() -> None:
    """Somebody who edits a line has not taken the wire out yet; and what is gone from the file is still there."""
    held = one()
    memory = Memory(wires={PLUS: "W1", ("climber", "plus"): "W9"}, fitted=frozenset({PLUS, ("climber", "plus")}))
    assert made_wires(held.robot, held.wiring, memory) == {PLUS, ("climber", "plus")}


def test_what_the_file_newly_calls_fitted_is_how_the_wire_was_made() -> None:
    """H3 was planned, the team took H5 and says so: nothing is undone. Said again with another slot, it is."""
    planned = remembered(one())
    moved = end("A", "block", Polarity.PLUS, socket="H5")
    after = fitted(**FITTED_SLOT)
    (circuit,) = after.circuits
    after = replace(after, circuits=(replace(circuit, wires=(replace(circuit.wires[0], a=moved), circuit.wires[1])),))
    assert as_reported(planned, after).kept_wires[PLUS].a.socket == "H5"
    assert rework(planned, after, {PLUS}).undo == ()
    again = rework(replace(planned, fitted=frozenset({PLUS})), after, {PLUS})
    assert only(again.undo).why == ("block H5 plus instead of block H3 plus",)


def test_a_fitted_length_or_wire_is_how_it_was_made_too() -> None:
    planned = remembered(one())
    wishes = Wishes(length=Fact.of(2.0, state=State.FITTED), gauge=Fact.of(Gauge(10), state=State.FITTED))
    after = fitted(wishes=wishes)
    (circuit,) = after.circuits
    longer: PlannedWire = replace(circuit.wires[0], length_m=2.0, gauge=Gauge(10))
    after = replace(after, circuits=(replace(circuit, wires=(longer, circuit.wires[1]), length=reasoned(2.0)),))
    assert rework(planned, after, {PLUS}).undo == ()
    assert only(rework(planned, one(length_m=2.0), {PLUS}).undo).whole
