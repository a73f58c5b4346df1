"""The bench of a robot: which plan it takes, what it takes in, and what its screens then show."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from loomwright.documents.json.bench import ends_data, wake_up_data
from loomwright.findings import UnreadableInputError
from loomwright.jobs.bench import Bench
from loomwright.jobs.current import planned
from loomwright.jobs.plan import plan_robot
from loomwright.plan.result import Plan
from loomwright.proof.as_built.ends import built_ends_of
from loomwright.proof.as_built.wake_locks import Moment
from loomwright.proof.wake_up import wake_up
from loomwright.proof.wake_up_result import WakeUp
from loomwright.records.ends import Standing
from loomwright.records.event import Role
from loomwright.store import open_store
from tests.records.events import NOON, key
from tests.robots import example_text


@pytest.fixture(scope="module")
def trainer(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Plan the bench trainer."""
    folder = tmp_path_factory.mktemp("bench")
    (folder / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    plan_robot(folder)
    return folder


@pytest.fixture
def bench(trainer: Path, tmp_path: Path) -> Iterator[Bench]:
    """Open an empty bench of it."""
    plan = planned(trainer)
    with open_store(tmp_path / "bench.db", robot=plan.robot.name, now=NOON, new_origin=lambda: "laptop-test") as store:
        yield Bench(trainer, "", store, plan)


def made(number: int, **fields: Any) -> dict[str, Any]:  # noqa: ANN401  any field of an event
    """Return a signature of W6 A as a phone sends it."""
    told = {"key": key(number), "kind": "made", "who": "AB", "measured_at": NOON, "wire": "W6", "end": "A"}
    return told | fields


def test_only_a_plan_that_is_written_and_current_is_built(trainer: Path, tmp_path: Path) -> None:
    """Without plan.yaml, or with a robot file that was edited since, it says what to run."""
    assert planned(trainer).revision
    (tmp_path / "robot.yaml").write_text(example_text("rockpool"), encoding="utf-8")
    with pytest.raises(UnreadableInputError) as caught:
        planned(tmp_path)
    (fault,) = caught.value.faults
    assert (fault.code, fault.what) == ("plan-first", "There is no plan yet.")
    plan_robot(tmp_path)
    (tmp_path / "robot.yaml").write_text(
        example_text("rockpool").replace("[530 mm, 400 mm]", "[530 mm, 405 mm]"), encoding="utf-8"
    )
    with pytest.raises(UnreadableInputError) as caught:
        planned(tmp_path)
    assert caught.value.faults[0].what == "The robot's files have changed since."


def test_what_is_signed_stands_on_the_disk_and_on_the_screen(bench: Bench) -> None:
    """Each event has its answer; the same key again is known; what can't be read is refused with its reasons."""
    answers = bench.sign([made(1), made(1), made(2, end="C"), "?"], Role.STUDENT, now=NOON)
    assert [answer.outcome for answer in answers] == ["added", "known", "refused", "refused"]
    assert "`wire` and `end`" in answers[2].why[0]
    (again,) = bench.sign([made(1, who="CD")], Role.STUDENT, now=NOON)
    assert again.outcome == "refused"
    told = ends_data(bench.plan, bench.view().groups)
    ends = {f"{e['wire']} {e['end']}": e for group in told["groups"] for step in group["steps"] for e in step["ends"]}
    assert ends["W6 A"]["standing"] == Standing.MADE
    assert ends["W6 A"]["of"] == [key(1)]
    assert told["counts"][Standing.MADE] == 1
    assert len(bench.store.records()) == 1


@pytest.mark.parametrize("kind", ["taken back", "approved", "setting"])
def test_a_student_does_not_do_what_only_a_mentor_may(bench: Bench, kind: str) -> None:
    """Refused in words for a student, and nothing is written; taken from a mentor."""
    told = {"key": key(9), "kind": kind, "who": "AB", "measured_at": NOON, "about": "x", "of": [key(1)]}
    (answer,) = bench.sign([told], Role.STUDENT, now=NOON)
    assert answer.outcome == "refused"
    assert "Only a mentor" in answer.why[0]
    assert bench.store.records() == []
    (answer,) = bench.sign([told], Role.MENTOR, now=NOON)
    assert answer.outcome == "added"


def test_events_of_another_build_are_not_mixed_in(bench: Bench) -> None:
    """A phone that still shows another build is told so."""
    (answer,) = bench.sign([made(1, build="practice")], Role.STUDENT, now=NOON)
    assert answer.outcome == "refused"
    assert "practice" in answer.why[0]


def test_the_wake_up_screen_judges_what_was_measured(bench: Bench) -> None:
    """A reading out of its range says so with its reason, and power told on shows."""
    reading = {
        "key": key(1), "kind": "measured", "who": "AB", "measured_at": NOON, "about": "left wheel: plus",
        "value": 3.0, "unit": "ohm",
    }  # fmt: skip
    on = {"key": key(2), "kind": "power on", "who": "AB", "measured_at": NOON}
    bench.sign([reading, on], Role.STUDENT, now=NOON)
    view = bench.view()
    told = wake_up_data(Moment(view.wake_up, view.state, "", built_ends_of(view.groups), NOON))
    row = next(row for row in told["rows"] if row["key"] == "left wheel: plus")
    assert (row["verdict"], row["of"]) == ("stop", [key(1), key(2)])
    assert told["power"] == {"told_on": True, "of": [key(2)]}
    assert [row["number"] for row in told["rows"]] == sorted(row["number"] for row in told["rows"])


def test_a_new_plan_is_taken_over_and_sends_back_what_it_changes(trainer: Path, tmp_path: Path) -> None:
    """Edited: the bench says that it is stale. Planned: it shows the new plan, and the moved end is to be redone."""
    folder = tmp_path / "robot"
    folder.mkdir()
    (folder / "robot.yaml").write_bytes((trainer / "robot.yaml").read_bytes())
    plan = plan_robot(folder).plan
    circuit = plan.circuit("left wheel")
    assert circuit is not None
    wire = circuit.wires[0]
    signed = {"gauge": str(wire.gauge), "device": "block", "slot": circuit.slot.value}
    with open_store(tmp_path / "bench.db", robot=plan.robot.name, now=NOON, new_origin=lambda: "laptop-test") as store:
        bench = Bench(folder, "", store, planned(folder))
        bench.sign([made(1, wire=wire.id, as_planned=signed)], Role.STUDENT, now=NOON)
        assert not bench.look_again()
        slot = next(slot for slot in ("L1", "L2", "L3") if not plan.on_slot("block", slot))
        text = example_text("rockpool").replace("  left wheel:\n", f"  left wheel:\n    slot: {slot}\n", 1)
        (folder / "robot.yaml").write_text(text, encoding="utf-8")
        assert not bench.look_again()
        assert bench.view().stale
        plan_robot(folder)
        assert bench.look_again()
        view = bench.view()
        assert not view.stale
        ends = [end for group in view.groups for step in group.steps for end in step.ends]
        (end,) = [end for end in ends if end.name == f"{wire.id} A"]
        assert end.standing is Standing.REDO
        assert f"block {slot}" in end.why[0]


def test_a_plan_with_the_same_decisions_and_other_facts_is_taken_over_too(trainer: Path, tmp_path: Path) -> None:
    """What a file says otherwise may show on a screen though no decision changed: it is another edition."""
    folder = tmp_path / "robot"
    folder.mkdir()
    (folder / "robot.yaml").write_bytes((trainer / "robot.yaml").read_bytes())
    plan_robot(folder)
    with open_store(tmp_path / "bench.db", robot="Rockpool trainer", now=NOON, new_origin=lambda: "laptop-a") as store:
        bench = Bench(folder, "", store, planned(folder))
        before = bench.view()
        text = example_text("rockpool").replace("guarded: yes", "guarded: no", 1)
        (folder / "robot.yaml").write_text(text, encoding="utf-8")
        plan_robot(folder)
        assert bench.look_again()
        after = bench.view()
        assert (after.plan.revision, after.stale) == (before.plan.revision, False)
        assert after.edition != before.edition


def test_a_robot_file_that_can_not_be_read_leaves_the_bench_as_it_is(trainer: Path, bench: Bench) -> None:
    """Somebody is in the middle of an edit: the bench goes on with its plan, and says that it is stale."""
    before = (trainer / "robot.yaml").read_bytes()
    try:
        (trainer / "robot.yaml").write_text("robot: [", encoding="utf-8")
        assert not bench.look_again()
        assert bench.view().stale
        assert bench.view().plan.revision == replace(bench.plan).revision
    finally:
        (trainer / "robot.yaml").write_bytes(before)
    bench.look_again()
    assert not bench.view().stale


def test_the_wake_up_list_is_worked_out_when_it_is_asked_for_and_once(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every screen tells its looks without it; what is signed later changes nothing about it."""
    worked_out: list[str] = []
    real = wake_up

    def counted(plan: Plan) -> WakeUp:
        worked_out.append(plan.revision)
        return real(plan)

    monkeypatch.setattr("loomwright.jobs.bench.wake_up", counted)
    assert bench.view().looks == real(bench.plan).looks
    assert worked_out == []
    first = bench.view().wake_up
    bench.sign([made(1)], Role.STUDENT, now=NOON)
    assert bench.view().wake_up is first
    assert len(worked_out) == 1


def test_a_battery_belongs_to_the_team_whatever_build_is_served(bench: Bench) -> None:
    """The bench of a practice build takes what is told of batteries, and no end of another build."""
    bench.build = "practice"
    rack = {"key": key(1), "kind": "battery", "who": "AB", "measured_at": NOON, "about": "B1"}
    outcomes = [answer.outcome for answer in bench.sign([rack, made(2)], Role.STUDENT, now=NOON)]
    assert outcomes == ["added", "refused"]
