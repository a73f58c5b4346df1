"""Slots: every circuit gets one that suits it where that is possible at all."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import networkx as nx
import pytest
from hypothesis import given, settings

from loomwright.layout import Before, Choice, Seated, assign_slots, build_net, terminals_of
from loomwright.layout.result import Net
from loomwright.model.part import Role
from loomwright.model.robot import Robot
from loomwright.search import Effort
from loomwright.wiring import CircuitKind, Wiring, derive
from loomwright.wiring.feeds import fits
from tests.robots import as_text, example_text, robot_of, robots, shuffled

_FED = (CircuitKind.FEEDER, CircuitKind.BRANCH, CircuitKind.OUTPUT)
HEAD = """
robot: T
battery: {part: battery/agm-12v-18ah}
blocks:
  block: {part: block/6-heavy-10-light-2-fused, reserved: {L10: spare}}
"""


def seated(text: str, before: Before | None = None, effort: Effort = Effort.USUAL) -> Seated:
    """Seat the circuits of a robot from its text, over the net of its trunks."""
    robot = robot_of(text)
    wiring = derive(robot)
    return assign_slots(robot, wiring, build_net(robot, terminals_of(robot, wiring)), before=before, effort=effort)


def slots_of(text: str) -> Mapping[str, Choice]:
    """Assign the slots of a robot from its text."""
    return seated(text).choices


def motor(name: str, said: str = "") -> str:
    """Write one motor circuit that wants 40 A."""
    return f"  {name}: {{motor: motor/brushless-500w, controller: controller/inline-40a{said}}}\n"


def allowed(robot: Robot, wiring: Wiring, circuit_id: str) -> set[tuple[str, str]]:
    """List by plain search the slots that a circuit may stand on: an independent twin of the assigner's own list."""
    circuit = wiring.circuit(circuit_id)
    assert circuit is not None
    load = robot.device(circuit.load)
    assert load is not None
    supply = load.part.socket(circuit.load_socket)
    assert supply is not None
    group = load.feed.group.value
    spots = set()
    for name in circuit.sources:
        source = robot.device(name)
        assert source is not None
        for outlet in source.part.sockets:
            if outlet.role is not Role.OUTLET or not fits(outlet, supply) or outlet.name in source.reserved:
                continue
            rated = not outlet.ratings_a or not circuit.wanted_a or set(circuit.wanted_a) & set(outlet.ratings_a)
            pinned = not circuit.slot.said or outlet.name in circuit.slot.values
            if rated and pinned and (not group or outlet.group == group):
                spots.add((source.id, outlet.name))
    return spots


@pytest.mark.parametrize("effort", [Effort.FIRST, Effort.USUAL])
@given(data=robots(most_motors=26))
@settings(max_examples=15, deadline=None)
def test_as_many_circuits_stand_as_a_matching_allows(data: dict[str, Any], effort: Effort) -> None:
    """No circuit is left out that a maximum matching (networkx, as a twin) could place; no slot is used twice."""
    robot = robot_of(as_text(data))
    wiring = derive(robot)
    choices = assign_slots(robot, wiring, Net(), effort=effort).choices
    fed = [c for c in wiring.circuits if c.kind in _FED]
    graph: Any = nx.Graph()
    for circuit in fed:
        graph.add_edges_from((("circuit", circuit.id), spot) for spot in allowed(robot, wiring, circuit.id))
    tops = {node for node in graph if node[0] == "circuit"}
    best = len(nx.bipartite.maximum_matching(graph, top_nodes=tops)) // 2
    placed = [(c.device, c.slot) for c in choices.values() if c.slot]
    assert len(placed) == len(set(placed)) == best
    for circuit in fed:
        choice = choices[circuit.id]
        assert not choice.slot or (choice.device, choice.slot) in allowed(robot, wiring, circuit.id)
        assert choice.slot or choice.open_because


@given(robots())
@settings(max_examples=10, deadline=None)
def test_the_order_of_the_file_decides_nothing(data: dict[str, Any]) -> None:
    """The same things in another order get the same slots."""
    assert slots_of(as_text(data)) == slots_of(as_text(shuffled(data, 7)))


def test_a_pinned_slot_is_kept_and_others_go_around_it() -> None:
    """`slot:` decides, and nobody else is put there."""
    choices = slots_of(HEAD + "mechanisms:\n" + motor("a") + motor("b", ", slot: H1"))
    assert (choices["b"].slot, choices["b"].how) == ("H1", "pinned")
    assert choices["a"].slot == "H2"


