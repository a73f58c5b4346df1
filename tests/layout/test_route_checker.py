"""The checker of routes refuses every kind of broken answer, and reckons a worked example by itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from loomwright.layout.checker.routes import check_routes
from loomwright.layout.result import Copper, Course, Edge, Route, Run
from loomwright.layout.route_problem import RouteAnswer, RouteProblem
from loomwright.search import Certificate
from tests.layout.route_nets import easy, line

A, B, C, D = (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (1.0, 1.0, 0.0), (2.0, 0.0, 0.0)
S, E, F = (0.0, -0.5, 0.0), (1.0, 1.5, 0.0), (2.0, 0.5, 0.0)
COPPER = (Copper(None, 60, (3.0, 3.0)), Copper(None, 20, (2.0, 2.0), (3.2, 9.0)))
EDGES = (
    replace(line("ab", "a", "b", A, B), slack_m=0.1, capacity_m=0.0055),
    line("bc", "b", "c", B, C),
    line("bd", "b", "d", B, D, Course.LINK),
    replace(line("ac", "a", "c", A, C), signal_only=True),
    line("s", "slot", "a", S, A, Course.DROP),
    replace(line("e", "motor", "c", E, C, Course.DROP), over=("bc", "bc", "ac", "gone")),
    line("f", "sensor", "d", F, D, Course.DROP),
    line("f2", "sensor", "c", F, C, Course.DROP),
    line("loose", "slot", "sensor", S, F, Course.LOOSE),
)
RUNS = (
    Run("power", "slot", "motor", (("m", "plus"), ("m", "minus")), power=True, options=COPPER),
    Run("data", "a", "sensor", (("d", "high"),), power=False, options=(Copper(None, 5, (1.5,)),)),
)
PROBLEM = easy(EDGES, RUNS, shared_g=(10.0, 30.0))
POWER = Route("power", ("s", "ab", "bc", "e"), ("slot", "a", "b", "c", "motor"), 1)
DATA = Route("data", ("ab", "bd", "f"), ("a", "b", "d", "sensor"), 0)
# power, 20 g/m and 2 x 5 g/m handling on 0.5 + 1.1 + 1 + 0.5 m; 30 g/m on its drops of 1 m, two crossings at 4 g, and
# bends into ab and into bc (nobody opens ac, and gone is not there); data, 5 + 5 g/m on 1.1 + 1 + 0.5 m, 30 g/m on
# 0.5 m, one bend; two trunks and a link, mixing on ab; the main leads.
COST_G = (30 * 3.1 + 30 * 1 + 8 + 2) + (10 * 2.6 + 30 * 0.5 + 1) + (40 * 2 + 70) + 15 + 10


def certificate(cost: float = COST_G, bound: float = 70.0, **more: float) -> Certificate:
    """Make a certificate of the worked example."""
    return Certificate(cost=cost, bound=bound, unit="g of copper", **more)


ANSWER = RouteAnswer(routes=(POWER, DATA), shared=0, certificate=certificate())


def test_the_cost_of_a_worked_example() -> None:
    assert check_routes(PROBLEM, ANSWER) == pytest.approx(COST_G)


def test_a_loose_run_has_a_price_of_its_own() -> None:
    """The sensor's run of one wire from the slot, 2.24 m long: 5 + 5 g/m, 30 g/m off the trunks, and 7 g; no more."""
    one = replace(RUNS[1], start="slot")
    cost_g = 40 * 5**0.5 + 7 + 10
    route = Route("data", ("loose",), ("slot", "sensor"))
    answer = RouteAnswer(routes=(route,), shared=0, certificate=certificate(cost_g))
    assert check_routes(replace(PROBLEM, runs=(one,)), answer) == pytest.approx(cost_g)


def swapped(**changes: object) -> Callable[[RouteAnswer], RouteAnswer]:
    """Return a change to the power run's route."""
    return lambda answer: replace(answer, routes=(replace(POWER, **changes), DATA))  # type: ignore[arg-type]


def data(**changes: object) -> Callable[[RouteAnswer], RouteAnswer]:
    """Return a change to the data run's route."""
    return lambda answer: replace(answer, routes=(POWER, replace(DATA, **changes)))  # type: ignore[arg-type]


def proof(**changes: float) -> Callable[[RouteAnswer], RouteAnswer]:
    """Return a change to the certificate."""
    return lambda answer: replace(answer, certificate=certificate(**changes))


