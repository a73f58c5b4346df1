"""`loomwright change` as a team meets it: exit codes, both forms, nothing written."""

from __future__ import annotations

import json
from pathlib import Path

from tests.journeys.program import content, loomwright
from tests.robots import example_text


def test_a_trainer_is_planned_fitted_edited_and_planned_again(tmp_path: Path) -> None:
    """Never planned, planned, one slot fitted, edited: `change` says what each would mean, and writes nothing."""
    robot = tmp_path / "robot.yaml"
    robot.write_text(example_text("rockpool"), encoding="utf-8")
    first = loomwright("change", str(tmp_path))
    assert first.code == 0
    assert "there is no plan.yaml" in first.out
    assert not (tmp_path / "plan.yaml").exists()

    assert loomwright("plan", str(tmp_path)).code == 0
    slot = next(c for c in told(tmp_path / "out" / "plan.json")["circuits"] if c["circuit"] == "left wheel")["slot"]
    text = robot.read_text(encoding="utf-8")
    assert "  left wheel:\n" in text
    fitted = text.replace("  left wheel:\n", f"  left wheel:\n    slot: {slot} (fitted)\n")
    robot.write_text(fitted, encoding="utf-8")
    assert loomwright("change", str(tmp_path)).code == 0
    assert loomwright("plan", str(tmp_path)).code == 0

    robot.write_text(fitted.replace("left wheel", "port wheel"), encoding="utf-8")
    renamed = loomwright("change", "-C", str(tmp_path))
    assert renamed.code == 0
    assert "To relabel, 2 finished wires:" in renamed.out

    other = next(s for s in ("L1", "L2", "L3") if s != slot)
    robot.write_text(fitted.replace(f"{slot} (fitted)", other), encoding="utf-8")
    before = content(tmp_path)
    moved = loomwright("change", str(tmp_path))
    assert moved.code == 1
    assert moved.out.index("Caution: ") < moved.out.index("To undo, 2 finished wires:") < moved.out.index("To make")
    as_json = loomwright("change", str(tmp_path), "--json")
    assert as_json.code == 1
    assert [step["ends"] for step in json.loads(as_json.out)["undo"]] == [["A"], ["A"]]
    assert content(tmp_path) == before

    assert loomwright("plan", str(tmp_path)).code == 0
    assert loomwright("change", str(tmp_path)).code == 0


def test_what_cannot_be_read_ends_with_2(tmp_path: Path) -> None:
    """A spoilt plan.yaml, a spoilt robot.yaml, a build that is not there."""
    robot = tmp_path / "robot.yaml"
    robot.write_text(example_text("rockpool"), encoding="utf-8")
    assert loomwright("change", str(tmp_path), "--build", "nothing").code == 2
    (tmp_path / "plan.yaml").write_text("format: 99\n", encoding="utf-8")
    newer = loomwright("change", str(tmp_path))
    assert (newer.code, newer.out) == (2, "")
    assert "[plan-newer]" in newer.err
    robot.write_text("robot: [\n", encoding="utf-8")
    assert loomwright("change", str(tmp_path)).code == 2


def told(path: Path) -> dict[str, list[dict[str, str]]]:
    """Read what a plan says for scripts."""
    data: dict[str, list[dict[str, str]]] = json.loads(path.read_text(encoding="utf-8"))
    return data
