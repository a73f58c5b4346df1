"""Searches that are watched, ended early, or budgeted: the best answer is kept, and the same one every time."""

from __future__ import annotations

import random
import subprocess
import sys
from threading import Event

import pytest

from benchmarks.trunks import robot
from loomwright.layout.checker.routes import check_routes
from loomwright.layout.engine import route_solver
from loomwright.layout.engine.route_highs import _Look, minimise
from loomwright.layout.engine.route_model import Rows
from loomwright.layout.engine.route_solver import route
from loomwright.layout.route_problem import RouteProblem
from loomwright.search import SILENT, Effort, News


class Looker:
    """Somebody who ends the search at a certain look, with Ctrl-C if wanted, and keeps the news."""

    def __init__(self, looks: int, *, interrupts: bool = False) -> None:
        """End at look number `looks`."""
        self.left, self.interrupts, self.news = looks, interrupts, list[News]()

    def tell(self, news: News) -> None:
        """Keep what is told."""
        self.news.append(news)

    @property
    def stopped(self) -> bool:
        """Whether enough has been seen."""
        self.left -= 1
        if self.left <= 0 and self.interrupts:
            raise KeyboardInterrupt
        return self.left <= 0


@pytest.fixture(scope="module")
def hard() -> RouteProblem:
    """Make a net on which trunks are dear, so that the first answer is not yet the best."""
    return robot(random.Random(5), 36, 24, dear=3.0)  # noqa: S311 - a net, no secret


def test_the_news_come_closer_until_it_is_proved(hard: RouteProblem) -> None:
    looker = Looker(10**9)
    answer = route(hard, effort=Effort.PROVE, watch=looker)
    costs = [news.cost for news in looker.news if news.cost is not None]
    assert answer.certificate.proved
    assert answer.certificate.cost < route(hard, effort=Effort.FIRST).certificate.cost
    assert costs[0] > answer.certificate.cost
    assert {news.stage for news in looker.news} == {"trunks"}
    for news in looker.news:
        assert news.cost is None or news.bound is None or news.bound <= news.cost + 1e-6


@pytest.mark.parametrize("interrupts", [False, True])
def test_an_end_at_any_look_keeps_a_sound_answer(hard: RouteProblem, *, interrupts: bool) -> None:
    """In the greedy part, in the local search and inside the solver."""
    total = Looker(10**9)
    best = route(hard, effort=Effort.PROVE, watch=total).certificate
    looks = 10**9 - total.left
    for at in (1, 2, 50, looks // 4, looks // 2, looks - 5, looks - 1):
        answer = route(hard, effort=Effort.PROVE, watch=Looker(at, interrupts=interrupts))
        check_routes(hard, answer)
        assert answer.certificate.bound <= best.cost + 1e-6
        assert answer.certificate.cost >= best.cost - 1e-6


def test_the_budget_is_counted_in_work_and_gives_the_same_answer_twice(
    hard: RouteProblem, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without the program, the dual ascent still tells how good the first answer is at least."""
    monkeypatch.setattr(route_solver, "_USUAL_FLOWS", 100)
    answer = route(hard, effort=Effort.USUAL)
    check_routes(hard, answer)
    assert 0 < answer.certificate.gap < 0.4
    assert route(hard, effort=Effort.USUAL) == answer


def test_what_is_not_proved_does_without_a_trunk_where_that_is_cheaper(monkeypatch: pytest.MonkeyPatch) -> None:
    """Run by run nobody leaves it alone; at once, and where the program is too large, somebody asks all of them."""
    problem = robot(random.Random(3), 20, 12, dear=3.0)  # noqa: S311 - a net, no secret
    monkeypatch.setattr(route_solver, "_USUAL_FLOWS", 100)
    tidy = [route(problem, effort=effort).certificate.cost for effort in (Effort.FIRST, Effort.USUAL)]
    monkeypatch.setattr(route_solver, "close", lambda state, _watch: state)
    plain = [route(problem, effort=effort).certificate.cost for effort in (Effort.FIRST, Effort.USUAL)]
    assert all(one < other - 1 for one, other in zip(tidy, plain, strict=True))


def test_the_tree_ends_at_its_budget_of_nodes() -> None:
    """A market split (Cornuejols and Dawande 1998) of 3 rows and 20 columns has a poor bound for many nodes."""
    rng = random.Random(1)  # noqa: S311 - a test's own numbers
    rows = Rows()
    for _ in range(20):
        rows.column(0.0, whole=True)
    for _ in range(3):
        shares = [float(rng.randrange(100)) for _ in range(20)]
        over, under = rows.column(1.0, upper=1e4), rows.column(1.0, upper=1e4)
        half = float(sum(shares) // 2)
        rows.row(half, {**dict(enumerate(shares)), over: -1.0, under: 1.0}, half)
    few, more = (minimise(rows, hint=None, enough=None, most_nodes=most, watch=SILENT) for most in (3, 200))
    assert few.nodes <= 3 < more.nodes <= 200
    assert few == minimise(rows, hint=None, enough=None, most_nodes=3, watch=SILENT)


def test_ctrl_c_while_the_solver_works_asks_it_to_end() -> None:
    """A solver that goes on until it is asked to stop."""
    asked = Event()

    class Busy:
        """Busy until asked."""

        def run(self) -> None:
            """Work until asked."""
            while not look.stopped:
                asked.wait(0.01)
            asked.set()

    look = _Look(Looker(2, interrupts=True), None, None)
    assert look.wait_for(Busy())
    assert asked.is_set()


def test_nothing_is_printed() -> None:
    """A plan as JSON goes to the same place. In a process of its own, for the solver's banner comes once."""
    code = (
        "from tests.layout.route_nets import net\n"
        "from loomwright.layout.engine.route_solver import route\n"
        "[route(net(seed), effort='prove') for seed in range(9)]\n"
        "import sys; sys.exit('highspy' not in sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
