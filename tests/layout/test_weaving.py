"""The order of runs in their bundles: as few crossings as the routes allow."""

from __future__ import annotations

import os
import random
from dataclasses import replace
from itertools import pairwise, permutations, product
from math import prod

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from loomwright.layout.checker.orders import check_orders
from loomwright.layout.result import Edge, Route
from loomwright.layout.weaving import Woven, weave
from tests.layout.nets import Sample, edge, random_sample, route, run

SEEDS = st.integers(0, 10_000)
EXAMPLES = int(os.environ.get("FUZZ_EXAMPLES", "40"))


def woven(sample: Sample) -> Woven:
    """Weave a net, and have the orders counted by the checker."""
    answer = weave(sample.edges, sample.routes, sample.sections)
    assert check_orders(sample.edges, sample.routes, answer.sections) == (answer.crossings, answer.forced)
    return answer


def orders(answer: Woven) -> dict[str, tuple[str, ...]]:
    """Return the order of every section by its name."""
    return {section.name: section.order for section in answer.sections}


def spine(*stubs: tuple[str, float, float]) -> Sample:
    """Make one trunk going forward from y = 0 to 1 m, and runs between stubs at these (name, x, y), two of a name."""
    stops = sorted({y for _, _, y in stubs})
    nodes = {y: f"y {y}" for y in stops}
    edges = [
        edge(f"spine {i}", ((0, a, 0), (0, b, 0)), (nodes[a], nodes[b]), trunk="spine")
        for i, (a, b) in enumerate(pairwise(stops), start=1)
    ]
    seen: dict[str, float] = {}
    runs, routes = [], []
    for name, x, y in stubs:
        end = f"{name} b" if name in seen else f"{name} a"
        edges.append(edge(f"stub {end}", ((x, y, 0), (0, y, 0)), (end, nodes[y])))
        if name in seen:
            low, high = seen[name], y
            between = [nodes[stop] for stop in stops if min(low, high) <= stop <= max(low, high)]
            runs.append(run(name, f"{name} a", end))
            routes.append(route(tuple(edges), name, f"{name} a", *(between if low < high else reversed(between)), end))
        seen[name] = y
    return Sample(tuple(edges), tuple(runs), tuple(routes))


def test_runs_leave_a_trunk_in_the_order_of_their_sides() -> None:
    """A run that leaves to the left lies left; of two that leave left, the one that leaves first lies further left."""
    answer = woven(
        spine(
            *[("far left", 0.1, 0.0), ("near left", -0.1, 0.0), ("right", 0.05, 0.02), ("near left", -0.1, 0.3)],
            *[("right", 0.1, 0.5), ("far left", -0.1, 0.9)],
        )
    )
    assert orders(answer)["spine part 2"] == ("near left", "far left", "right")
    assert (answer.crossings, answer.forced) == (0, 0)


def test_a_crossing_that_both_ends_ask_for_is_made_once() -> None:
    """In from the left and out to the right, beside one in from the right and out to the left: one crossing."""
    answer = woven(spine(("a", -0.1, 0.0), ("b", 0.1, 0.1), ("a", 0.1, 0.9), ("b", -0.1, 0.8)))
    assert (answer.crossings, answer.forced) == (1, 1)


def test_runs_that_go_the_same_way_from_end_to_end_never_cross() -> None:
    """Two runs with the same stubs are told apart by their names alone."""
    edges = spine(("a", -0.1, 0.0), ("a", 0.1, 1.0)).edges
    routes = tuple(route(edges, name, "a a", "y 0.0", "y 1.0", "a b") for name in ("run 10", "run 2"))
    answer = woven(Sample(edges, tuple(run(r.run, "a a", "a b") for r in routes), routes))
    assert [section.order for section in answer.sections] == [("run 2", "run 10")]
    assert (answer.crossings, answer.forced) == (0, 0)