BROKEN: list[tuple[Callable[[RouteAnswer], RouteAnswer], str]] = [
    (lambda a: replace(a, shared=2), "no choice 2 of the main leads"),
    (lambda a: replace(a, shared=-1), "no choice -1 of the main leads"),
    (lambda a: replace(a, routes=(POWER,)), "data has no route, and nobody says why"),
    (lambda a: replace(a, routes=(POWER, DATA, DATA)), "data has more than one route"),
    (lambda a: replace(a, unroutable=(("data", "no"),)), "data has more than one route"),
    (lambda a: replace(a, unroutable=(("ghost", "no"),)), "there is no run ghost"),
    (swapped(edges=("s", "ab", "bc"), nodes=("slot", "a", "b", "c")), "power does not lead from slot to motor"),
    (swapped(nodes=("slot", "a", "c", "motor")), "power does not lead from slot to motor"),
    (swapped(edges=("s", "ab", "bc", "zz")), "power uses an edge zz"),
    (swapped(edges=("s", "bc", "ab", "e")), "power uses bc from a to b, which it does not join"),
    (
        swapped(edges=("s", "ab", "ab", "ab", "bc", "e"), nodes=("slot", "a", "b", "a", "b", "c", "motor")),
        "power passes a node twice",
    ),
    (swapped(edges=("s", "ac", "e"), nodes=("slot", "a", "c", "motor")), "power carries power on ac"),
    (
        swapped(edges=("s", "ab", "bd", "f", "f2", "e"), nodes=("slot", "a", "b", "d", "sensor", "c", "motor")),
        "power uses f, a drop of somebody else",
    ),
    (data(edges=("s", "loose"), nodes=("a", "slot", "sensor")), "data passes through the terminal slot"),
    (swapped(option=2), "power has no option 2"),
    (swapped(option=-1), "power has no option -1"),
    (swapped(option=0), "ab lets 5.5 mm through, and its bundle is"),
    (proof(cost=COST_G + 1), "the certificate says"),
    (proof(bound=COST_G + 1), "is above its cost"),
    (proof(breaks=1), "0 runs have no route, and the certificate says 1"),
    (proof(least_breaks=1), "0 runs have no route, and the certificate says 0"),
    (proof(baseline=COST_G - 1), "more than the plain one"),
]


@pytest.mark.parametrize(("broken", "words"), BROKEN)
def test_a_broken_answer_is_refused(broken: Callable[[RouteAnswer], RouteAnswer], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        check_routes(PROBLEM, broken(ANSWER))


def shorter(problem: RouteProblem, limit_m: float) -> RouteProblem:
    """Let the power run's thin wire hold its drop on a shorter way."""
    thin = replace(COPPER[1], longest_m=(limit_m, 9.0))
    return replace(problem, runs=(replace(RUNS[0], options=(COPPER[0], thin)), RUNS[1]))


def test_a_wire_that_is_too_long_for_its_drop_is_refused() -> None:
    """It is 3.1 m long, the slack of the moving joint included, and may be longer behind thicker main leads."""
    check_routes(shorter(PROBLEM, 3.1), ANSWER)
    with pytest.raises(ValueError, match=r"power is 3\.100 m long, and its wire holds for 3\.090 m"):
        check_routes(shorter(PROBLEM, 3.09), ANSWER)
    check_routes(shorter(PROBLEM, 3.09), replace(ANSWER, shared=1, certificate=certificate(COST_G + 20)))


def test_a_run_that_lies_already_may_not_move() -> None:
    check_routes(replace(PROBLEM, fixed=(("data", DATA.edges),)), ANSWER)
    with pytest.raises(ValueError, match="data lies already, and has been moved"):
        check_routes(replace(PROBLEM, fixed=(("data", ("ac", "f2")),)), ANSWER)


def test_a_run_left_out_counts_as_a_break_and_the_plain_answer_may_not_leave_out_fewer() -> None:
    cost = (10 * 2.6 + 30 * 0.5 + 1) + (40 + 70) + 10
    left = replace(ANSWER, routes=(DATA,), unroutable=(("power", "full"),))
    good = certificate(cost, breaks=1, baseline=1.0, baseline_breaks=2)
    assert check_routes(PROBLEM, replace(left, certificate=good)) == pytest.approx(cost)
    with pytest.raises(ValueError, match="the plain answer leaves out only 0"):
        check_routes(PROBLEM, replace(left, certificate=replace(good, baseline_breaks=0)))


@pytest.mark.parametrize(("turn_m", "bends"), [(0.57, 0), (0.58, 1)])
def test_thirty_degrees_are_no_bend_yet(turn_m: float, bends: int) -> None:
    """The tangent of 30 degrees is 0.577."""
    on = Edge("on", "b", "z", (B, (2.0, turn_m, 0.0)), 1.0, Course.TRUNK)
    one = Run("r", "a", "z", (), power=True, options=(Copper(None, 0, (1.0,)),))
    route = Route("r", ("ab", "on"), ("a", "b", "z"))
    answer = RouteAnswer(routes=(route,), shared=0, certificate=certificate(80.0 + bends))
    assert check_routes(easy((EDGES[0], on), (one,)), answer) == pytest.approx(80 + bends)