def test_two_circuits_pinned_to_one_slot_both_stay() -> None:
    """What people wrote stands, so that the rule book can speak of it."""
    choices = slots_of(HEAD + "mechanisms:\n" + motor("a", ", slot: H1") + motor("b", ", slot: H1"))
    assert {choices["a"].slot, choices["b"].slot} == {"H1"}


def test_a_label_is_no_pin() -> None:
    """What is written on the block does not decide where a circuit goes."""
    text = HEAD.replace("reserved: {L10: spare}", "labels: {H4: a}")
    assert slots_of(text + "mechanisms:\n" + motor("a"))["a"].slot == "H1"


def test_unknown_is_asked_and_absent_is_decided() -> None:
    """`slot: unknown` keeps the tool from choosing; saying nothing lets it."""
    choices = slots_of(HEAD + "mechanisms:\n" + motor("a", ", slot: unknown") + motor("b"))
    assert choices["a"].slot == ""
    assert choices["a"].open_because == "its slot is unknown"
    assert choices["b"].slot


def test_an_existing_robot_is_asked_about_all_that_is_unsaid() -> None:
    """With `unsaid: ask` a slot that nobody wrote is a question."""
    choices = slots_of(HEAD.replace("robot: T", "robot: T\nunsaid: ask") + "mechanisms:\n" + motor("a"))
    assert not choices["a"].slot
    assert "unsaid" in choices["a"].open_because


def test_any_of_leaves_the_choice_to_these() -> None:
    """`slot: {any of: [H5, H6]}` gives one of the two."""
    assert slots_of(HEAD + "mechanisms:\n" + motor("a", ", slot: {any of: [H5, H6]}"))["a"].slot in ("H5", "H6")


def test_the_seventh_heavy_circuit_is_told_why_it_has_no_slot() -> None:
    """Six slots take 40 A; the seventh circuit is named with the reason."""
    choices = slots_of(HEAD + "mechanisms:\n" + "".join(motor(f"m{n}") for n in range(1, 8)))
    left = [name for name, choice in choices.items() if not choice.slot]
    (one,) = left
    assert choices[one].open_because == "every slot for 40 A on block that suits it is taken"


def test_a_circuit_moves_on_for_one_that_has_no_other_slot() -> None:
    """One that fits in two places makes room for one that fits in a single place."""
    text = HEAD + "mechanisms:\n" + motor("a", ", slot: {any of: [H1, H2]}") + motor("b", ", slot: {any of: [H1, H3]}")
    choices = slots_of(text + motor("c", ", slot: {any of: [H1, H9]}").replace("H9", "H1"))
    assert choices["c"].slot == "H1"
    assert {choices["a"].slot, choices["b"].slot} == {"H2", "H3"}


def test_the_last_plan_is_kept_where_it_still_may() -> None:
    """A circuit stays where it was; a spot that is reserved by now is given up."""
    text = HEAD + "mechanisms:\n" + motor("a") + motor("b")
    choices = seated(text, Before({"a": ("block", "H5"), "b": ("block", "L10")})).choices
    assert choices["a"].slot == "H5"
    assert choices["b"].slot == "H1"


def test_what_is_made_stays_and_what_is_on_paper_makes_room() -> None:
    """Two circuits were on the one slot that both may have: the made one keeps it."""
    both = ", slot: {any of: [H1, H2]}"
    text = HEAD + "mechanisms:\n" + motor("a", both) + motor("b", ", slot: {any of: [H1, H7]}").replace("H7", "H1")
    spots = {"a": ("block", "H1"), "b": ("block", "H2")}
    assert seated(text, Before(spots, made=("a",))).choices["a"].slot == "H2"  # b has no other
    free = HEAD + "mechanisms:\n" + motor("a", both) + motor("b", both)
    kept = seated(free, Before({"a": ("block", "H1"), "b": ("block", "H1")}, made=("b",))).choices
    assert (kept["a"].slot, kept["b"].slot) == ("H2", "H1")


def test_heavy_loads_go_on_heavy_slots_and_a_group_that_is_said_is_kept_to() -> None:
    """A motor goes where its part belongs; with 30 A written a light slot does, unless the group is said too.

    A heavy slot's clamp asks for 12 AWG where 30 A ask for 14.
    """
    said = ", protection: 30 A"
    motors = [motor("a"), motor("b", said), motor("c", f"{said}, feed: light"), motor("d", f"{said}, feed: heavy")]
    motors.append(motor("e").replace("500w", "350w"))  # it bears 30 A too, and wants 40 A rather
    choices = slots_of(HEAD + "mechanisms:\n" + "".join(motors))
    assert {name: choice.group for name, choice in choices.items()} == {
        "a": "heavy",
        "b": "light",
        "c": "light",
        "d": "heavy",
        "e": "heavy",
    }


