"""Bundles: where they begin and end, how thick they are, how they are held, and what asks for a look."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import accumulate, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.catalogue.bundle_practice import practice, practice_source
from loomwright.findings import Finding, Severity
from loomwright.layout.bundles import bundle_mm, bundles, company, sections_of, strands_of
from loomwright.layout.checker.packing import could_be_bundle
from loomwright.layout.result import Copper, Course, Edge, Point, Run
from loomwright.layout.ties import bends, tie_places
from loomwright.model.robot import KeepOut, Plate, Robot
from tests.layout.nets import Sample, edge, random_sample, route, run
from tests.robots import robot_of

ROBOT = """
robot: T
battery: {part: battery/agm-12v-18ah}
blocks: {block: {part: block/6-heavy-10-light-2-fused}}
plate:
  outline: [[0, 0], [600 mm, 0], [600 mm, 700 mm], [0, 700 mm]]
  trunks:
    spine: {along: [[300 mm, 100 mm], [300 mm, 600 mm]], sharp edge: yes, near swarf: yes}
    rail: [[60 mm, 100 mm], [60 mm, 640 mm]]
"""


def robot(*, upper: tuple[Plate, ...] = (), keep_outs: tuple[KeepOut, ...] = ()) -> Robot:
    """Return a robot with two trunks on a plate."""
    base = robot_of(ROBOT)
    return replace(base, plate=replace(base.plate, keep_outs=keep_outs), upper_plates=upper)


def line(*points: tuple[float, float], names: str = "", trunk: str = "spine", **more: object) -> tuple[Edge, ...]:
    """Make a trunk through these points, an edge from each to the next; nodes are n0, n1 and so on."""
    return tuple(
        edge(f"{trunk} {i}", ((*a, 0.0), (*b, 0.0)), (f"n{i}{names}", f"n{i + 1}{names}"), trunk=trunk, **more)
        for i, (a, b) in enumerate(pairwise(points))
    )


def along(edges: tuple[Edge, ...], *runs: tuple[Run, tuple[str, ...]]) -> Sample:
    """Route runs through these nodes."""
    return Sample(edges, tuple(r for r, _ in runs), tuple(route(edges, r.name, *nodes) for r, nodes in runs))


def told(sample: Sample, on: Robot | None = None) -> dict[str, Finding]:
    """Return what is found, by code."""
    return {f.code: f for f in bundles(on or robot(), sample.edges, sample.runs, sample.routes)[2]}


def to_a_hair(point: Point) -> Point:
    """Round a point to a micrometre."""
    return (round(point[0], 6), round(point[1], 6), round(point[2], 6))


# ---------------------------------------------------------------- sections


def test_a_section_ends_where_a_run_leaves_and_not_where_the_trunk_bends() -> None:
    """Two runs share two edges around a corner; one goes on alone."""
    edges = line((0, 0), (0, 0.2), (0.3, 0.2), (0.6, 0.2))
    sections = along(
        edges,
        (run("a", "n0", "n2"), ("n0", "n1", "n2")),
        (run("b", "n0", "n3", awg=12), ("n3", "n2", "n1", "n0")),
    ).sections
    assert [(s.name, s.edges, s.order) for s in sections] == [
        ("spine part 1", ("spine 0", "spine 1"), ("a", "b")),
        ("spine part 2", ("spine 2",), ("b",)),
    ]
    first = sections[0]
    assert first.path == ((0.0, 0.0, 0.0), (0.0, 0.2, 0.0), (0.3, 0.2, 0.0))
    assert first.length_m == pytest.approx(0.5)
    assert first.wires == 4
    assert first.diameter_m == pytest.approx(bundle_mm([3.94, 3.94, 2.74, 2.74]) / 1000)
    assert first.bend_m == pytest.approx(10 * 3.94e-3)
    assert first.fill is None


def test_a_trunk_in_one_piece_keeps_its_name_and_its_direction() -> None:
    """Most of its edges run the way that it is drawn; one that is told backwards changes nothing."""
    edges = line((0, 0), (0, 0.2), (0, 0.3), (0, 0.6))
    turned = replace(edges[0], a=edges[0].b, b=edges[0].a, path=edges[0].path[::-1])
    [section] = along((turned, *edges[1:]), (run("a", "n3", "n0"), ("n3", "n2", "n1", "n0"))).sections
    assert section.name == "spine"
    assert section.path == ((0, 0, 0), (0, 0.2, 0), (0, 0.3, 0), (0, 0.6, 0))


@pytest.mark.parametrize("more", [{"capacity_m": 0.03}, {"moving": True}, {"trunk": "rail"}])
def test_a_section_is_of_one_kind(more: dict[str, object]) -> None:
    """Other clips, a moving joint or another trunk begin a new one."""
    one, other = line((0, 0), (0, 0.2), (0, 0.5))
    edges = (one, replace(other, **more))  # type: ignore[arg-type]
    assert len(along(edges, (run("a", "n0", "n2"), ("n0", "n1", "n2"))).sections) == 2


def test_drops_make_no_section_and_links_are_proposals() -> None:
    """Only what is shared is a bundle; a link is the tool's own idea."""
    edges = (*line((0, 0), (0, 0.2)), edge("drop", ((0, 0.2, 0), (0.1, 0.2, 0)), ("n1", "end")))
    edges = (replace(edges[0], course=Course.LINK, trunk="link 1"), edges[1])
    [section] = along(edges, (run("a", "n0", "end"), ("n0", "n1", "end"))).sections
    assert (section.name, section.edges, section.proposed) == ("link 1", ("spine 0",), True)


