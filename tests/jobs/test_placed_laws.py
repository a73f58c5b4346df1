"""Laws of robots with places, reckoned again from the layout alone: wires reach, stay out, fit, and stay the same.

A longer run: `FUZZ_EXAMPLES=300 python -m pytest tests/jobs/test_placed_laws.py`.
"""

from __future__ import annotations

import json
import math
import os
from itertools import pairwise
from typing import Any

import pytest
import shapely
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from loomwright.documents.json.plan import plan_json
from loomwright.layout.checker.orders import check_orders
from loomwright.layout.lengths import SERVICE_LOOP_M, lead_m
from loomwright.layout.result import Course, Edge
from loomwright.plan.result import Plan
from loomwright.robotfile.plans.planfile import read_memory, write_plan
from tests.layout.placed_robots import placed_robots
from tests.robots import as_text, plan_of, shuffled

#: Nothing is shrunk unless a longer run asks for it: each try is a whole plan.
_MORE = os.environ.get("FUZZ_EXAMPLES")
_PHASES = (Phase.explicit, Phase.generate, *((Phase.shrink,) if _MORE else ()))
fuzz = settings(max_examples=int(_MORE or "6"), phases=_PHASES)
_HAIR_M = 1e-4
_SKIN_M = 2e-3


@fuzz
@given(placed_robots())
def test_no_wire_is_shorter_than_its_way_and_no_way_than_straight(data: dict[str, Any]) -> None:
    """A wire is as long as its way less the leads, with two loops; no way beats the straight line."""
    plan = plan_of(as_text(data))
    if plan.layout is None:
        return
    at = {node.name: node.at for node in plan.layout.net.nodes}
    edges = {edge.name: edge for edge in plan.layout.edges}
    wires = {wire.key: wire for wire in plan.wires}
    ends = {wire.key: (wire.a, wire.b) for circuit in plan.wiring.circuits for wire in circuit.wires}
    said = {circuit.id for circuit in plan.circuits if circuit.length.origin == "given"}
    for edge in edges.values():
        assert max(math.dist(at[edge.a], edge.path[0]), math.dist(at[edge.b], edge.path[-1])) < _HAIR_M
        assert edge.length_m >= sum(math.dist(one, other) for one, other in pairwise(edge.path)) - _HAIR_M
    for route in plan.layout.routes:
        way_m = sum(edges[name].length_m for name in route.edges)
        assert way_m >= math.dist(at[route.nodes[0]], at[route.nodes[-1]]) - _HAIR_M
        needed_m = sum(edges[name].wire_m for name in route.edges)
        for key in next(run.wires for run in plan.layout.runs if run.name == route.run):
            length_m = wires[key].length_m
            if key[0] not in said and length_m is not None and not wires[key].captive:
                own_m = sum(lead_m(plan.robot, end) for end in ends[key])
                assert length_m >= max(0.0, needed_m - own_m) + 2 * SERVICE_LOOP_M - _HAIR_M, key


@fuzz
@given(placed_robots())
def test_wires_stay_out_of_keep_outs_and_fit_through_their_trunks(data: dict[str, Any]) -> None:
    """No stretch that the tool proposes runs through a keep-out; clips hold at least the wires' bare section."""
    plan = plan_of(as_text(data))
    if plan.layout is None:
        return
    edges = {edge.name: edge for edge in plan.layout.edges}
    through: dict[str, list[float]] = {}
    for route in plan.layout.routes:
        run = next(run for run in plan.layout.runs if run.name == route.run)
        for name in route.edges:
            through.setdefault(name, []).extend(run.options[route.option].wire_mm)
            assert not (run.power and edges[name].signal_only)
    for name, wire_mm in through.items():
        assert not list(_crossed(plan, edges[name])), name
        capacity_m = edges[name].capacity_m
        if capacity_m is not None:
            assert math.sqrt(sum(mm**2 for mm in wire_mm)) <= capacity_m * 1000 + 1e-6
            assert sum(sorted(wire_mm)[-2:]) <= capacity_m * 1000 + 1e-6
    assert check_orders(plan.layout.edges, plan.layout.routes, plan.layout.sections) == (
        plan.layout.crossings,
        plan.layout.forced,
    )


def _crossed(plan: Plan, edge: Edge) -> list[str]:
    """Name the keep-outs that a drop, a link or a loose way runs through, by its height on each stretch."""
    if edge.course is Course.TRUNK:
        return []
    plates = sorted(plan.robot.plates, key=lambda plate: plate.height_m)
    tops = [*(plate.height_m for plate in plates[1:]), math.inf]
    found: list[str] = []
    for at, (plate, top_m) in enumerate(zip(plates, tops, strict=True)):
        low_m = plate.height_m if at else -math.inf
        for keep_out in plate.keep_outs:
            inner = shapely.Polygon(keep_out.corners).buffer(-_SKIN_M)
            for one, other in pairwise(edge.path):
                if min(one[2], other[2]) < top_m and max(one[2], other[2]) > low_m:
                    flat = shapely.LineString([one[:2], other[:2]])
                    found += [keep_out.name] if flat.intersects(inner) else []
    return found


@fuzz
@given(placed_robots(), st.integers(0, 99))
def test_the_same_robot_gives_the_same_plan(data: dict[str, Any], seed: int) -> None:
    """Neither the order of the keys nor the memory of the same plan changes anything; ids and slots are used once."""
    plan = plan_of(as_text(data), inputs="same")
    assert plan_of(as_text(shuffled(data, seed)), inputs="same").revision == plan.revision
    again = plan_of(as_text(data), inputs="same", memory=read_memory(write_plan(plan), "plan.yaml"))
    assert write_plan(again) == write_plan(plan)
    assert len({wire.id for wire in plan.wires}) == len(plan.wires)
    spots = [(circuit.source, circuit.slot.value) for circuit in plan.circuits if circuit.slot.value]
    assert len(set(spots)) == len(spots)
    json.loads(plan_json(plan), parse_constant=pytest.fail)


def test_a_trunk_that_comes_back_to_where_it_was_is_counted_rightly() -> None:
    """A moving trunk drawn out and back passes one place twice: the checker tells the same crossings as the weaving."""
    text = """
robot: Back
blocks:
  block: {part: block/12-heavy-12-light-2-fused, at: [400 mm, 560 mm]}
mechanisms:
  lift: {motors: {lift motor: {at: [400 mm, 560 mm], rides on: lift}}}
electronics:
  robot controller: {at: [80 mm, 80 mm]}
data: {chain: [lift motor, block]}
plate:
  trunks:
    lift: {along: [[80 mm, 160 mm], [160 mm, 560 mm], [80 mm, 160 mm]], moving: yes}
"""
    layout = plan_of(text).layout
    assert layout is not None
    assert any(len(section.order) > 1 and section.path[0] == section.path[-1] for section in layout.sections)
    assert check_orders(layout.edges, layout.routes, layout.sections) == (layout.crossings, layout.forced)
