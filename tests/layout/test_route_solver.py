"""Routes over trunks: worked examples, everything tried on small nets, and laws."""

from __future__ import annotations

import math
import os
import random
import subprocess
import sys
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.layout.checker.routes import check_routes
from loomwright.layout.engine.route_solver import route
from loomwright.layout.result import Copper, Course, Edge, Node, Point, Run
from loomwright.layout.route_problem import RouteAnswer, RouteProblem
from loomwright.search import Effort
from tests.layout.route_nets import best_by_trial, easy, line, net

_SAME_G = 1e-5
fuzz = settings(max_examples=int(os.environ.get("FUZZ_EXAMPLES", "25")))
NETS = st.integers(min_value=0, max_value=10**6).map(net)

A, B, C, D = (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (1.0, 1.0, 0.0), (0.0, 1.0, 0.0)
SQUARE = (
    line("ab", "a", "b", A, B),
    line("bc", "b", "c", B, C),
    line("cd", "c", "d", C, D),
    line("da", "d", "a", D, A),
)
SIGNALS = tuple(replace(edge, signal_only=True) for edge in SQUARE)
NARROW = tuple(replace(edge, capacity_m=0.005) for edge in SQUARE)
THICK, THIN = Copper(None, 60, (3.6, 3.6)), Copper(None, 15, (2.0, 2.0), (1.5,))


def run(name: str, start: str, end: str, *options: Copper, power: bool = True) -> Run:
    """Make a run of a pair."""
    return Run(name, start, end, ((name, "plus"), (name, "minus")), power, options or (THICK,))


def proved(problem: RouteProblem) -> RouteAnswer:
    """Return the checked and proved answer."""
    answer = route(problem, effort=Effort.PROVE)
    check_routes(problem, answer)
    assert answer.certificate.proved
    return answer


def edges_of(answer: RouteAnswer) -> dict[str, tuple[str, ...]]:
    """Return each run's edges."""
    return {one.run: one.edges for one in answer.routes}


def rank(answer: RouteAnswer) -> tuple[int, float]:
    """Return how many runs are left out, and the cost."""
    return len(answer.unroutable), answer.certificate.cost


def same(one: tuple[int, float], other: tuple[int, float]) -> bool:
    """Whether two ranks differ by no more than rounding."""
    return one[0] == other[0] and math.isclose(one[1], other[1], rel_tol=1e-6, abs_tol=_SAME_G)


def cheaper(one: RouteAnswer, other: RouteAnswer) -> bool:
    """Whether one answer is better than another by more than rounding."""
    return rank(one) < (rank(other)[0], rank(other)[1] - _SAME_G)


def test_two_runs_share_a_trunk_rather_than_open_a_second() -> None:
    """Copper and handling of 70 g/m on 1 + 2 m, a bend, and two trunk metres at 40 g."""
    answer = proved(easy(SQUARE, (run("r1", "a", "b"), run("r2", "a", "c"))))
    assert edges_of(answer) == {"r1": ("ab",), "r2": ("ab", "bc")}
    assert answer.certificate.cost == pytest.approx(3 * 70 + 1 + 2 * 40)


def test_a_run_starts_where_it_says_even_when_the_search_turns_it() -> None:
    answer = proved(easy(SQUARE, (run("r1", "c", "a"), run("r2", "b", "a"))))
    assert edges_of(answer) == {"r1": ("bc", "ab"), "r2": ("ab",)}
    assert answer.routes[0].nodes == ("c", "b", "a")


def test_the_thinner_wire_is_taken_only_where_its_drop_holds() -> None:
    answer = proved(easy(SQUARE, (run("near", "a", "b", THICK, THIN), run("far", "a", "c", THICK, THIN))))
    assert [one.option for one in answer.routes] == [0, 1]
    assert [one.run for one in answer.routes] == ["far", "near"]


def test_thicker_main_leads_pay_where_they_let_thin_wires_reach() -> None:
    """90 g/m less on 2 m are worth 50 g of main leads, and not 100 g."""
    reach = Copper(None, 15, (2.0, 2.0), (1.5, 2.5))
    runs = (run("far", "a", "c", THICK, reach),)
    assert proved(easy(SQUARE, runs, shared_g=(0.0, 50.0))).shared == 1
    assert proved(easy(SQUARE, runs, shared_g=(0.0, 100.0))).shared == 0


def test_a_full_trunk_sends_the_second_run_around() -> None:
    narrow = (replace(SQUARE[0], capacity_m=0.008), *SQUARE[1:])
    answer = proved(easy(narrow, (run("r1", "a", "b"), run("r2", "a", "b"))))
    assert sorted(len(edges) for edges in edges_of(answer).values()) == [1, 3]


def test_a_run_that_nothing_can_hold_is_named_with_its_reason() -> None:
    narrow = tuple(replace(edge, capacity_m=0.008) for edge in SQUARE)
    runs = tuple(run(f"r{n}", "a", "b") for n in range(3))
    answer = proved(easy(narrow, runs))
    assert [why for _, why in answer.unroutable] == ["the trunks on its way are full"]
    assert answer.certificate.breaks == answer.certificate.least_breaks == 1


@pytest.mark.parametrize(
    ("edges", "option", "why"),
    [
        (SQUARE[1:3], THICK, "no trunk leads from a to c"),
        (SIGNALS, THICK, "every way from a to c has a trunk for signals only"),
        (NARROW, THICK, "every way from a to c has a trunk that is too narrow for it"),
        (SQUARE, THIN, "its shortest way is 2.00 m, and no wire on offer holds its drop beyond 1.50 m"),
    ],
)  # fmt: skip
def test_why_a_run_has_no_way(edges: tuple[Edge, ...], option: Copper, why: str) -> None:
    assert proved(easy(edges, (run("r", "a", "c", option),))).unroutable == (("r", why),)


def test_power_goes_another_way_than_data_where_mixing_costs_more() -> None:
    problem = easy(SQUARE, (run("data", "a", "c", power=False), run("power", "a", "c")))
    assert len(set(map(frozenset, edges_of(proved(problem)).values()))) == 1
    dear = replace(problem, prices=replace(problem.prices, mixing_g_per_m=100))
    assert len(set(map(frozenset, edges_of(proved(dear)).values()))) == 2


def crossed(over: tuple[str, ...]) -> tuple[Edge, ...]:
    """Give the square a drop from a terminal beside b, over something, or 0.2 m longer to c over nothing."""
    short = replace(line("xb", "x", "b", (1.0, 0.1, 0.0), B, Course.DROP), over=over)
    return (*SQUARE, short, replace(line("xc", "x", "c", C, C, Course.DROP), length_m=0.9))


def test_a_trunk_that_nobody_opens_is_crossed_for_nothing() -> None:
    """70 + 30 g/m on the drop, 70 on a trunk metre that is opened at 40 g; the straight drop onto ab turns at b."""
    one = (run("r", "a", "x"),)
    assert proved(easy(crossed(("cd", "gone")), one)).certificate.cost == pytest.approx(10 + 110 + 1)
    both = (*one, run("s", "d", "c"))
    assert proved(easy(crossed(("cd",)), both)).certificate.cost == pytest.approx(10 + 110 + 1 + 4 + 110)


def test_each_run_and_each_crossing_counts() -> None:
    """Three alike, which go together, over what another opened; once, and twice."""
    runs = (*(run(f"r{n}", "a", "x") for n in range(3)), run("s", "d", "c"))
    once, twice = (proved(easy(crossed(over), runs)).certificate.cost for over in (("cd",), ("cd", "cd")))
    assert once == pytest.approx(3 * (10 + 70 + 1) + 40 + 3 * 4 + 110)
    assert twice == pytest.approx(once + 3 * 4)


def test_who_passes_over_the_trunk_that_it_opens_pays_for_it() -> None:
    """Where the crossing is dear, it takes the long drop, or goes round where trunks are free."""
    alone = easy(crossed(("ab",)), (run("r", "a", "x"),))
    assert proved(alone).certificate.cost == pytest.approx(10 + 110 + 1 + 4)
    as_a_tree = replace(alone, prices=replace(alone.prices, bend_g=0))
    assert proved(as_a_tree).certificate.cost == pytest.approx(10 + 110 + 4)
    for cost, trunk_g in ((90 + 140 + 1 + 80, 40), (10 + 210 + 3, 0)):
        prices = replace(alone.prices, crossing_g=300, trunk_g_per_m=trunk_g, mixing_g_per_m=0)
        assert proved(replace(alone, prices=prices)).certificate.cost == pytest.approx(cost)


def test_a_trunk_is_not_opened_where_too_many_would_cross_it() -> None:
    """Ten drops over ab: the run that could open it goes round, 2 m more at 110 g and two bends, saving 10 x 30 g."""
    runs = (run("z", "a", "b"), *(run(f"r{n}", "c", "x") for n in range(10)))
    free = easy(crossed(("ab",)), runs)
    assert edges_of(proved(free))["z"] == ("ab",)
    straight = replace(free, edges=tuple(edge for edge in free.edges if edge.name != "xc"))
    dear = replace(straight, prices=replace(straight.prices, crossing_g=30))
    assert edges_of(proved(dear))["z"] == ("da", "cd", "bc")


def test_a_run_lies_alone_only_where_that_saves_more_than_its_price() -> None:
    """Beside ab, 10 cm off: 110 g on the trunk with its drops, 100 g and the price of a loose run beside it."""
    away = line("xy", "x", "y", (0.0, 0.1, 0.0), (1.0, 0.1, 0.0), Course.LOOSE)
    ends = (("xa", "x", "a", (0.0, 0.1, 0.0), A), ("yb", "y", "b", (1.0, 0.1, 0.0), B))
    drops = tuple(line(name, one, other, at, to, Course.DROP) for name, one, other, at, to in ends)
    problem = easy((*SQUARE, away, *drops), (run("r", "x", "y"),))
    on_trunk_g = 2 * 10 + 110 + 2
    for alone_g, taken, cost in ((31.9, ("xy",), 131.9), (32.1, ("xa", "ab", "yb"), on_trunk_g)):
        answer = proved(replace(problem, prices=replace(problem.prices, loose_run_g=alone_g)))
        assert edges_of(answer)["r"] == taken
        assert answer.certificate.cost == pytest.approx(cost)


def test_nobody_passes_through_a_terminal() -> None:
    """The short cut over x's two drops is closed to others, and open to x's own run."""
    drops = tuple(Edge(f"x{to}", "x", to, (at, at), 0.1, Course.DROP) for to, at in (("a", A), ("c", C)))
    answer = proved(easy((*SQUARE, *drops), (run("r1", "a", "c"), run("r2", "a", "x"))))
    assert edges_of(answer)["r2"] == ("xa",)
    assert len(edges_of(answer)["r1"]) == 2


def test_a_run_between_two_sockets_in_one_place_needs_no_way() -> None:
    answer = proved(easy(SQUARE, (run("r", "a", "a"),)))
    assert answer.routes[0].edges == ()
    assert answer.routes[0].nodes == ("a",)


def test_a_run_that_lies_already_stays() -> None:
    problem = easy(SQUARE, (run("r1", "b", "a"), run("r2", "a", "b")))
    around = ("bc", "cd", "da")
    answer = proved(replace(problem, fixed=(("r1", around),)))
    assert edges_of(answer)["r1"] == around
    assert answer.certificate.cost > proved(problem).certificate.cost


@pytest.mark.parametrize("block", range(8))
def test_small_nets_against_everything_tried(block: int) -> None:
    """As few runs left out, and as cheap, as the best of all combinations; and proved."""
    for seed in range(15 * block, 15 * (block + 1)):
        answer, best = proved(net(seed)), best_by_trial(net(seed))
        assert same(rank(answer), best), f"net {seed}"


def test_which_run_stays_without_a_way_is_chosen_well() -> None:
    """A hint that presolve improves came back unimproved from the solver once."""
    best = best_by_trial(net(3137))
    assert same(rank(proved(net(3137))), best)


@fuzz
@given(NETS)
def test_never_worse_than_the_plain_answer(problem: RouteProblem) -> None:
    first = route(problem, effort=Effort.FIRST)
    check_routes(problem, first)
    plain = first.certificate
    assert (plain.breaks, plain.cost) <= (plain.baseline_breaks, (plain.baseline or 0.0) + _SAME_G)
    assert not cheaper(first, route(problem, effort=Effort.USUAL))


@fuzz
@given(NETS, st.randoms(use_true_random=False))
def test_one_more_trunk_never_makes_it_worse(problem: RouteProblem, rng: random.Random) -> None:
    """Not even when every drop passes over it."""
    spots = {node.name: node.at for node in problem.nodes if node.name.startswith("n")}
    a, b = rng.sample(sorted(spots), 2)
    edges = tuple(edge if edge.shared else replace(edge, over=(*edge.over, "more")) for edge in problem.edges)
    more = replace(problem, edges=(*edges, line("more", a, b, spots[a], spots[b])))
    assert not cheaper(proved(problem), proved(more))


@fuzz
@given(NETS)
def test_the_mirrored_net_costs_the_same(problem: RouteProblem) -> None:
    def mirrored(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((-x, y, z) for x, y, z in points)

    edges = tuple(replace(e, path=mirrored(e.path)) for e in problem.edges)
    nodes = tuple(Node(n.name, mirrored((n.at,))[0]) for n in problem.nodes)
    one, other = proved(problem), proved(replace(problem, edges=edges, nodes=nodes))
    assert same(rank(one), rank(other))


@fuzz
@given(NETS, st.randoms(use_true_random=False))
def test_the_order_of_the_input_decides_nothing(problem: RouteProblem, rng: random.Random) -> None:
    shuffled = replace(
        problem,
        nodes=tuple(rng.sample(problem.nodes, len(problem.nodes))),
        edges=tuple(rng.sample(problem.edges, len(problem.edges))),
        runs=tuple(rng.sample(problem.runs, len(problem.runs))),
    )
    for effort in (Effort.FIRST, Effort.USUAL):
        assert route(shuffled, effort=effort) == route(problem, effort=effort)


@fuzz
@given(NETS)
def test_starting_from_the_answer_changes_nothing(problem: RouteProblem) -> None:
    answer = proved(problem)
    again = route(problem, effort=Effort.PROVE, start=edges_of(answer))
    assert edges_of(again) == edges_of(answer)
    assert again.certificate.cost == pytest.approx(answer.certificate.cost)


@fuzz
@given(NETS)
def test_a_start_that_breaks_the_rules_is_not_used(problem: RouteProblem) -> None:
    """Every run along every edge, unknown edges, or another run's way."""
    wrong = [("no such edge",), tuple(edge.name for edge in problem.edges), ()]
    start = {one.name: wrong[n % 3] for n, one in enumerate(problem.runs)}
    answer = route(problem, effort=Effort.PROVE, start=start)
    check_routes(problem, answer)
    assert same(rank(answer), rank(proved(problem)))


@fuzz
@given(NETS)
def test_runs_left_where_they_are_cost_what_they_cost(problem: RouteProblem) -> None:
    """Fixing what was decided anyway is free."""
    answer = proved(problem)
    fixed = tuple(sorted(edges_of(answer).items()))
    again = proved(replace(problem, fixed=fixed))
    assert not cheaper(answer, again)
    assert not cheaper(again, answer)


def test_the_first_answer_loads_no_solver() -> None:
    code = (
        "import sys\n"
        "from tests.layout.route_nets import net\n"
        "from loomwright.layout.engine.route_solver import route\n"
        "route(net(1), effort='first')\n"
        "sys.exit(' '.join({'highspy', 'numpy', 'ortools'} & set(sys.modules)) or 0)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.stderr == ""
    assert done.returncode == 0


def test_prices_of_nothing_cost_nothing() -> None:
    answer = proved(easy(SQUARE, (), shared_g=(7.0, 3.0)))
    assert answer.shared == 1
    assert answer.certificate.cost == pytest.approx(3)
    assert not math.isnan(answer.certificate.gap)


def test_only_one_of_two_cheap_detours_fits_the_drop() -> None:
    """Split in halves, the wire would take one and a half."""
    pairs = [("a", "b", A, B), ("b", "c", B, C)]
    links = [line(f"{a}{b} link", a, b, at, to, Course.LINK) for a, b, at, to in pairs]
    trunks = [replace(line(f"{a}{b} trunk", a, b, at, to), length_m=2.0) for a, b, at, to in pairs]
    problem = easy((*links, *trunks), (run("r", "a", "c", Copper(None, 15, (2.0, 2.0), (3.5,))),))
    cheap = replace(problem, prices=replace(problem.prices, trunk_g_per_m=1, link_g_per_m=200))
    answer = proved(cheap)
    assert answer.certificate.cost == pytest.approx(25 * 3 + 200 + 2 + 1)


def test_a_thick_wire_along_the_open_trunk_can_beat_the_thin_one_on_its_own_link() -> None:
    """30 g/m more copper on 2 m against a link of its own at 70 g/m on the diagonal."""
    link = line("ac", "a", "c", A, C, Course.LINK)
    thin = Copper(None, 15, (2.0, 2.0), (1.5,))
    runs = (run("r1", "a", "b"), run("r2", "b", "c"), run("r3", "a", "c", Copper(None, 35, (2.5, 2.5)), thin))
    answer = proved(easy((*SQUARE, link), runs))
    assert edges_of(answer)["r3"] == ("ab", "bc")
    assert answer.routes[2].option == 0
