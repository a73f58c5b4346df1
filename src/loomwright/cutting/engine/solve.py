"""The search: number after number of the score, each with a bound, an answer by diving, and a proof if it is near."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.cutting.batch import Score, score
from loomwright.cutting.engine.dive import dive, trimmed
from loomwright.cutting.engine.generate import generate
from loomwright.cutting.engine.listing import worthwhile
from loomwright.cutting.engine.master import Master
from loomwright.cutting.engine.plain_bound import plain_bound, started_at_least
from loomwright.cutting.engine.pricing import UNIT
from loomwright.cutting.engine.stage import BOUGHT, CENTS, FRESH, MISSING, SCRAP, STARTED, Stage, wire_mm
from loomwright.search import Effort, News

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.cutting.batch import Batch, Pattern
    from loomwright.cutting.engine.generate import Relaxed
    from loomwright.search import Watch

_GOALS = (MISSING, BOUGHT, CENTS, SCRAP, FRESH)


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """How much work one number of the score may take: pricing rounds, patterns listed, nodes of integer programs.

    `doublings` is how often listing and nodes may grow twofold while nothing is proved.
    """

    rounds: int = 2000
    listed: int = 4000
    nodes: int = 100
    doublings: int = 0


def budget_of(effort: Effort) -> Budget:
    """Return how much work an effort is worth."""
    return Budget(doublings=9) if effort is Effort.PROVE else Budget()


@dataclass(slots=True)
class Search:
    """The best answer so far of one batch, with a bound for every number of its score."""

    batch: Batch
    budget: Budget
    watch: Watch
    best: tuple[Pattern, ...]
    least: list[int]
    pool: dict[Pattern, None]
    started: int = 0

    def settle(self, goal: int) -> None:
        """Make one number of the score small while the numbers before it keep their values."""
        told = score(self.batch, self.best)
        self.least[goal] = max(0, plain_bound(self.batch, missing=told.missing)[goal])
        if told[goal] <= self.least[goal] or self.watch.stopped:
            return
        if goal == SCRAP:
            self._count_starts()
        stage = self._stage(goal)
        relaxed = generate(self.batch, stage, self.pool, rounds=self.budget.rounds, watch=self.watch, enough=told[goal])
        self.least[goal] = max(self.least[goal], relaxed.bound)
        if goal == CENTS:
            self.least[goal] = self._next_price(self.least[goal])
        if not self._open(goal):
            return
        self._offer(dive(self.batch, stage, self.pool, watch=self.watch))
        # Using up off-cuts is a courtesy among equals: one dive is enough, and nobody asks for its proof.
        if self._open(goal) and goal != FRESH:
            self._offer(self._whole(self._stage(goal), self.pool, self.budget.nodes)[0])
            self._prove(goal, relaxed)

    def _prove(self, goal: int, relaxed: Relaxed) -> None:
        """List every pattern that a better answer could use, and look through them, within the budget."""
        listed, nodes = self.budget.listed, self.budget.nodes
        for _ in range(self.budget.doublings + 1):
            while self._open(goal) and relaxed.prices is not None:
                value = score(self.batch, self.best)[goal]
                slack = (value - 1) * UNIT - relaxed.exact
                patterns = worthwhile(self.batch, relaxed.prices, relaxed.reduced, slack=slack, most=listed)
                if patterns is None:
                    break
                found, finished = self._whole(self._stage(goal), patterns, nodes)
                if found:
                    self._offer(found)
                elif finished:
                    self.least[goal] = value
                if not found or score(self.batch, self.best)[goal] >= value:
                    break
            listed, nodes = 2 * listed, 2 * nodes

    def _count_starts(self) -> None:
        """Raise the number of spools that have to be started at least: trim is lost on each of them."""
        self.started = started_at_least(self.batch, missing=score(self.batch, self.best).missing)
        stage = self._stage(STARTED)
        relaxed = generate(self.batch, stage, self.pool, rounds=self.budget.rounds, watch=self.watch)
        self.started = max(self.started, relaxed.bound)

    def _next_price(self, cents: int) -> int:
        """Return the least sum of prices, of as many new spools as an answer has, that is no less than a bound."""
        told = score(self.batch, self.best)
        prices = {source.cents for source in self.batch.sources if source.new}
        sums = {0}
        for number in range(told.bought):
            sums = {total + price for total in sums for price in prices if total + price <= told.cents}
            sums |= {0} if number < told.bought - self.least[BOUGHT] else set()
        return min((total for total in sums if total >= cents), default=told.cents)

    def _whole(self, stage: Stage, patterns: Iterable[Pattern], nodes: int) -> tuple[tuple[Pattern, ...], bool]:
        """Look for a better answer among some patterns; tell also whether all of them were looked through."""
        master = Master(self.batch, stage, whole=True)
        for pattern in patterns:
            master.add(pattern)
        value = score(self.batch, self.best)[stage.goal]
        below = value + (wire_mm(self.batch) if stage.goal == SCRAP else 0)
        found, finished = master.solve_whole(nodes=nodes, below=below)
        return found or (), finished

    def _stage(self, goal: int) -> Stage:
        told = score(self.batch, self.best)
        settled = SCRAP if goal == STARTED else goal
        pieces = sum(need.count for need in self.batch.needs)
        new = told.bought if goal >= BOUGHT else pieces
        return Stage(goal, tuple(self.least[:settled]), told[:settled], self.started, new)

    def _open(self, goal: int) -> bool:
        return not self.watch.stopped and score(self.batch, self.best)[goal] > self.least[goal]

    def _offer(self, patterns: tuple[Pattern, ...]) -> None:
        """Take an answer if it is better than the best so far."""
        patterns = trimmed(self.batch, patterns)
        if patterns and score(self.batch, patterns) < score(self.batch, self.best):
            self.best = patterns
        self.pool.update(dict.fromkeys(patterns))


def improve(
    batch: Batch, first: tuple[Pattern, ...], *, budget: Budget, watch: Watch
) -> tuple[tuple[Pattern, ...], Score]:
    """Make the score of a first answer as small as the budget allows; return the answer, and a bound for every number.

    A bound holds for answers that are as good as this one in the numbers before it.
    """
    search = Search(batch, budget, watch, first, [0] * len(_GOALS), dict.fromkeys(first))
    for goal in _GOALS:
        if goal != CENTS or len({s.cents for s in batch.sources if s.new}) > 1:
            search.settle(goal)
        else:
            search.least[goal] = score(batch, search.best).cents
        told = score(batch, search.best)
        watch.tell(News(stage="cutting", cost=told.scrap_mm, bound=search.least[SCRAP], used=(goal + 1) / len(_GOALS)))
    return search.best, Score(*search.least)
