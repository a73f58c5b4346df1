"""Lengths of the examples checked by hand: each drawn way added up from coordinates, then loops, leads and steps.

Nothing of the program is imported: slots and ways are taken as plan.yaml has them, all else from the robot file.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import Any

import pytest

from tests.realistic.conftest import Demo, DemoOf
from tests.realistic.first_facts import loop_ohm
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


# ------------------------------------------------------------------ seven of them, worked out to the end
@dataclass(frozen=True)
class Worked:
    """A circuit worked out from places [mm]: its way, its leads, what is stripped [mm], its load."""

    robot: str
    circuit: str
    trunks: tuple[str, ...]
    way: float
    stripped: float
    cut_m: float
    current_a: float
    awg: int
    lead: tuple[int, float] = (12, 0.0)

    @property
    def length_m(self) -> float:
        """Way less the load's own leads, and two loops."""
        return max(0.0, self.way / 1000 - self.lead[1]) + LOOP_M


WORKED = [
    # Tidepool's block [320, 230] is 150 x 200: left face at 245, right at 395, both from 330 down to 130. Six slots on
    # the left, 33.3 mm each: H2 at 330 - 50 = 280, H3 at 330 - 83.3 = 246.7. The left rail at 160 starts at 115 and has
    # breakouts every 52.5 mm: 272.5 and 220. Left rear [90, 240] faces back, so its left face looks right, at 127.5,
    # from 222.5 on; the first of three sockets is 5.8 mm along it, at 228.3.
    # 85.3 + 52.5 + 33.6 = 171 mm, less than its leads: two loops are left, 15 cm, and with 12 + 6.35 mm 17 cm are cut.
    Worked(
        "tidepool",
        "left rear",
        ("left rail",),
        way=hypot(245 - 160, 280 - 272.5) + (272.5 - 220) + hypot(160 - 127.5, 228.33 - 220),
        stripped=12 + 6.35,
        cut_m=0.17,
        current_a=40,
        awg=12,
        lead=(12, 0.20),
    ),
    # From H3 up the block's face to its corner 330, over to the cross [160 to 480, 360], which has breakouts every
    # 53.3 mm: 266.7; along it to the centre trunk at 320, forward to 520, up the chain by 40 cm, which travels 90 cm
    # and asks 5 cm more. Arm [290, 560, 400] faces back: left face at 327.5 from 542.5, first of three sockets at
    # 548.3, round its own corner. 83.3 + 37.0 + 53.3 + 160 + 400 + 950 + 23.7 + 5.8 = 1713 mm.
    Worked(
        "tidepool",
        "arm",
        ("cross", "centre", "lift chain"),
        way=(330 - 246.67)
        + hypot(266.67 - 245, 360 - 330)
        + (320 - 266.67)
        + (520 - 360)
        + 400
        + (900 + 50)
        + hypot(327.5 - 320, 542.5 - 520)
        + 5.83,
        stripped=12 + 6.35,
        cut_m=1.69,
        current_a=30,
        awg=12,
        lead=(12, 0.20),
    ),
    # Ten slots on the right, 20 mm each: L9 at 330 - 170 = 160. The right rail at 480 has breakouts at 167.5 and 115.
    # The air module [549, 155] faces back and is 130 x 80: along its front at 115 to its left face at 614, where the
    # first of two sockets is 20 mm on. 85.3 + 52.5 + 134 + 20 = 292 mm; thin ends are folded double: twice 11 mm.
    Worked(
        "tidepool",
        "air module",
        ("right rail",),
        way=hypot(480 - 395, 167.5 - 160) + (167.5 - 115) + (614 - 480) + 20,
        stripped=2 * 11 + 2 * 11,
        cut_m=0.49,
        current_a=9.8,
        awg=18,
    ),
    # Breakwater's block [350, 260] is 170 x 260: faces at 265, 435 and 390. Twelve slots a side, 21.7 mm each: H6 at
    # 390 - 119.2 = 270.8. The left lane at 235 from 115 to 535 has breakouts every 52.5 mm: 272.5 and 482.5. Lift
    # left [285, 475] has its only left socket at [245, 475]. 30.0 + 210 + 12.5 = 253 mm; clamps strip 12 mm.
    Worked(
        "breakwater",
        "lift left",
        ("left lane",),
        way=hypot(265 - 235, 272.5 - 270.83) + (482.5 - 272.5) + hypot(245 - 235, 482.5 - 475),
        stripped=12 + 12,
        cut_m=0.43,
        current_a=40,
        awg=12,
    ),
    # L1 at 390 - 10.8 = 379.2 to the end of middle cross [465, 420], back to its middle 350, up the tower by 30 cm,
    # which travels 110 cm and asks 5 cm more, along the arm's joint to [350, 560, 350], which travels 20 cm and asks
    # as much. Grabber [350, 600] faces left: its left face looks back, at 562.5 from 332.5 on; first of three at 338.3.
    # 50.7 + 115 + 300 + 1150 + 148.7 + 250 + 11.9 = 2026 mm.
    Worked(
        "breakwater",
        "grabber",
        ("middle cross", "lift tower", "arm joint"),
        way=hypot(465 - 435, 420 - 379.17)
        + (465 - 350)
        + 300
        + (1100 + 50)
        + hypot(560 - 420, 350 - 300)
        + (200 + 50)
        + hypot(350 - 338.33, 562.5 - 560),
        stripped=11 + 6.35,
        cut_m=2.00,
        current_a=20,
        awg=12,
        lead=(12, 0.20),
    ),
    # F1 is the first of four on the front, 265 + 21.25; middle cross has a breakout at 292.5. The regulator [140, 400]
    # faces back: its left socket is at [170, 400]. 30.6 + 57.5 + 68 = 156 mm for the radio's 1 A and 1.5 A of lights.
    Worked(
        "breakwater",
        "regulator",
        ("middle cross",),
        way=hypot(292.5 - 286.25, 420 - 390) + (292.5 - 235) + hypot(235 - 170, 420 - 400),
        stripped=8 + 8,
        cut_m=0.33,
        current_a=2.5,
        awg=16,
    ),
    # L8 at 390 - 162.5 = 227.5; rear right begins at [465, 215], and has breakouts every 38.75 mm: 542.5. The steady
    # block [525, 280] faces left, its back socket looks right at [555, 280], round its corner [555, 225].
    # 32.5 + 77.5 + 16.0 + 55 = 181 mm.
    Worked(
        "breakwater",
        "steady block",
        ("rear right",),
        way=hypot(465 - 435, 227.5 - 215) + (542.5 - 465) + hypot(555 - 542.5, 225 - 215) + (280 - 225),
        stripped=11 + 11,
        cut_m=0.36,
        current_a=1.75,
        awg=14,
    ),
]


