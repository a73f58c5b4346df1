"""What was signed at the bench is made: a new plan keeps it, and `change` says what an edit would undo."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from loomwright.jobs.change import change
from loomwright.jobs.check import check
from loomwright.jobs.plan import plan_robot
from loomwright.plan.result import Plan
from loomwright.records.event import Event, Kind, Role
from loomwright.store import open_store
from tests.records.events import NOON, event
from tests.robots import example_text, measured_trainer


@pytest.fixture(scope="module")
def planned_trainer(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Plan the bench trainer once."""
    folder = tmp_path_factory.mktemp("planned")
    (folder / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    plan_robot(folder)
    return folder


@pytest.fixture
def folder(planned_trainer: Path, tmp_path: Path) -> Path:
    """Copy the folder of the bench trainer, planned."""
    return shutil.copytree(planned_trainer, tmp_path, dirs_exist_ok=True)


def signed(folder: Path, *events: Event, role: Role = Role.STUDENT) -> None:
    """Record some events in the folder's bench.db."""
    with open_store(folder / "bench.db", robot="Rockpool trainer", now=NOON, new_origin=lambda: "laptop-test") as store:
        store.append(list(events), role=role, received_at=NOON)


def wires_of(plan: Plan, circuit: str) -> list[str]:
    """Return the ids of a circuit's wires."""
    return [wire.id for wire in plan.wires if wire.circuit == circuit]


def slot_of(plan: Plan, circuit: str) -> str:
    """Return the slot of a circuit."""
    found = plan.circuit(circuit)
    assert found is not None
    return found.slot.value


def edited(folder: Path) -> None:
    """Pin the left wheel to the slot that the right one has in the plan."""
    plan = check(folder)
    slot = slot_of(plan, "right wheel")
    text = example_text("rockpool").replace("  left wheel:\n", f"  left wheel:\n    slot: {slot}\n", 1)
    (folder / "robot.yaml").write_text(text, encoding="utf-8")


def test_a_signed_wire_is_made_and_an_unsigned_one_is_not(folder: Path) -> None:
    """One signed end makes its wire; the plan that has to move it says so before anybody touches it."""
    wire = wires_of(check(folder), "left wheel")[0]
    edited(folder)
    assert change(folder).rework.undo == ()
    signed(folder, event(1, Kind.MADE, wire=wire, end="A"))
    undone = change(folder).rework.undo
    assert [step.id for step in undone] == [wire]
    assert "A" in undone[0].ends


def test_what_a_mentor_took_back_is_not_made(folder: Path) -> None:
    """A signature that was a mistake binds nothing."""
    wire = wires_of(check(folder), "left wheel")[0]
    signed(folder, event(1, Kind.MADE, wire=wire, end="A"), role=Role.MENTOR)
    signed(folder, event(2, Kind.TAKEN_BACK, of=(1,)), role=Role.MENTOR)
    edited(folder)
    assert change(folder).rework.undo == ()


def test_another_build_is_another_robot_here(folder: Path) -> None:
    """What was signed for the practice build binds the practice build alone."""
    wire = wires_of(check(folder), "left wheel")[0]
    signed(folder, event(1, Kind.MADE, wire=wire, end="A", build="practice"))
    edited(folder)
    assert change(folder).rework.undo == ()


def test_a_new_plan_leaves_a_signed_wire_where_it_is(folder: Path) -> None:
    """A longer way for everything else: the signed wire keeps its slot, its gauge, its length and its id."""
    before = check(folder)
    wire = wires_of(before, "left wheel")[0]
    signed(folder, event(1, Kind.MADE, wire=wire, end="A"))
    text = measured_trainer().replace("length: 40 cm", "length: 41 cm").replace("length: 45 cm", "length: 90 cm")
    (folder / "robot.yaml").write_text(text, encoding="utf-8")
    after = plan_robot(folder, fresh=True).plan
    assert slot_of(after, "left wheel") == slot_of(before, "left wheel")
    assert wire in wires_of(after, "left wheel")
    assert {key for key in after.made if key[0] == "left wheel"}


def test_signing_does_not_make_a_plan_old(folder: Path) -> None:
    """The plan of the same files stays as it is, to the byte, however much is signed."""
    plan = check(folder)
    held = (folder / "plan.yaml").read_bytes()
    signed(folder, *(event(n, Kind.MADE, wire=wire.id, end="A") for n, wire in enumerate(plan.wires, 1)))
    assert plan_robot(folder).plan.revision == plan.revision
    assert (folder / "plan.yaml").read_bytes() == held


def test_records_that_can_not_be_read_are_told_and_planning_goes_on(folder: Path) -> None:
    """A damaged bench.db, or another robot's, is a finding that says what to do; check and plan still work."""
    (folder / "bench.db").write_bytes(b"not a database at all" * 400)
    told = [finding for finding in check(folder).findings if finding.code == "bench-not-minded"]
    assert len(told) == 1
    assert "bench.db" in told[0].what
    assert told[0].fix


def test_looking_writes_nothing(folder: Path) -> None:
    """`check` leaves bench.db and its folder as they are."""
    signed(folder, event(1, Kind.MADE, wire="W6", end="A"))
    before = {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}
    check(folder)
    assert {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()} == before
