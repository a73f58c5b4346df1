"""Which rule book judges a robot: the shipped one that it names, or the team's own."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.journeys.program import loomwright
from tests.robots import example_text

OURS = "rule book: our season\ndated: 2027\nbased on: common-practice\nrules:\n"


@pytest.fixture
def robot(tmp_path: Path) -> Path:
    """Make the demo robot's folder."""
    (tmp_path / "robot.yaml").write_text(example_text("tidepool"), encoding="utf-8")
    return tmp_path


def test_a_team_overrides_a_rule_by_its_id(robot: Path) -> None:
    """With `gauge-by-protection` at 10 AWG for 40 A the plan takes 10 AWG, and says which rule decided."""
    rule = "  gauge-by-protection: {parameters: {minimum: {breaker: {40 A: 10 AWG}}}}\n"
    (robot / "rules.yaml").write_text(OURS + rule, encoding="utf-8")
    planned = loomwright("plan", str(robot))
    assert planned.code == 0, planned.out
    line = next(line for line in planned.out.splitlines() if line.startswith("left front"))
    assert "10 AWG" in line
    assert "our season" in (robot / "out" / "plan.json").read_text(encoding="utf-8")


def test_a_robot_file_and_rules_yaml_that_name_two_books_are_asked_about(robot: Path) -> None:
    """`rules: bench-trainer` beside a rules.yaml built on something else is told, and rules.yaml wins."""
    file = robot / "robot.yaml"
    text = file.read_text(encoding="utf-8").replace("rules: common-practice", "rules: bench-trainer")
    file.write_text(text, encoding="utf-8")
    rule = "  free-slots: {severity: off, reason: We know.}\n"
    (robot / "rules.yaml").write_text(OURS + rule, encoding="utf-8")
    checked = loomwright("check", str(robot))
    assert checked.code == 0, checked.err
    assert "[two-rule-books] should" in checked.out
    assert "rules.yaml is used" in checked.out


def test_a_book_that_stands_alone_is_asked_about(robot: Path) -> None:
    """Without `based on` no common rule holds: that is said, and so is the book that judged."""
    rule = (
        "  thick: {check: battery path gauge, sentence: Thick leads., severity: must, source: us, "
        "parameters: {minimum: 8 AWG}}\n"
    )
    (robot / "rules.yaml").write_text(OURS.replace("based on: common-practice\n", "") + rule, encoding="utf-8")
    checked = loomwright("check", str(robot))
    assert checked.code == 0, checked.err
    assert "[no-book-below] should" in checked.out
    assert "Judged by the rule book our season, 2027." in checked.out
    assert "Caution: Before you touch a wire" in checked.out


def test_an_unknown_rule_book_is_told_at_its_place(robot: Path) -> None:
    """The fault points at the name in robot.yaml and offers the nearest one."""
    file = robot / "robot.yaml"
    text = file.read_text(encoding="utf-8").replace("rules: common-practice", "rules: common-practise")
    file.write_text(text, encoding="utf-8")
    checked = loomwright("check", str(robot))
    assert checked.code == 2
    assert checked.err.startswith("robot.yaml:6:8  rules  [unknown-rule-book] must\n")
    assert "`common-practice`" in checked.err
