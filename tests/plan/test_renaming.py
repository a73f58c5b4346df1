"""A thing that is only renamed keeps its wire ids; where that is not certain, nothing is taken over."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomwright.plan.memory import KeptRoute, Memory
from loomwright.plan.remembering import remembered
from loomwright.plan.renaming import carried_over
from loomwright.wiring import derive
from tests.robots import example_plan, plan_of, robot_of

ROUTE = KeptRoute(("centre 1",))
ROBOT = """\
robot: Skiff
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm}
main breaker: {part: breaker/main-120a, lead length: 20 cm}
blocks:
  block: {part: block/6-heavy-10-light-2-fused, lead length: 20 cm}
every motor: {motor: motor/brushless-500w, controller: controller/inline-40a}
mechanisms:
  all of it:
    motors:
      winch: {SAID}
      intake: {length: 70 cm, slot: H4}
electronics:
  robot controller: {part: computer/robot-controller, feed: fused}
sensors:
  low: {part: sensor/limit-switch, port: digital 0}
data:
  chain: [robot controller, winch, intake, block]
"""


def skiff(said: str, **renames: str) -> str:
    """Write a small robot whose winch says something, then rename words in it."""
    text = ROBOT.replace("SAID", said)
    for old, new in renames.items():
        text = text.replace(old, new)
    return text


def over(before: str, after: str) -> Memory:
    """Plan one robot file and carry its memory over to another."""
    robot = robot_of(after)
    return carried_over(remembered(plan_of(before)), derive(robot), robot)


def ids(memory: Memory, word: str) -> set[str]:
    """Give the ids of the wires whose circuit speaks of a thing."""
    return {wire for (circuit, _), wire in memory.wires.items() if word in circuit}


@pytest.mark.parametrize(
    "said",
    ["slot: H1, length: 80 cm", "slot: H1", "at: [10 cm, 20 cm], length: 80 cm", "length: 80 cm (fitted)"],
    ids=["slot and length", "slot", "place", "fitted"],
)
def test_a_renamed_motor_keeps_its_slot_and_every_wire(said: str) -> None:
    """The same slot, or the same place, or that both are wired: its feed, motor side and data keep their ids."""
    before = remembered(plan_of(skiff(said)))
    memory = over(skiff(said), skiff(said, winch="hoist"))
    assert ids(memory, "winch") == set()
    assert ids(memory, "hoist") == ids(before, "winch")
    assert memory.slots["hoist"] == before.slots["winch"]
    assert memory.gauges["hoist: motor side"] == before.gauges["winch: motor side"]
    assert memory.kept_wires["hoist", "plus"].b.device == "hoist controller"
    assert memory.devices["hoist controller"].called == "hoist"
    assert memory.fitted == {(circuit.replace("winch", "hoist"), role) for circuit, role in before.fitted}
    assert memory.renamed["hoist"] == "winch"
    assert memory.renamed["chain: hoist to intake"] == "chain: winch to intake"
    assert set(memory.wires.values()) == set(before.wires.values())


def test_the_plan_of_the_renamed_robot_has_the_same_ids() -> None:
    before = plan_of(skiff("slot: H1"))
    after = plan_of(skiff("slot: H1", winch="hoist"), memory=remembered(before))
    assert {wire.id for wire in after.wires} == {wire.id for wire in before.wires}
    assert after.next_wire == before.next_wire
    for wire in before.wires:
        twin = next(other for other in after.wires if other.id == wire.id)
        assert twin.key == (wire.circuit.replace("winch", "hoist"), wire.role)


@pytest.mark.parametrize(
    ("said", "now"),
    [
        ("slot: H1", "slot: H2"),
        ("length: 80 cm", "length: 80 cm"),
        ("at: [10 cm, 20 cm]", "at: [10 cm, 21 cm]"),
        ("at: [10 cm, 20 cm], slot: H1", "at: [10 cm, 20 cm], slot: H2"),
        ("at: [10 cm, 20 cm], slot: H1", "at: [10 cm, 25 cm], slot: H1"),
        ("slot: H1", "slot: H1, motor: motor/brushless-350w"),
        ("slot: H1", "slot: H1, controller: controller/brushless-60a"),
        ("length: 80 cm (fitted)", "length: 80 cm"),
        ("length: 80 cm", "length: 80 cm (fitted)"),
    ],
)
def test_what_may_be_another_thing_is_not_taken_for_the_old_one(said: str, now: str) -> None:
    """Another slot, place or part; or nothing that speaks for it, as when one motor goes and another comes."""
    before = remembered(plan_of(skiff(said)))
    memory = over(skiff(said), skiff(now, winch="hoist"))
    assert memory == before


def test_a_word_that_is_still_in_the_file_was_not_renamed() -> None:
    """A second motor on the plate takes nothing from the first."""
    text = skiff("slot: H1")
    more = text.replace("      intake:", "      hoist: {slot: H2}\n      intake:")
    assert over(text, more) == remembered(plan_of(text))


def test_two_that_could_be_the_one_that_is_gone_are_both_new() -> None:
    """Two fitted motors come where one fitted motor went: nobody can say which it was."""
    fitted = "length: 80 cm (fitted)"
    text = skiff(fitted)
    two = text.replace(f"      winch: {{{fitted}}}", f"      hoist: {{{fitted}}}\n      spool: {{{fitted}}}")
    two = two.replace("winch, intake", "hoist, spool, intake")
    memory = over(text, two)
    assert ids(memory, "hoist") | ids(memory, "spool") == set()
    assert ids(over(two, text), "winch") == set()


def test_two_renamed_at_once_are_told_apart_by_their_slots() -> None:
    text = skiff("slot: H1")
    before = remembered(plan_of(text))
    memory = over(text, skiff("slot: H1", winch="hoist", intake="brush"))
    assert ids(memory, "hoist: motor side") == ids(before, "winch: motor side")
    assert ids(memory, "brush: motor side") == ids(before, "intake: motor side")
    assert memory.slots["brush"] == "H4"


def test_two_that_swap_their_names_are_two_changes_and_no_renaming() -> None:
    """Both ids are still there, so every word of the file is taken as it stands."""
    text = skiff("slot: H1")
    swapped = skiff("slot: H1", winch="x").replace("intake", "winch").replace("      x:", "      intake:")
    swapped = swapped.replace(", x, winch", ", intake, winch")
    assert over(text, swapped).renamed == {}


def test_a_renamed_block_keeps_what_is_on_it() -> None:
    """It is known by its place in the battery path; then a motor on it is known by its slot."""
    text = skiff("slot: H1")
    before = remembered(plan_of(text))
    memory = over(
        text, skiff("slot: H1", winch="hoist").replace("  block:", "  hub:").replace("intake, block", "intake, hub")
    )
    assert memory.sources["hoist"] == "hub"
    assert memory.sources["robot controller"] == "hub"
    assert memory.wires["main", "main breaker to hub, plus"] == before.wires["main", "main breaker to block, plus"]
    assert set(memory.wires.values()) == set(before.wires.values())
    assert ids(memory, "hoist") == ids(before, "winch")


def test_a_renamed_sensor_is_known_by_its_port() -> None:
    text = skiff("slot: H1")
    memory = over(text, skiff("slot: H1", low="bottom"))
    assert ids(memory, "bottom") == ids(remembered(plan_of(text)), "low:")
    moved = over(text, skiff("slot: H1", low="bottom").replace("digital 0", "digital 1"))
    assert ids(moved, "bottom") == set()


def test_a_renamed_chain_keeps_its_wires() -> None:
    """Its wires join the same sockets as before."""
    text = skiff("slot: H1")
    memory = over(text, text.replace("  chain:", "  left chain:"))
    assert ids(memory, "left chain: ") == ids(remembered(plan_of(text)), "chain: ")
    assert memory.renamed["left chain: winch to intake"] == "chain: winch to intake"


def test_a_route_is_renamed_with_its_circuit_each_lane_of_it() -> None:
    held = remembered(plan_of(skiff("slot: H1")))
    held = replace(held, routes={"winch": ROUTE, "winch (2)": ROUTE, "winch (x)": ROUTE, "intake": ROUTE})
    robot = robot_of(skiff("slot: H1", winch="hoist"))
    assert list(carried_over(held, derive(robot), robot).routes) == ["hoist", "hoist (2)", "hoist (x)", "intake"]


def test_carrying_over_once_more_changes_nothing() -> None:
    after = skiff("slot: H1", winch="hoist")
    memory = over(skiff("slot: H1"), after)
    robot = robot_of(after)
    assert carried_over(memory, derive(robot), robot) == memory


@pytest.mark.parametrize("name", ["tidepool", "breakwater", "rockpool"])
def test_an_example_that_did_not_change_is_not_touched(name: str) -> None:
    held = example_plan(name)
    assert carried_over(remembered(held), held.wiring, held.robot) == remembered(held)


def test_a_file_of_the_format_before_names_no_devices_so_nothing_is_matched_by_them() -> None:
    robot = robot_of(skiff("slot: H1", winch="hoist"))
    old = replace(remembered(plan_of(skiff("slot: H1"))), format=1, devices={})
    assert carried_over(old, derive(robot), robot).wires == old.wires