def test_the_chosen_option_makes_the_bundle() -> None:
    """A run is as thick as the gauge that its route took."""
    edges = line((0, 0), (0, 0.2))
    thin, thick = run("a", "n0", "n1", awg=22), run("a", "n0", "n1", awg=12)
    both = replace(thin, options=(*thin.options, *thick.options))
    way = replace(route(edges, "a", "n0", "n1"), option=1)
    assert sections_of(edges, (both,), (way,))[0].diameter_m == pytest.approx(2 * 3.94e-3)


def test_a_bundle_fills_its_clips() -> None:
    """Fill is its diameter over the trunk's capacity."""
    edges = line((0, 0), (0, 0.2), capacity_m=0.01)
    [section] = along(edges, (run("a", "n0", "n1"), ("n0", "n1"))).sections
    assert section.fill == pytest.approx(0.548)


def test_a_section_is_tied_for_its_own_bend_and_joint() -> None:
    """12 AWG: a curve of 39.4 mm inside and 3.9 mm more to the middle begins 43 mm before the corner."""
    edges = line((0, 0), (0, 0.3), (0.3, 0.3))
    way = (run("a", "n0", "n2", awg=12), ("n0", "n1", "n2"))
    [section] = along(edges, way).sections
    assert (0.0, 0.25666, 0.0) in {to_a_hair(tie) for tie in section.ties}
    [joint] = along(tuple(replace(e, moving=True) for e in edges), way).sections
    assert len(joint.ties) == 2


def test_strands_end_where_a_trunk_forks() -> None:
    """Three arms of one trunk at a node are three strands, whoever takes them."""
    edges = (*line((0, 0), (0, 0.3), (0, 0.6)), edge("arm", ((0, 0.3, 0), (0.2, 0.3, 0)), ("n1", "n9"), trunk="spine"))
    assert [tuple(e.name for e in part) for _, part, _ in strands_of(edges)] == [("arm",), ("spine 0",), ("spine 1",)]
    assert len(strands_of(edges[:2])) == 1


@settings(max_examples=30)
@given(st.integers(0, 10_000), st.integers(2, 10), st.integers(3, 10))
def test_sections_cover_just_what_is_shared(seed: int, runs: int, crossroads: int) -> None:
    """Every used trunk edge lies in one section, with just the runs that take it; neighbours of a kind differ."""
    sample = random_sample(seed, runs=runs, crossroads=crossroads)
    taken = {name: {r.run for r in sample.routes if name in r.edges} for name in (e.name for e in sample.edges)}
    shared = sorted(e.name for e in sample.edges if e.shared and taken[e.name])
    sections = sample.sections
    assert sorted(name for section in sections for name in section.edges) == shared
    assert all(set(section.order) == taken[name] for section in sections for name in section.edges)
    assert len({section.name for section in sections}) == len(sections)
    for one in sections:
        for other in sections:
            meet = {one.path[0], one.path[-1]} & {other.path[0], other.path[-1]}
            assert one is other or not meet or one.trunk != other.trunk or set(one.order) != set(other.order)


