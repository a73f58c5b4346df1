"""A robot in week five: some of it is fitted, the file is edited, and the plan keeps what it can."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from loomwright.findings import UnreadableInputError
from loomwright.jobs.change import Change, change, change_to
from loomwright.jobs.check import check
from loomwright.plan.fitted import said_fitted
from loomwright.plan.remembering import remembered
from loomwright.robotfile.plans.planfile import read_memory, write_plan
from loomwright.wiring import derive
from tests.robots import robot_of

ROBOT = """\
robot: Dory
battery: {part: battery/agm-12v-18ah, leads: 6 AWG, lead length: 25 cm, at: [300 mm, 50 mm]}
main breaker: {part: breaker/main-120a, lead length: 20 cm, at: [150 mm, 80 mm]}
blocks:
  block: {part: block/6-heavy-10-light-2-fused, lead length: 20 cm, at: [300 mm, 250 mm], facing: front}
every motor: {controller: controller/inline-40a, limit: {supply: 30 A, motor: 40 A}}
mechanisms:
  left drive:
    motors:
      left front: {motor: motor/brushless-500w, at: [80 mm, 500 mm], slot: H1, id: 1}
      left rear: {motor: motor/brushless-500w, at: [80 mm, 200 mm], slot: H2, id: 2}
  lift:
    motors:
      lift motor: {motor: motor/brushless-500w, at: [380 mm, 480 mm], height: 10 cm, id: 5}
  climber:
    motor: motor/brushed-340w
    controller: controller/clamp-brushed-30a
    at: [220 mm, 440 mm]
    port: pulse 0
    protection: 30 A
  arm:
    motor: motor/brushed-340w
    at: [300 mm, 560 mm]
    motor length: 30 cm
    id: 6
electronics:
  robot controller: {part: computer/robot-controller, feed: fused, at: [460 mm, 360 mm]}
sensors:
  lift low: {part: sensor/limit-switch, port: digital 0, at: [300 mm, 480 mm]}
data:
  main chain: [robot controller, lift motor, left front, left rear, block]
plate:
  outline: [[0, 0], [600 mm, 0], [600 mm, 700 mm], [0, 700 mm]]
  trunks:
    centre: [[300 mm, 150 mm], [300 mm, 620 mm]]
builds:
  practice: {without: [climber]}