def test_a_motor_of_an_unknown_controller_keeps_off_the_small_fused_outputs() -> None:
    """The motor's own group counts; a drive of which nothing is known goes on a heavy slot, not on a 20 A fuse."""
    choices = slots_of(HEAD + "mechanisms:\n  a: {motor: motor/brushed-180w}\n  b: {motor: unknown}\n")
    assert {name: choice.group for name, choice in choices.items()} == {"a": "light", "b": "heavy"}


@pytest.mark.parametrize("name", ["tidepool", "breakwater", "rockpool"])
def test_every_circuit_of_the_examples_has_a_slot(name: str) -> None:
    """The shipped robots fit on their blocks."""
    assert all(choice.slot for choice in slots_of(example_text(name)).values())


def test_a_slot_that_is_kept_free_is_never_chosen() -> None:
    """`reserved:` keeps the tool off a slot, even the first one."""
    text = HEAD.replace("reserved: {L10: spare}", "reserved: {H1: climber}")
    assert slots_of(text + "mechanisms:\n" + motor("a"))["a"].slot == "H2"


def test_an_outlet_for_one_use_takes_nothing_else() -> None:
    """A valve's output feeds no compressor, and no plain load."""
    robot = robot_of(example_text("tidepool"))
    module, pump, eyes = (robot.device(name) for name in ("air module", "compressor", "regulator"))
    assert module is not None
    assert pump is not None
    assert eyes is not None
    valve, outlet = module.part.socket("valve 0"), module.part.socket("compressor")
    needs, plain = pump.part.first(Role.SUPPLY), eyes.part.first(Role.SUPPLY)
    assert valve is not None
    assert outlet is not None
    assert needs is not None
    assert plain is not None
    assert fits(outlet, needs)
    assert not fits(valve, needs)
    assert not fits(valve, plain)


PLACED = """
robot: T
battery: {part: battery/agm-12v-18ah}
blocks:
  block: {part: block/12-heavy-12-light-2-fused, at: [30 cm, 30 cm]}
plate:
  outline: [[0, 0], [60 cm, 0], [60 cm, 60 cm], [0, 60 cm]]
  trunks: {rail: [[10 cm, 5 cm], [10 cm, 55 cm]]}
mechanisms:
"""


def test_the_closest_slot_is_taken_in_the_order_of_the_loads() -> None:
    """Loads in a row along the block's heavy side stand in the same row, without a crossing, and say so."""
    spots = {"a": 50, "b": 30, "c": 10}
    lines = "".join(motor(name, f", at: [5 cm, {forward} cm]") for name, forward in spots.items())
    answer = seated(PLACED + lines)
    places = {name: int(answer.choices[name].slot[1:]) for name in spots}
    assert places["a"] < places["b"] < places["c"]
    assert answer.answer is not None
    assert answer.answer.crossings == 0
    assert answer.answer.certificate.proved
    assert all("no crossing" in answer.choices[name].why for name in spots)
    assert "closest heavy slot" in answer.choices["a"].why


def test_a_follower_stands_next_to_its_leader() -> None:
    """Two motors that do one thing stand side by side, though a third lies between them on the plate."""
    lines = (
        motor("lead", ", at: [5 cm, 31 cm]")
        + motor("between", ", at: [5 cm, 30 cm]")
        + motor("after", ", at: [5 cm, 29 cm], follows: lead")
    )
    choices = seated(PLACED + lines).choices
    assert abs(int(choices["lead"].slot[1:]) - int(choices["after"].slot[1:])) == 1
    assert "next to after" in choices["lead"].why


def test_a_reserved_slot_is_given_up_last_and_with_a_word() -> None:
    """Seven motors for six heavy slots of which one is kept free: the wish is named, and all that fit stand."""
    text = HEAD.replace("reserved: {L10: spare}", "reserved: {H2: climber}")
    answer = seated(text + "mechanisms:\n" + "".join(motor(f"m{n}") for n in range(1, 7))).answer
    assert answer is not None
    (clash,) = answer.clashes
    assert clash.counting
    assert clash.wishes == clash.drops == ("reserved block H2",)
    assert len(clash.items) == len(clash.spots) + 1