# ---------------------------------------------------------------- bends and ties


def test_bends_know_their_legs() -> None:
    """A quarter turn after 0.3 m, another 0.1 m on, then 0.4 m; a slight turn is none."""
    path: list[Point] = [(0, 0, 0), (0, 0.3, 0), (0.1, 0.3, 0), (0.1, 0.5, 0), (0.15, 0.7, 0)]
    one, other = bends(path)
    assert one.at == (0.0, 0.3, 0.0)
    assert (one.turn_deg, one.back_m, one.ahead_m) == pytest.approx((90, 0.3, 0.1))
    assert (one.back_shared, one.ahead_shared, other.back_shared, other.ahead_shared) == (False, True, True, False)
    assert other.ahead_m == pytest.approx(0.2 + math.hypot(0.05, 0.2))
    assert one.needs_m(0.04) == pytest.approx(0.04)
    assert replace(one, turn_deg=60.0).needs_m(0.04) == pytest.approx(0.04 / math.sqrt(3))
    assert replace(one, turn_deg=180.0).needs_m(0.04) == replace(one, turn_deg=150.0).needs_m(0.04)


def test_a_point_told_twice_is_no_bend() -> None:
    """A path may stand still."""
    assert bends([(0, 0, 0), (0, 0.3, 0), (0, 0.3, 0), (0, 0.5, 0)]) == ()


def test_ties_stand_close_to_both_ends_and_between() -> None:
    """0.5 m: 20 mm from either end and four between them, 92 mm apart (common practice: 75 to 100 mm)."""
    ties = tie_places([(0, 0, 0), (0, 0.5, 0)], radius_m=0.04)
    assert [y for _, y, _ in ties] == pytest.approx([0.02, 0.112, 0.204, 0.296, 0.388, 0.48])


def test_a_bend_is_tied_where_it_begins_and_where_it_ends() -> None:
    """A quarter turn of 40 mm radius takes 40 mm from each leg."""
    ties = [to_a_hair(tie) for tie in tie_places([(0, 0, 0), (0, 0.2, 0), (0.2, 0.2, 0)], radius_m=0.04)]
    assert (0.0, 0.16, 0.0) in ties
    assert (0.04, 0.2, 0.0) in ties
    short = [to_a_hair(tie) for tie in tie_places([(0, 0, 0), (0, 0.09, 0), (0.09, 0.09, 0)], radius_m=0.08)]
    assert short == [(0.0, 0.02, 0.0), (0.0, 0.045, 0.0), (0.045, 0.09, 0.0), (0.07, 0.09, 0.0)]


def test_a_moving_joint_is_held_at_its_ends_only() -> None:
    """Between, it has to bend."""
    assert tie_places([(0, 0, 0), (0, 0.5, 0)], radius_m=0.04, moving=True) == ((0, 0.02, 0), (0, 0.48, 0))


@settings(max_examples=80)
@given(
    st.lists(st.tuples(st.integers(0, 60), st.integers(1, 30)), min_size=2, max_size=6),
    st.floats(0.0, 0.2),
)
def test_ties_are_neither_far_apart_nor_doubled(places: list[tuple[int, int]], radius_m: float) -> None:
    """On any way forward: AC 43.13-1B asks for ties where supports are over 12 in apart; ours are 100 mm or less."""
    rises = accumulate(y for _, y in places)
    path: list[Point] = [(x / 100, y / 100, 0.0) for (x, _), y in zip(places, rises, strict=True)]
    total = sum(math.dist(a, b) for a, b in pairwise(path))
    ties = tie_places(path, radius_m=radius_m)
    if total < 0.02:
        assert ties == ()
        return
    stops = _along(path, ties)
    assert stops == sorted(stops)
    gaps = [b - a for a, b in pairwise(stops)]
    assert all(0.02 - 1e-6 <= gap <= practice("tie spacing") + 1e-6 for gap in gaps)
    assert practice("tie spacing") <= practice("longest without a tie")
    assert stops[0] <= 0.03 + 1e-6
    assert stops[-1] >= total - 0.03 - 1e-6


