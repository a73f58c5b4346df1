"""Checks that take in many things at a glance: what they hold, and that they show what those show one by one."""

from __future__ import annotations

import numpy as np
import pytest

from loomwright.hunting.robot.groups import group_checks
from loomwright.hunting.robot.shown import Shown, columns
from tests.hunting.robot.traced import HEALTHY, ROBOTS, planned, shows, traced

GROUPS = ("lights", "list", "mechanism", "pull", "shake")


def made_up(kind: str, about: str, *worse: float) -> Shown:
    """Return a check of two cases: in the second its worst outcome has this chance."""
    return Shown(
        kind=kind, about=about, place=about, chances=columns(*(np.array([0.0, each]) for each in worse)), seconds=1.0
    )


def groups(*single: Shown) -> dict[str, Shown]:
    """Return the groups that single checks make up on the small robot."""
    return {one.key: one for one in group_checks(planned("two plates"), {one.key: one for one in single})}


def test_three_at_least() -> None:
    """Two lights are looked at one by one; of a mechanism two motors are asked for at once."""
    lights = [made_up("look", name, 0.1) for name in ("left front controller", "left rear controller", "sub")]
    assert "lights block" in groups(*lights)
    assert groups(*lights[:2]) == {}
    chained = [made_up("seen", f"{name} controller", 0.0, 0.1) for name in ("left front", "left rear", "arm")]
    assert "list chain" in groups(*chained)
    assert groups(*chained[:2]) == {}


def test_half_each_for_itself_and_half_all_alike() -> None:
    """Three that are well with the chances 0.9, 0.8 and 0.5: 0.36 for themselves, 0.5 alike, 0.43 between."""
    chances = {"left front controller": 0.1, "left rear controller": 0.2, "sub": 0.5}
    found = groups(*(made_up("look", name, chance) for name, chance in chances.items()))["lights block"]
    assert found.chances[0] == pytest.approx([1.0, 0.0])
    assert found.chances[1] == pytest.approx([0.43, 0.57])
    assert found.seconds == pytest.approx(4.0 + 0.5 * 3)


def test_a_list_of_which_nothing_is_seen() -> None:
    """None is seen where each is missing, with the chances 0.9, 0.8 and 0.5: 0.36; the rest is some."""
    chances = {"left front controller": 0.9, "left rear controller": 0.8, "arm controller": 0.5}
    found = groups(*(made_up("seen", name, 0.0, chance) for name, chance in chances.items()))["list chain"]
    well = (0.1 * 0.2 * 0.5 + 0.1) / 2
    assert found.chances[1] == pytest.approx([well, 1 - well - 0.36, 0.36])
    assert found.seconds == pytest.approx(5.0 + 0.5 * 3)


def test_what_a_group_holds_shows_in_it() -> None:
    """Breakwater: a dark controller among the block's lights, a chain without its head, a lug at the block."""
    assert shows("breakwater", "open W8 A", "lights block")["some not"] > 0.99
    assert shows("breakwater", "open W8 A", "lights steady block")["all lit"] > 0.95
    assert shows("breakwater", "open W126 A", "list tool chain")["none seen"] > 0.9
    assert shows("breakwater", "open W116 A", "list tool chain")["some missing"] > 0.9
    assert shows("breakwater", "open W8 A", "pull block")["one gives"] > 0.8
    assert shows("breakwater", "open W8 B", "pull block")["one gives"] < 0.2
    assert shows("breakwater", "shaky W8 A", "shake block")["changes"] > 0.75
    assert shows("breakwater", "open W30 A", "mechanism lift")["not as ever"] > 0.99
    assert shows("breakwater", "open W8 A", "mechanism lift")["as ever"] > 0.95
    # A chain that is shorted leaves the lights on: a glance must not rule it out.
    assert 0.1 < shows("breakwater", "pair short tool chain: arm to grabber", "lights block")["all lit"] < 0.9


@pytest.mark.parametrize("name", ROBOTS)
def test_a_group_is_well_no_more_often_than_each_of_it(name: str) -> None:
    """Under every fault, of every group; and a healthy robot's groups are well."""
    robot = traced(name)
    places = {"pull": "tug", "shake": "wiggle"}
    ends = {f"{w.id} {end.letter}": end.device for w in planned(name).wires for end in (w.a, w.b)}
    for key, shown in robot.checks.items():
        if shown.kind in GROUPS:
            assert shows(name, HEALTHY, key)[robot.hunt.checks[robot.numbers[key]].outcomes[0]] > 0.8, key
        if shown.kind in places:
            single = places[shown.kind]
            held = [f"{single} {end}" for end, device in ends.items() if device == shown.about]
            there = [robot.checks[one] for one in held if one in robot.checks]
            assert len(there) >= 3
            least = np.min([one.chances[:, 0] for one in there], axis=0)
            assert np.all(shown.chances[:, 0] <= least + 1e-12), key
            each_s = 3.0 if shown.kind == "pull" else 1.5
            assert shown.seconds == pytest.approx(4.0 + each_s * len(there))