def test_runs_that_end_together_are_ordered_by_where_they_part() -> None:
    """At a shared stub nothing is asked for; the other end decides, for who goes either way."""
    edges = spine(("a", -0.1, 0.0), ("z", -0.1, 1.0), ("a", -0.1, 1.0), ("z", 0.1, 0.0)).edges
    routes = (
        route(edges, "left", "a a", "y 0.0", "y 1.0", "a b"),
        route(edges, "right", "a b", "y 1.0", "y 0.0", "z b"),
    )
    answer = woven(Sample(edges, tuple(run(r.run, r.nodes[0], r.nodes[-1]) for r in routes), routes))
    assert [section.order for section in answer.sections] == [("left", "right")]
    assert answer.crossings == 0


def test_a_stub_that_goes_up_leaves_forward() -> None:
    """Straight up is drawn forward: beside a trunk that turns right, it leaves on the left."""
    edges = (
        edge("in a", ((0, -0.1, 0), (0, 0, 0)), ("a", "m")),
        edge("in b", ((0.1, -0.1, 0), (0, 0, 0)), ("b", "m")),
        edge("way", ((0, 0, 0), (0.3, 0, 0)), ("m", "n"), trunk="way"),
        edge("up", ((0.3, 0, 0), (0.3, 0, 0.2)), ("n", "top")),
        edge("on", ((0.3, 0, 0), (0.6, 0, 0)), ("n", "end")),
    )
    routes = (route(edges, "a", "a", "m", "n", "end"), route(edges, "b", "b", "m", "n", "top"))
    answer = woven(Sample(edges, tuple(run(r.run, r.nodes[0], r.nodes[-1]) for r in routes), routes))
    assert answer.forced == 1
    down = tuple(replace(e, path=((0.3, 0, 0), (0.3, 0, -0.2))) if e.name == "up" else e for e in edges)
    assert weave(down, routes, answer.sections).forced == 0


@pytest.mark.parametrize(("bend", "forced"), [(0.2, 0), (-0.2, 1)])
def test_of_two_stubs_in_one_direction_the_later_bend_decides(bend: float, forced: int) -> None:
    """Both leave a trunk straight on; the one that bends left lies left, and its other end lies left as well."""
    edges = (
        edge("in a", ((0, 0.1, 0), (0, 0, 0)), ("a", "m")),
        edge("in b", ((0, -0.1, 0), (0, 0, 0)), ("b", "m")),
        edge("way", ((0, 0, 0), (0.3, 0, 0)), ("m", "n"), trunk="way"),
        edge("out a", ((0.3, 0, 0), (0.4, 0, 0), (0.4, bend, 0)), ("n", "end a")),
        edge("out b", ((0.3, 0, 0), (0.6, 0, 0)), ("n", "end b")),
    )
    routes = tuple(route(edges, name, name, "m", "n", f"end {name}") for name in "ab")
    assert woven(Sample(edges, tuple(run(r.run, r.nodes[0], r.nodes[-1]) for r in routes), routes)).forced == forced


def test_a_run_that_ends_on_a_trunk_leaves_upward() -> None:
    """Without a stub of its own it is taken to leave upward, drawn forward: left of a trunk that goes right."""
    edges = (
        edge("in a", ((0, 0.1, 0), (0, 0, 0)), ("a", "m")),
        edge("in b", ((0, -0.1, 0), (0, 0, 0)), ("b", "m")),
        edge("way", ((0, 0, 0), (0.3, 0, 0)), ("m", "n"), trunk="way"),
        edge("on", ((0.3, 0, 0), (0.6, 0, 0)), ("n", "end"), trunk="way"),
    )
    for ends_early, goes_on, forced in (("a", "b", 0), ("b", "a", 1)):
        routes = (route(edges, "short", ends_early, "m", "n"), route(edges, "long", goes_on, "m", "n", "end"))
        sample = Sample(edges, tuple(run(r.run, r.nodes[0], r.nodes[-1]) for r in routes), routes)
        assert woven(sample).forced == forced