def _along(path: list[Point], ties: tuple[Point, ...]) -> list[float]:
    """Return how far along a path each tie lies, first come first."""
    stops: list[float] = []
    reach, waiting = 0.0, list(ties)
    for a, b in pairwise(path):
        while waiting and math.dist(a, waiting[0]) + math.dist(waiting[0], b) <= math.dist(a, b) + 1e-9:
            stops.append(reach + math.dist(a, waiting.pop(0)))
        reach += math.dist(a, b)
    assert not waiting
    return stops


# ---------------------------------------------------------------- grommets


def grommets(edges: tuple[Edge, ...], on: Robot) -> list[tuple[Point, str]]:
    """Return where and why, with one run over all edges in a row."""
    nodes = (edges[0].a, *(e.b for e in edges))
    sample = along(edges, (run("a", nodes[0], nodes[-1]), nodes))
    return [(to_a_hair(g.at), g.why) for g in bundles(on, sample.edges, sample.runs, sample.routes)[1]]


def test_a_trunk_flagged_sharp_has_a_grommet_in_the_middle_of_its_longest_section() -> None:
    """The flag names no place."""
    assert grommets(line((0.3, 0.1), (0.3, 0.6)), robot()) == [((0.3, 0.35, 0.0), "spine passes a sharp edge")]
    assert grommets(line((0.1, 0.1), (0.1, 0.6), trunk="rail"), robot()) == []


def test_who_leaves_the_plate_or_crosses_a_keep_out_passes_an_edge() -> None:
    """Over the border at x = 0.6; in and out of a well. Along the border, or high above it, there is none."""
    well = KeepOut("wheel well", ((0.2, 0.2), (0.3, 0.2), (0.3, 0.3), (0.2, 0.3)))
    on = robot(keep_outs=(well,))
    assert grommets(line((0.5, 0.3), (0.7, 0.3), trunk="rail"), on) == [
        ((0.6, 0.3, 0.0), "rail crosses the border of the base plate")
    ]
    assert grommets(line((0.1, 0.25), (0.4, 0.25), trunk="rail"), on) == [
        ((0.3, 0.25, 0.0), "rail crosses the border of wheel well"),
        ((0.2, 0.25, 0.0), "rail crosses the border of wheel well"),
    ]
    assert grommets(line((0.6, 0.1), (0.6, 0.5), trunk="rail"), on) == []
    high = edge("drop", ((0.5, 0.3, 0.4), (0.7, 0.3, 0.4)), ("n0", "n1"))
    assert grommets((high,), on) == []


def test_one_place_has_one_grommet() -> None:
    """Right through a corner crosses two borders; two drops that cross 5 mm apart share one, 20 mm apart not."""
    assert len(grommets(line((0.5, 0.6), (0.7, 0.8), trunk="rail"), robot())) == 1
    assert len(grommets(line((0.5, 0.3), (0.7, 0.3), (0.7, 0.305), (0.5, 0.305), trunk="rail"), robot())) == 1
    assert len(grommets(line((0.5, 0.3), (0.7, 0.3), (0.7, 0.32), (0.5, 0.32), trunk="rail"), robot())) == 2


def test_who_comes_up_through_a_plate_passes_its_hole() -> None:
    """From the base to a terminal above the upper plate, within its outline; past its border there is no hole."""
    upper = Plate(outline=((0, 0), (0.3, 0), (0.3, 0.3), (0, 0.3)), name="deck", height_m=0.2)
    inside = edge("drop", ((0.1, 0.1, 0), (0.1, 0.1, 0.4)), ("n0", "n1"))
    past = edge("drop", ((0.5, 0.5, 0), (0.5, 0.5, 0.4)), ("n0", "n1"))
    below = edge("drop", ((0.1, 0.1, 0), (0.1, 0.1, 0.15)), ("n0", "n1"))
    onto = edge("drop", ((0.1, 0.1, 0.2), (0.1, 0.1, 0)), ("n0", "n1"))
    on = robot(upper=(upper,))
    assert grommets((inside,), on) == [((0.1, 0.1, 0.2), "drop comes through the deck")]
    assert grommets((onto,), on) == [((0.1, 0.1, 0.2), "drop comes through the deck")]
    assert grommets((past,), on) == []
    assert grommets((below,), on) == []


