"""Week five: half of the robot is wired, and the team adds a mechanism, moves a device and swaps a controller."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tests.jobs.test_deciding import ROBOT
from tests.journeys.in_process import here
from tests.journeys.program import content

INTAKE = (
    "  intake: {motor: motor/brushed-340w, controller: controller/inline-40a, at: [30 cm, 54 cm],"
    " limit: {supply: 30 A}}\nelectronics:"
)


class Team:
    """A team with its folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.text = ""

    def write(self, text: str) -> None:
        """Save the robot file."""
        self.text = text
        (self.folder / "robot.yaml").write_text(text, encoding="utf-8")

    def edit(self, old: str, new: str) -> None:
        """Change one line of the robot file."""
        assert self.text.count(old) == 1
        self.write(self.text.replace(old, new))

    def plan(self) -> dict[str, dict[str, Any]]:
        """Plan, and return every wire by circuit and role."""
        assert here("plan", str(self.folder)).code == 0
        told = json.loads((self.folder / "out" / "plan.json").read_text(encoding="utf-8"))
        return {f"{wire['circuit']} {wire['role']}": wire for wire in told["wires"]}

    def change(self) -> tuple[int, dict[str, set[str]]]:
        """Ask what an edit means: the exit code, and the wires of each list."""
        before = content(self.folder)
        ended = here("change", str(self.folder), "--json")
        assert content(self.folder) == before
        told = json.loads(ended.out)
        return ended.code, {what: {step["circuit"] for step in told[what]} for what in ("undo", "make", "relabel")}


def test_week_five_touches_only_what_the_edit_asks_for(tmp_path: Path) -> None:
    """Finished ends stay through a new mechanism, a small move and swaps; what can't stay is told."""
    team = Team(tmp_path)
    team.write(ROBOT)
    first = team.plan()
    for name in ("left front", "left rear"):
        slot = first[f"{name} plus"]["a_where"].split()[1]
        team.edit(f"  {name}: {{", f"  {name}: {{slot: {slot} (fitted), ")
    fitted = team.plan()
    assert {key: wire["wire"] for key, wire in fitted.items()} == {key: wire["wire"] for key, wire in first.items()}
    done = {key: wire for key, wire in fitted.items() if key.startswith(("left front ", "left rear "))}
    assert len(done) == 4

    # A mechanism more: only makes, and its numbers are new.
    team.edit("electronics:", INTAKE)
    assert team.change() == (0, {"undo": set(), "make": {"intake", "intake: motor side"}, "relabel": set()})
    more = team.plan()
    assert {key: more[key] for key in done} == done
    used = {int(wire["wire"][1:]) for wire in fitted.values()}
    assert min(int(wire["wire"][1:]) for key, wire in more.items() if key not in fitted) > max(used)

    # A wired device goes 3 cm back along its rail: the service loops take it.
    team.edit("at: [6 cm, 8 cm]", "at: [6 cm, 5 cm]")
    code, lists = team.change()
    assert (code, lists["undo"]) == (0, set())
    moved = team.plan()
    assert {key: moved[key]["length_m"] for key in done} == {key: wire["length_m"] for key, wire in done.items()}

    # To the other corner they do not reach.
    near = team.text
    team.edit("at: [6 cm, 5 cm]", "at: [54 cm, 57 cm]")
    code, lists = team.change()
    assert (code, lists["undo"]) == (1, {"left rear"})
    team.write(near)

    # A controller that nobody has wired yet is another one: nothing is undone. One that is wired: its two wires are.
    for name, undone in (("right front", set()), ("left rear", {"left rear"})):
        line = next(line for line in near.splitlines() if line.startswith(f"  {name}:"))
        team.write(near)
        team.edit(line, line.replace("controller/inline-40a", "controller/brushless-60a"))
        code, lists = team.change()
        assert (code, lists["undo"]) == (1 if undone else 0, undone)
        assert name in lists["make"]
    swapped = team.plan()
    assert {key: wire["wire"] for key, wire in swapped.items() if key in done} == {
        key: wire["wire"] for key, wire in done.items()
    }
    assert swapped["left front plus"] == done["left front plus"] | {"path": swapped["left front plus"]["path"]}
    assert swapped["left rear plus"]["b_terminal"] != done["left rear plus"]["b_terminal"]