"""
LIFT = "height: 10 cm, id: 5"
CLIMBER = "    port: pulse 0\n"
MORE = "motor: motor/brushed-340w\n    note: with another spring\n"


def edited(text: str, *edits: tuple[str, str]) -> str:
    """Edit the text of a robot file; every edit has to find its words."""
    for old, new in edits:
        assert old in text, old
        text = text.replace(old, new)
    return text


def put_down(folder: Path) -> None:
    """Plan as `plan` does, without the sheets."""
    path = folder / "plan.yaml"
    path.write_bytes(write_plan(check(folder)))


@lru_cache(maxsize=1)
def fitted_robot() -> tuple[str, bytes]:
    """Plan Dory, call some of it fitted, and plan once more.

    The left drive and the lift are on their slots, the climber on its slot with its wires cut.
    """
    with TemporaryDirectory() as name:
        folder = Path(name)
        robot = folder / "robot.yaml"
        robot.write_text(ROBOT, encoding="utf-8")
        put_down(folder)
        slots = read_memory((folder / "plan.yaml").read_bytes(), "plan.yaml").slots
        text = edited(
            ROBOT,
            ("slot: H1, id: 1", "slot: H1 (fitted), id: 1"),
            ("slot: H2, id: 2", "slot: H2 (fitted), id: 2"),
            (LIFT, f"{LIFT}, slot: {slots['lift motor']} (fitted)"),
            (CLIMBER, f"{CLIMBER}    slot: {slots['climber']} (fitted)\n    length: 60 cm (fitted)\n"),
        )
        robot.write_text(text, encoding="utf-8")
        assert change(folder).rework.undo == ()  # it is as planned: the file only says so now
        put_down(folder)
        return text, (folder / "plan.yaml").read_bytes()


@pytest.fixture
def week_five(tmp_path: Path) -> Path:
    """Give the folder of a robot that is half made."""
    text, plan = fitted_robot()
    (tmp_path / "robot.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "plan.yaml").write_bytes(plan)
    return tmp_path


def edit(folder: Path, *edits: tuple[str, str]) -> Change:
    """Edit the robot file and ask what that means."""
    robot = folder / "robot.yaml"
    robot.write_text(edited(robot.read_text(encoding="utf-8"), *edits), encoding="utf-8")
    return change(folder)


def circuits(steps: object) -> set[str]:
    """Give the circuits of some steps."""
    return {step.circuit for step in steps}  # type: ignore[attr-defined]


def ids(folder: Path) -> dict[tuple[str, str], str]:
    """Read the wire ids of the last plan."""
    return dict(read_memory((folder / "plan.yaml").read_bytes(), "plan.yaml").wires)


def test_nothing_edited_is_nothing_to_do(week_five: Path) -> None:
    found = change(week_five)
    assert not found.rework.changes
    assert found.before is not None
    assert found.before.revision == found.plan.revision
    kept = {("left front", "plus"), ("left rear", "minus"), ("lift motor", "plus"), ("climber", "plus")}
    assert {ids(week_five)[key] for key in kept} <= set(found.rework.keep)
    assert len(found.rework.keep) + len(found.rework.waiting) == len(found.plan.wires)


def test_it_writes_nothing(week_five: Path) -> None:
    before = {path: path.read_bytes() for path in week_five.rglob("*") if path.is_file()}
    edit(week_five, ("slot: H1 (fitted)", "slot: H3"))
    after = {path: path.read_bytes() for path in week_five.rglob("*") if path.is_file()}
    assert {path for path in before if before[path] != after[path]} == {week_five / "robot.yaml"}
    assert before.keys() == after.keys()


def test_a_mechanism_more_only_makes(week_five: Path) -> None:
    """A second intake on the slot that was kept for it: its wires are new, and nothing finished is touched."""
    second = "  second intake:\n    motor: motor/brushless-350w\n    at: [200 mm, 620 mm]\n    protection: 30 A\n"
    before = ids(week_five)
    found = edit(week_five, ("  arm:\n", f"{second}  arm:\n"))
    assert found.rework.undo == ()
    assert circuits(found.rework.make) >= {"second intake", "second intake: motor side"}
    put_down(week_five)
    after = ids(week_five)
    assert {key: after[key] for key in before} == before
    numbers = [int(wire[1:]) for key, wire in after.items() if key not in before]
    assert min(numbers) > max(int(wire[1:]) for wire in before.values())


def test_another_controller_opens_the_ends_on_it(week_five: Path) -> None:
    """The lift gets a stronger controller: what is fitted there is opened, and what need not change stays in place."""
    found = edit(week_five, (LIFT, f"{LIFT}, controller: controller/brushless-60a"))
    undone = {(step.circuit, step.role): step for step in found.rework.undo}
    assert {key[0] for key in undone} == {"lift motor"}
    for step in undone.values():
        assert "B" in step.ends
        assert any("controller/brushless-60a instead of controller/inline-40a" in why for why in step.why)
    assert {step.id for step in found.rework.undo} <= {step.id for step in found.rework.make}
    before = ids(week_five)
    put_down(week_five)
    assert {ids(week_five)[key] for key in undone} == {before[key] for key in undone}


def test_another_name_is_another_flag(week_five: Path) -> None:
    """The lift motor is called hoist: its fitted pair stays, with its ids, under new flags."""
    before = ids(week_five)
    found = edit(week_five, ("lift motor", "hoist"))
    assert (found.rework.undo, found.rework.drop) == ((), ())
    relabelled = {(step.circuit, step.role): step for step in found.rework.relabel}
    assert relabelled.keys() == {("hoist", "plus"), ("hoist", "minus")}
    assert relabelled["hoist", "plus"].id == before["lift motor", "plus"]
    assert "lift motor is called hoist now" in relabelled["hoist", "plus"].why
    assert relabelled["hoist", "plus"].id in found.rework.keep
    put_down(week_five)
    assert sorted(ids(week_five).values()) == sorted(before.values())
    assert ids(week_five)["hoist", "plus"] == before["lift motor", "plus"]


def test_a_mechanism_less_is_undone_where_it_was_fitted(week_five: Path) -> None:
    """The climber goes: its fitted wires come out, its motor side was never called made, and no id comes back."""
    text = (week_five / "robot.yaml").read_text(encoding="utf-8")
    climber = re.search(r"  climber:\n(?:    .*\n)+", text)
    assert climber is not None
    before = ids(week_five)
    found = edit(week_five, (climber[0], ""), ("{without: [climber]}", "{note: as it is}"))
    assert circuits(found.rework.undo) == {"climber"}
    assert all(step.whole for step in found.rework.undo)
    assert circuits(found.rework.drop) == {"climber: motor side", "climber: on pulse 0"}
    put_down(week_five)
    kept = ids(week_five)
    gone = {wire for key, wire in before.items() if key not in kept}
    again = edit(week_five, ("  arm:\n", f"{climber[0]}  arm:\n"))
    assert gone.isdisjoint(step.id for step in again.rework.make)
    put_down(week_five)
    assert gone.isdisjoint(ids(week_five).values())


def test_a_device_that_moves_far_needs_longer_wires(week_five: Path) -> None:
    """The lift controller moves by more than a loop can give: its pair comes out. By 2 cm, all of it stays."""
    near = edit(week_five, ("[380 mm, 480 mm], height: 10 cm", "[380 mm, 500 mm], height: 10 cm"))
    assert near.rework.undo == ()
    far = edit(week_five, ("[380 mm, 500 mm], height: 10 cm", "[580 mm, 680 mm], height: 60 cm"))
    assert circuits(far.rework.undo) == {"lift motor"}
    assert all(step.whole and " instead of " in step.why[0] for step in far.rework.undo)


def test_another_slot_moves_one_end(week_five: Path) -> None:
    """The pin loses its (fitted) in the edit, and the wire is still where it was; after the next plan it is to make."""
    found = edit(week_five, ("slot: H1 (fitted)", "slot: H3"))
    moved = [step for step in found.rework.undo if step.circuit == "left front"]
    assert [(step.role, step.ends, step.whole) for step in moved] == [("plus", ("A",), False), ("minus", ("A",), False)]
    assert moved[0].why == ("block H3 plus instead of block H1 plus",)
    put_down(week_five)
    after = change(week_five)
    assert not after.rework.changes
    assert ids(week_five)["left front", "plus"] in after.rework.waiting


@pytest.mark.parametrize("edits", [(), (("slot: H1 (fitted)", "slot: H3"),), (("motor: motor/brushed-340w\n", MORE),)])
def test_planning_again_changes_no_byte(edits: tuple[tuple[str, str], ...], week_five: Path) -> None:
    """What was taken for made is taken for made again, however often the same files are planned."""
    edit(week_five, *edits)
    put_down(week_five)
    first = (week_five / "plan.yaml").read_bytes()
    put_down(week_five)
    assert (week_five / "plan.yaml").read_bytes() == first
    assert not change(week_five).rework.changes


def test_a_first_plan_of_a_robot_that_stands_already_is_planned_again_the_same(tmp_path: Path) -> None:
    (tmp_path / "robot.yaml").write_text(fitted_robot()[0], encoding="utf-8")
    put_down(tmp_path)
    first = (tmp_path / "plan.yaml").read_bytes()
    put_down(tmp_path)
    assert (tmp_path / "plan.yaml").read_bytes() == first


def test_without_a_plan_everything_is_to_make(tmp_path: Path) -> None:
    (tmp_path / "robot.yaml").write_text(ROBOT, encoding="utf-8")
    found = change(tmp_path)
    assert found.before is None
    assert len(found.rework.make) == len(found.plan.wires)
    assert (found.rework.undo, found.rework.keep, found.rework.waiting) == ((), (), ())


def test_a_build_without_a_plan_is_compared_with_the_design(week_five: Path) -> None:
    """The practice build has no climber: that is what building it out of the design would undo."""
    found = change(week_five, "practice")
    assert circuits(found.rework.undo) == {"climber"}


def test_a_spoilt_plan_is_refused(week_five: Path) -> None:
    path = week_five / "plan.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("next wire:", "next:"), encoding="utf-8")
    with pytest.raises(UnreadableInputError):
        change(week_five)


def test_a_plan_can_tell_its_change_before_it_is_written(week_five: Path) -> None:
    """What `plan` has at hand is enough: the new plan, and the memory from before it."""
    before = read_memory((week_five / "plan.yaml").read_bytes(), "plan.yaml")
    found = edit(week_five, ("slot: H1 (fitted)", "slot: H3"))
    assert change_to(found.plan, before) == found
    assert change_to(found.plan, remembered(found.plan)).rework.undo == ()


# ---------------------------------------------------------------- where the file can call a wire made


@pytest.mark.parametrize(
    ("old", "new", "made"),
    [
        ("id: 6\n", "id: 6\n    wire: 12 AWG (traced)\n", set()),
        ("lead length: 25 cm", "lead length: 25 cm (fitted)", {"main"}),
        ("port: digital 0", "port: digital 0 (fitted)", {"lift low: on digital 0"}),
        ("motor length: 30 cm", "motor length: 30 cm (fitted)", {"arm: motor side"}),
        ("id: 6\n", "id: 6\n    wire: 12 AWG (fitted)\n", {"arm"}),
        ("leads: 6 AWG", "leads: 6 AWG (fitted)", {"main"}),
    ],
)
def test_fitted_stands_where_the_wire_is_told(old: str, new: str, made: set[str]) -> None:
    robot = robot_of(edited(ROBOT, (old, new)))
    assert {circuit for circuit, _ in said_fitted(robot, derive(robot))} == made


def test_a_fitted_chain_is_made_hop_by_hop() -> None:
    order = "main chain: [robot controller, lift motor, left front, left rear, block]"
    told = "main chain: {order: {value: [robot controller, lift motor, left front, left rear, block], state: fitted}}"
    other = "  side chain: [arm, last]\nplate:"
    last = "  last: {part: terminator/bus-120-ohm}\nsensors:"
    robot = robot_of(edited(ROBOT, (order, told), ("plate:", other), ("sensors:", last)))
    assert any(circuit.id.startswith("side chain: ") for circuit in derive(robot).circuits)
    made = {circuit for circuit, _ in said_fitted(robot, derive(robot))}
    assert len(made) == 4
    assert all(circuit.startswith("main chain: ") for circuit in made)


def test_a_batterys_own_leads_are_told_at_the_battery_and_the_breakers_at_the_breaker() -> None:
    robot = robot_of(edited(ROBOT, ("main-120a, lead length: 20 cm", "main-120a, lead length: 20 cm (fitted)")))
    assert said_fitted(robot, derive(robot)) == {("main", "battery plug to main breaker, plus")}