@settings(max_examples=EXAMPLES)
@given(SEEDS, st.integers(2, 12), st.integers(3, 12), st.booleans())
def test_only_forced_crossings_are_made(seed: int, runs: int, crossroads: int, tall: bool) -> None:  # noqa: FBT001
    """On any net, planar or not, the lower bound is reached."""
    answer = woven(random_sample(seed, runs=runs, crossroads=crossroads, tall=tall))
    assert answer.crossings == answer.forced


@settings(max_examples=EXAMPLES)
@given(SEEDS, st.integers(2, 5), st.integers(3, 6))
def test_no_order_at_all_crosses_less(seed: int, runs: int, crossroads: int) -> None:
    """The twin: every order of every section of a small net, counted by the checker."""
    sample = random_sample(seed, runs=runs, crossroads=crossroads)
    sections = sample.sections
    choices = [list(permutations(section.order)) for section in sections]
    assume(prod(len(choice) for choice in choices) <= 1500)
    least = min(
        check_orders(sample.edges, sample.routes, [replace(s, order=o) for s, o in zip(sections, chosen, strict=True)])[
            0
        ]
        for chosen in product(*choices)
    )
    assert woven(sample).crossings == least


@settings(max_examples=EXAMPLES)
@given(SEEDS, st.integers(2, 10), st.integers(3, 10))
def test_a_mirrored_net_has_mirrored_orders(seed: int, runs: int, crossroads: int) -> None:
    """Left and right change places in every section; the count stays."""
    sample = random_sample(seed, runs=runs, crossroads=crossroads)
    one, other = woven(sample), woven(mirrored(sample))
    assert other.crossings == one.crossings
    assert orders(other) == {name: order[::-1] for name, order in orders(one).items()}


def mirrored(sample: Sample) -> Sample:
    """Swap left and right."""

    def turn(one: Edge) -> Edge:
        return replace(one, path=tuple((-x, y, z) for x, y, z in one.path))

    return replace(sample, edges=tuple(turn(one) for one in sample.edges))


@settings(max_examples=EXAMPLES)
@given(SEEDS, st.integers(2, 10), st.integers(3, 10))
def test_the_order_of_the_input_decides_nothing(seed: int, runs: int, crossroads: int) -> None:
    """Edges, runs, routes and sections in any order give the same answer."""
    sample = random_sample(seed, runs=runs, crossroads=crossroads, tall=True)
    shaker = random.Random(seed)  # noqa: S311  a test's own dice
    edges, routes = shaker.sample(sample.edges, len(sample.edges)), shaker.sample(sample.routes, runs)
    other = Sample(tuple(edges), tuple(shaker.sample(sample.runs, runs)), tuple(routes))
    assert weave(edges, routes, shaker.sample(other.sections, len(other.sections))) == woven(sample)


@settings(max_examples=EXAMPLES)
@given(SEEDS, st.integers(2, 10), st.integers(3, 10), st.data())
def test_the_direction_of_a_route_decides_no_count(seed: int, runs: int, crossroads: int, data: st.DataObject) -> None:
    """A run told from its other end crosses the same others."""
    sample = random_sample(seed, runs=runs, crossroads=crossroads, tall=True)
    turned = tuple(_back(r) if data.draw(st.booleans()) else r for r in sample.routes)
    assert woven(replace(sample, routes=turned)) == woven(sample)


def _back(one: Route) -> Route:
    return replace(one, edges=one.edges[::-1], nodes=one.nodes[::-1])