@pytest.mark.parametrize("worked", WORKED, ids=[f"{one.robot} {one.circuit}" for one in WORKED])
def test_seven_circuits_worked_out_to_the_end(worked: Worked, demo_of: DemoOf) -> None:
    """Way, length, drop and cut. If an example or a price moves a way, its arithmetic is to be done again here."""
    demo = demo_of(worked.robot)
    told = _circuit(demo.plan, worked.circuit)
    route = next(one for one in demo.plan["trunks"]["routes"] if one["run"] == worked.circuit)
    assert tuple(route["trunks"]) == worked.trunks
    assert route["length_mm"] == pytest.approx(worked.way, abs=0.1)
    assert told["length_m"] == pytest.approx(worked.length_m, abs=6e-4)
    dropped_v = worked.current_a * (loop_ohm(worked.awg, worked.length_m) + loop_ohm(*worked.lead))
    assert told["drop_v"] == pytest.approx(dropped_v, abs=1e-3)
    assert worked.cut_m - 0.01 < worked.length_m + worked.stripped / 1000 <= worked.cut_m
    wires = [wire for wire in demo.plan["wires"] if wire["circuit"] == worked.circuit]
    assert [wire["length_m"] for wire in wires] == [worked.cut_m, worked.cut_m]
    assert {wire["a_strip_mm"] + wire["b_strip_mm"] for wire in wires} == {worked.stripped}
