"""Lengths of the examples checked by hand: each drawn way added up from coordinates, then loops, leads and steps.

Nothing of the program is imported: slots and ways are taken as plan.yaml has them, all else from the robot file.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.realistic.conftest import Demo, DemoOf
from tests.realistic.hand_ways import LEADS, box_of, way_mm

LOOP_M = 0.15  # two service loops of 75 mm (common practice)
STEP_M = 0.01  # wires are cut to whole centimetres (common practice)
POWER = ("feeder", "branch", "output")
#: How many power circuits of each example have a way; the others are ready-made cables.
ROUTED = {"tidepool": 19, "breakwater": 27}


def _routed(demo: Demo) -> dict[str, list[str]]:
    """Return the way of every power circuit of one lane, wires only."""
    wires = {c["circuit"]: c for c in demo.plan["circuits"] if c["kind"] in POWER and c["gauge"] is not None}
    return {run["run"]: run["along"] for run in demo.memory["runs"] if run["run"] in wires}


def _lead_m(demo: Demo, circuit: str) -> float:
    load = next(w["b_device"] for w in demo.plan["wires"] if w["circuit"] == circuit)
    return LEADS.get(box_of(demo.robot, load).part, (0, 0.0))[1]


def _circuit(plan: dict[str, Any], name: str) -> dict[str, Any]:
    return next(held for held in plan["circuits"] if held["circuit"] == name)


@pytest.mark.parametrize("robot", ROUTED)
def test_every_way_is_as_long_as_its_coordinates_say(robot: str, demo_of: DemoOf) -> None:
    """Drops round the device's own box, stretches between the corners that the team wrote, a joint's slack once."""
    demo = demo_of(robot)
    told = {route["run"]: route["length_mm"] for route in demo.plan["trunks"]["routes"]}
    routed = _routed(demo)
    assert len(routed) == ROUTED[robot]
    assert {run: told[run] for run in routed} == {
        run: pytest.approx(way_mm(demo.robot, steps), abs=2) for run, steps in routed.items()
    }


@pytest.mark.parametrize("robot", ROUTED)
def test_every_length_is_way_less_leads_with_loops_and_cut_in_whole_steps(robot: str, demo_of: DemoOf) -> None:
    """The current runs along the wire without terminals; what is stripped is cut on top, up to a whole centimetre."""
    demo = demo_of(robot)
    for run, way in _routed(demo).items():
        told = _circuit(demo.plan, run)
        length_m = max(0.0, way_mm(demo.robot, way) / 1000 - _lead_m(demo, run)) + LOOP_M
        assert told["length_m"] == pytest.approx(length_m, abs=0.0025), run
        for wire in (w for w in demo.plan["wires"] if w["circuit"] == run):
            stripped_m = (wire["a_strip_mm"] + wire["b_strip_mm"]) / 1000
            steps = wire["length_m"] / STEP_M
            assert steps == pytest.approx(round(steps)), wire["wire"]
            beyond = steps - (told["length_m"] + stripped_m) / STEP_M
            assert -0.05 <= beyond < 1.05, wire["wire"]  # the length is told in whole millimetres