@settings(max_examples=EXAMPLES)
@given(st.permutations(range(8)), st.lists(st.sampled_from([-1, 1]), min_size=8, max_size=8))
def test_a_comb_needs_no_crossing(places: list[int], sides: list[int]) -> None:
    """Runs from one block along one trunk, each leaving left or right at a place of its own: none need cross."""
    edges = [edge("handle", ((0, -0.1, 0), (0, 0, 0)), ("block", "y 0"))]
    edges += [edge(f"back {i}", ((0, i, 0), (0, i + 1, 0)), (f"y {i}", f"y {i + 1}"), trunk="back") for i in range(8)]
    teeth = {f"run {i}": place + 1 for i, place in enumerate(places)}
    for (name, y), side in zip(teeth.items(), sides, strict=True):
        edges.append(edge(f"tooth {y}", ((side, y, 0), (0, y, 0)), (f"{name} end", f"y {y}")))
    made = tuple(
        route(tuple(edges), name, "block", *(f"y {stop}" for stop in range(y + 1)), f"{name} end")
        for name, y in teeth.items()
    )
    answer = woven(Sample(tuple(edges), tuple(run(r.run, "block", r.nodes[-1]) for r in made), made))
    assert (answer.crossings, answer.forced) == (0, 0)
    lefts = [name for name, side in zip(teeth, sides, strict=True) if side < 0]
    first = next(section for section in answer.sections if len(section.order) == len(places))
    assert set(first.order[: len(lefts)]) == set(lefts)


@settings(max_examples=EXAMPLES)
@given(st.lists(st.integers(0, 5), min_size=2, max_size=6, unique=True), SEEDS)
def test_a_star_needs_no_crossing_inside_an_arm(arms: list[int], seed: int) -> None:
    """Runs from one block out over arms that part at one place: those of one arm never cross one another."""
    shaker = random.Random(seed)  # noqa: S311  a test's own dice
    tips = {arm: (shaker.randrange(1, 9) / 10 * (1 if arm % 2 else -1), (arm - 2.6) / 3, 0.0) for arm in arms}
    edges = [edge("handle", ((0, -1.0, 0), (0, 0, 0)), ("block", "hub"), trunk="handle")]
    edges += [
        edge(f"arm {arm}", ((0, 0, 0), tip), ("hub", f"tip {arm}"), trunk=f"arm {arm}") for arm, tip in tips.items()
    ]
    made = []
    for arm, (x, y, _) in tips.items():
        for i in range(3):
            far = (x + shaker.uniform(-0.2, 0.2), y + shaker.uniform(-0.2, 0.2), 0.0)
            edges.append(edge(f"stub {arm} {i}", (far, tips[arm]), (f"end {arm} {i}", f"tip {arm}")))
            made.append(route(tuple(edges), f"run {arm} {i}", "block", "hub", f"tip {arm}", f"end {arm} {i}"))
    answer = woven(Sample(tuple(edges), tuple(run(r.run, "block", r.nodes[-1]) for r in made), tuple(made)))
    assert (answer.crossings, answer.forced) == (0, 0)


def test_the_checker_wants_every_run_once() -> None:
    """An order with a run too many, or one too few, is no order."""
    sample = spine(("a", -0.1, 0.0), ("b", 0.1, 0.1), ("a", 0.1, 0.9), ("b", -0.1, 0.8))
    sections = weave(sample.edges, sample.routes, sample.sections).sections
    both = next(section for section in sections if len(section.order) > 1)
    for order in (("a",), ("a", "a"), ("a", "b", "c")):
        wrong = [replace(both, order=order) if section is both else section for section in sections]
        with pytest.raises(ValueError, match="orders"):
            check_orders(sample.edges, sample.routes, wrong)


def test_the_checker_counts_what_an_order_does() -> None:
    """The same bundle turned over halfway crosses twice more than need be."""
    sample = spine(
        ("a", -0.1, 0.0), ("b", 0.1, 0.1), ("c", 0.1, 0.5), ("c", 0.1, 0.6), ("a", -0.1, 0.9), ("b", 0.1, 0.8)
    )
    sections = list(weave(sample.edges, sample.routes, sample.sections).sections)
    assert check_orders(sample.edges, sample.routes, sections) == (0, 0)
    at = next(i for i, section in enumerate(sections) if set(section.order) == {"a", "b", "c"})
    sections[at] = replace(sections[at], order=("b", "a", "c"))
    assert check_orders(sample.edges, sample.routes, sections) == (2, 0)