# ---------------------------------------------------------------- findings


def test_a_corner_with_short_legs_bends_too_tightly() -> None:
    """12 AWG of 3.94 mm asks for 39 mm at the inside of a bundle 7.88 mm thick: 43 mm of straight on each leg."""
    way = (run("a", "n0", "n2", awg=12), ("n0", "n1", "n2"))
    assert "bend-tight" not in told(along(line((0, 0), (0, 0.2), (0.0434, 0.2)), way))
    found = told(along(line((0, 0), (0, 0.2), (0.03, 0.2)), way))["bend-tight"]
    assert found.severity is Severity.SHOULD
    assert found.source == practice_source("bend over thickest wire")
    assert found.what == (
        "spine bends too tightly for its wires, which ask for a radius of 39 mm: "
        "the corner at [0 m, 20 cm] has 30 mm of straight and needs 43 mm."
    )
    assert (found.place.file, found.place.line) == ("robot.yaml", 8)


def test_two_corners_share_the_leg_between_them() -> None:
    """60 mm hold one curve of 43 mm, not two; also where the corner is a breakout between two sections."""
    edges = line((0, 0), (0, 0.2), (0.06, 0.2), (0.06, 0.5))
    both = (run("a", "n0", "n3", awg=12), ("n0", "n1", "n2", "n3"))
    found = told(along(edges, both, (run("b", "n2", "n3", awg=22), ("n2", "n3"))))["bend-tight"]
    assert "the corner at [0 m, 20 cm] has 60 mm of straight and needs 87 mm" in found.what
    assert "the corner at [60 mm, 20 cm] has 60 mm" in found.what


@pytest.mark.parametrize(("capacity_mm", "severity"), [(7, None), (6.5, Severity.CONSIDER), (5, Severity.SHOULD)])
def test_a_trunk_over_four_fifths_is_full(capacity_mm: float, severity: Severity | None) -> None:
    """A pair of 18 AWG is 5.48 mm thick."""
    edges = line((0, 0), (0, 0.2), capacity_m=capacity_mm / 1000)
    found = told(along(edges, (run("a", "n0", "n1"), ("n0", "n1")))).get("trunk-full")
    assert (found.severity if found else None) == severity


def test_a_very_thick_bundle_should_be_split() -> None:
    """38 pairs are 76 wires, one more than the aircraft text allows; 37 of 22 AWG pass."""
    edges = line((0, 0), (0, 0.2))

    def of(pairs: int) -> dict[str, Finding]:
        return told(along(edges, *((run(f"r{i}", "n0", "n1", awg=22), ("n0", "n1")) for i in range(pairs))))

    assert "bundle-thick" not in of(37)
    assert "76 wires" in of(38)["bundle-thick"].what


def test_few_thick_wires_make_a_thick_bundle_too() -> None:
    """Four wires of 21.2 mm are 51 mm across, more than 2 in."""
    edges = line((0, 0), (0, 0.2))
    cable = Run("cable", "n0", "n1", (("cable", "plus"),), True, (Copper(None, 10.0, (21.2,) * 4),))  # noqa: FBT003
    assert "51 mm thick" in told(along(edges, (cable, ("n0", "n1"))))["bundle-thick"].what


def test_swarf_is_told_where_wires_lie() -> None:
    """Of the flagged trunk only, and only where it is used."""
    assert "near-swarf" in told(along(line((0, 0), (0, 0.2)), (run("a", "n0", "n1"), ("n0", "n1"))))
    unused = along(line((0, 0), (0, 0.2), trunk="rail"), (run("a", "n0", "n1"), ("n0", "n1")))
    assert "near-swarf" not in told(unused)


def test_data_beside_power_for_long_is_told_once() -> None:
    """More than a metre, over all sections of its way; alone it may be as long as it likes."""
    edges = line((0, 0), (0, 0.7), (0, 1.4))
    data = (run("bus", "n0", "n2", power=False, awg=22), ("n0", "n1", "n2"))
    assert "power-with-data" not in told(along(edges, data))
    assert "power-with-data" not in told(along(edges, data, (run("a", "n0", "n1"), ("n0", "n1"))))
    found = told(along(edges, data, (run("a", "n0", "n1"), ("n0", "n1")), (run("b", "n1", "n2"), ("n1", "n2"))))[
        "power-with-data"
    ]
    assert found.what.startswith(
        "1 data run lies beside power wires for more than 1 m, along spine; the longest is bus"
    )


