"""`loomwright change` on the terminal and for scripts, told of plans made by hand."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest

from loomwright.cli.change_words import change_as_data, change_text, rework_lines
from loomwright.jobs.change import Change
from loomwright.model.part import Polarity
from loomwright.plan.memory import Memory
from loomwright.plan.remembering import remembered
from loomwright.plan.rework import rework
from loomwright.units import Gauge
from tests.documents_plan.factories import CAUTIONS, branch, end, plan

PAGE = (Path(__file__).parents[2] / "docs" / "outputs.md").read_text(encoding="utf-8")
MADE = frozenset({("left front", "plus"), ("left front", "minus"), ("right front", "plus"), ("climber", "plus")})


@pytest.fixture(autouse=True)
def _called_by_name(monkeypatch: pytest.MonkeyPatch) -> None:
    """Call the program by its own name, though loom.py, which may start the tests, gives it another."""
    monkeypatch.delenv("LOOMWRIGHT_CALLED", raising=False)


def before() -> Memory:
    """Give the last plan: two branches and a climber; the right controller had another name."""
    held = plan((branch("left front", 1), branch("right front", 3), branch("climber", 5)), findings=())
    return replace(remembered(held), renamed={"right front controller": "starboard controller"}, revision="0123abcd")


def after() -> Change:
    """Plan anew: a thicker plus wire, a minus wire on another slot, no climber, and an arm."""
    left = branch("left front", 1)
    plus = replace(left.wires[0], gauge=Gauge(10))
    minus = replace(left.wires[1], a=end("A", "block", Polarity.MINUS, socket="H5"))
    held = plan((replace(left, wires=(plus, minus)), branch("right front", 3), branch("arm", 7)), findings=())
    return Change(before(), held, rework(before(), held, MADE))


def test_the_lists_are_told_wire_by_wire_with_the_cautions_before_them() -> None:
    change = after()
    assert (
        change_text(change)
        == f"""\
Tidepool, build practice: Plan 0123abcd would become {change.plan.revision}.
Caution: Unplug the battery.
Caution: Vent all stored air.
Caution: The season's rule book comes first.
To undo, 3 finished wires:
  W1  left front, plus: block H3 plus to left front controller plus
      Take the wire out: 10 AWG instead of 12 AWG.
  W2  left front, minus: block H3 minus to left front controller minus
      Open end A: block H5 minus instead of block H3 minus.
  W5  climber, plus: block H3 plus to climber controller plus
      Take the wire out: not in the plan any more.
To make, 4 wires:
  W1  left front, plus: block H3 plus to left front controller plus
      10 AWG, RD, 85.3 cm: 10 AWG instead of 12 AWG.
  W2  left front, minus: block H5 minus to left front controller minus
      Make end A again and put a new flag on: block H5 minus instead of block H3 minus.
  W7  arm, plus: block H3 plus to arm controller plus
      New: 12 AWG, RD, 85.3 cm.
  W8  arm, minus: block H3 minus to arm controller minus
      New: 12 AWG, BK, 85.3 cm.
To relabel, 1 finished wire:
  W3  right front, plus: block H3 plus to right front controller plus
      New flags: starboard controller is called right front controller now.
Not needed any more, 1 wire:
  W6  climber, minus: block H3 minus to climber controller minus
      Nobody called it made. If it is there all the same, take it out.
If a finished thing only has another name now, say where it is: give it the `slot` or the place that it had, or write \
`(fitted)` behind its length.
1 finished wire stays as made, 1 wire still to make as planned before.
Finished work would be undone. Nothing has changed until you run `loomwright plan`."""
    )


def test_plan_gets_the_lists_alone_and_nothing_where_nothing_changes() -> None:
    lines = rework_lines(after())
    assert lines[: len(CAUTIONS)] == [f"Caution: {words}" for words in CAUTIONS]
    assert lines[len(CAUTIONS)] == "To undo, 3 finished wires:"
    held = plan()
    assert rework_lines(Change(remembered(held), held, rework(remembered(held), held, MADE))) == []


def test_nothing_to_do_is_one_line_and_what_stays() -> None:
    held = plan(findings=())
    text = change_text(Change(remembered(held), held, rework(remembered(held), held, MADE)))
    assert text == (
        f"Tidepool, build practice: nothing is to undo, to make anew or to relabel. Plan {held.revision}, as before.\n"
        "3 finished wires stay as made, 4 wires still to make as planned before."
    )


def test_where_nothing_is_called_made_the_way_to_say_so_is_told() -> None:
    held = plan(findings=())
    text = change_text(Change(remembered(held), held, rework(remembered(held), held, ())))
    assert "No wire is called made. Write `(fitted)` behind its slot" in text


def test_faults_of_the_new_plan_are_pointed_to() -> None:
    held = plan()
    assert "`loomwright check` says what." in change_text(Change(remembered(held), held, rework(Memory(), held, ())))


def test_a_robot_without_a_plan_says_so() -> None:
    held = plan()
    text = change_text(Change(None, held, rework(Memory(), held, ())))
    assert text.startswith(
        "Tidepool, build practice was never planned here: there is no plan.yaml, so all of its 7 wires"
    )
    assert len(text.splitlines()) == 1
    data = change_as_data(Change(None, held, rework(Memory(), held, ())))
    assert data["before"] is None
    assert len(data["make"]) == 7


def test_the_page_lists_each_key_of_the_json_and_no_other() -> None:
    data = json.loads(json.dumps(change_as_data(after()), allow_nan=False))
    keys = set(data) | {f"undo.{key}" for step in data["undo"] for key in step}
    _, _, section = PAGE.partition("\n## change --json\n")
    told = re.findall(r"^\| `([^`]+)` \|", re.split(r"^## ", section, flags=re.MULTILINE)[0], re.MULTILINE)
    assert set(told) == keys
    assert len(told) == len(keys)
    for name in ("make", "relabel", "drop"):
        assert all(set(step) == set(data["undo"][0]) for step in data[name])
        assert data[name]


def test_scripts_find_the_same_as_people() -> None:
    data = change_as_data(after())
    assert data["undo"][1] == {
        "wire": "W2",
        "circuit": "left front",
        "role": "minus",
        "whole": False,
        "ends": ["A"],
        "why": ["block H5 minus instead of block H3 minus"],
        "a": "block H3 minus",
        "b": "left front controller minus",
        "gauge": "12 AWG",
        "colour": "BK",
        "length_m": 0.853,
    }
    assert (data["keep"], data["waiting"], data["before"]) == (["W3"], ["W4"], "0123abcd")
    assert data["cautions"] == list(CAUTIONS)