def test_every_finding_says_how_to_fix_it() -> None:
    """A place, a fix and a source each."""
    edges = line((0, 0), (0, 0.7), (0.01, 0.7), (0.01, 1.4), capacity_m=0.008)
    nodes = ("n0", "n1", "n2", "n3")
    sample = along(edges, (run("bus", "n0", "n3", power=False), nodes), (run("a", "n0", "n3", awg=12), nodes))
    found = told(sample)
    assert set(found) == {"bend-tight", "trunk-full", "near-swarf", "power-with-data"}
    assert all(f.place.thing and f.place.line and f.fix.endswith(".") and f.source for f in found.values())


# ---------------------------------------------------------------- what sizing needs


def test_company_is_the_fullest_place_on_the_way() -> None:
    """Data carries no heating current; a run on no trunk is alone."""
    edges = (*line((0, 0), (0, 0.2), (0, 0.5)), edge("loose", ((1, 1, 0), (2, 2, 0)), ("p", "q")))
    sample = along(
        edges,
        (run("long", "n0", "n2"), ("n0", "n1", "n2")),
        (run("short", "n1", "n2"), ("n1", "n2")),
        (run("bus", "n0", "n1", power=False), ("n0", "n1")),
        (run("alone", "p", "q"), ("p", "q")),
    )
    found = company(sample.sections, sample.runs)
    assert {name: (c.wires, c.runs, c.section) for name, c in found.items()} == {
        "long": (4, ("long", "short"), "spine part 2"),
        "short": (4, ("long", "short"), "spine part 2"),
        "bus": (2, ("long",), "spine part 1"),
        "alone": (2, ("alone",), ""),
    }


def test_no_wire_makes_no_bundle() -> None:
    """Zero, not a fault."""
    assert bundle_mm([]) == 0.0
    assert bundle_mm([3.94]) == 3.94


def test_a_bundle_that_was_packed_before_is_not_packed_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its diameter is taken over, unless these wires can't be that thick or that thin together."""
    edges = line((0.0, 0.0), (0.4, 0.0))
    single = (Copper(None, 10.0, (3.0,)),)
    three = [replace(run(name, "n0", "n1"), options=single) for name in ("a", "b", "c")]
    ways = [route(edges, r.name, "n0", "n1") for r in three]
    packed = sections_of(edges, three, ways)[0].diameter_m
    assert packed == pytest.approx(3e-3 * (1 + 2 / math.sqrt(3)), rel=5e-3)
    for impossible_m in (0.0, 5.99e-3, 9.02e-3):
        assert sections_of(edges, three, ways, {"spine": impossible_m})[0].diameter_m == packed
    monkeypatch.setattr("loomwright.layout.engine.packing.pack", None)
    for possible_m in (packed, 6.0e-3, 9.01e-3):
        assert sections_of(edges, three, ways, {"spine": possible_m})[0].diameter_m == possible_m


def test_many_thin_wires_fill_at_least_their_own_area() -> None:
    assert could_be_bundle([1.0] * 16, diameter_mm=4.0)
    assert not could_be_bundle([1.0] * 16, diameter_mm=3.99)
    assert not could_be_bundle([5.0, 4.0, 0.1], diameter_mm=8.99)


def test_a_packing_that_does_not_hold_goes_no_further(monkeypatch: pytest.MonkeyPatch) -> None:
    """The independent check stands between the search and every sheet."""
    monkeypatch.setattr(
        "loomwright.layout.engine.packing.pack", lambda _: type("P", (), {"diameter_mm": 1.0, "centres": ((0.0, 0.0),)})
    )
    with pytest.raises(ValueError, match="stands out"):
        bundle_mm([3.94])


def test_every_number_of_the_trade_has_its_row() -> None:
    """A name that is not in the table is a mistake."""
    assert (practice("bend over thickest wire"), practice_source("bend over thickest wire")) == (10, "ac-43.13-bends")
    assert practice("longest without a tie") == pytest.approx(12 * 0.0254)
    with pytest.raises(KeyError):
        practice("wisdom")
