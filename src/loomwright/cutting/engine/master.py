"""The master problem of one stage: how often each known pattern is used, as a linear or an integer program (HiGHS)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import highspy

from loomwright.cutting.engine.stage import MISSING, features, features_of_missing, span

if TYPE_CHECKING:
    from loomwright.cutting.batch import Batch, Pattern
    from loomwright.cutting.engine.stage import Stage


@dataclass(frozen=True, slots=True)
class Duals:
    """What a unit more of each row would be worth: needs, limits of earlier numbers, starts, sources."""

    needs: tuple[float, ...]
    limits: tuple[float, ...]
    started: float
    sources: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Use:
    """How often each pattern of the master is used, and the duals (of the linear program)."""

    patterns: tuple[float, ...]
    duals: Duals


class Master:
    """Rows for needs, earlier limits, starts and sources; columns for patterns and pieces without a spool."""

    def __init__(self, batch: Batch, stage: Stage, *, rescue: float | None = None, whole: bool = False) -> None:
        """Set the rows; `rescue` is the price at which a need may stay open (None: it may not)."""
        self.batch, self.stage, self.whole = batch, stage, whole
        self.patterns: list[Pattern] = []
        self.known: set[Pattern] = set()
        self._solver = _solver()
        self._first: list[int] = []
        infinity = highspy.kHighsInf
        for wanted in batch.needs:
            self._row(wanted.count, infinity)
        for number in range(len(stage.limits)):
            self._row(*span(batch, stage, number))
        self._row(stage.started, infinity)
        for source in batch.sources:
            self._row(-infinity, infinity if source.count is None else source.count)
        self._columns: list[int] = []
        for need, wanted in enumerate(batch.needs):
            if rescue is not None:
                self._column(rescue, {need: 1.0}, wanted.count)
            if stage.goal == MISSING or stage.limits[MISSING] > 0:
                told = features_of_missing(batch, need)
                self._column(told[stage.goal], {need: 1.0, **self._limited(told)}, wanted.count)

    def add(self, pattern: Pattern) -> bool:
        """Add a pattern; tell whether it was new."""
        if pattern in self.known:
            return False
        self.known.add(pattern)
        source, counts = pattern
        told = features(self.batch, pattern)
        entries = {need: float(count) for need, count in enumerate(counts) if count} | self._limited(told)
        rows = len(self.batch.needs) + len(self.stage.limits)
        if self.batch.sources[source].trim_mm:
            entries[rows] = 1.0
        entries[rows + 1 + source] = 1.0
        self._columns.append(self._column(told[self.stage.goal], entries, highspy.kHighsInf))
        self.patterns.append(pattern)
        return True

    def solve(self) -> Use | None:
        """Solve the linear program; None where it has no answer."""
        self._solver.run()
        if self._solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        answer = self._solver.getSolution()
        values, dual = answer.col_value, answer.row_dual
        needs, limits = len(self.batch.needs), len(self.stage.limits)
        duals = Duals(
            tuple(dual[:needs]),
            tuple(dual[needs : needs + limits]),
            dual[needs + limits],
            tuple(dual[needs + limits + 1 :]),
        )
        return Use(tuple(values[column] for column in self._columns), duals)

    def solve_whole(self, *, nodes: int, below: int) -> tuple[tuple[Pattern, ...] | None, bool]:
        """Look for whole numbers of patterns whose goal sums up to less than `below`, in at most `nodes` nodes.

        Returns the patterns found (None: none), and whether the search went to its end.
        """
        solver = self._solver
        solver.setOptionValue("mip_max_nodes", nodes)
        entries = [(i, v) for i in range(solver.getNumCol()) if (v := solver.getLp().col_cost_[i])]
        solver.addRow(-highspy.kHighsInf, below - 0.5, len(entries), [i for i, _ in entries], [v for _, v in entries])
        solver.run()
        status = solver.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return None, True
        if solver.getInfo().primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
            return None, False
        values = solver.getSolution().col_value
        used = tuple(
            pattern
            for column, pattern in zip(self._columns, self.patterns, strict=True)
            for _ in range(round(values[column]))
        )
        return used, status == highspy.HighsModelStatus.kOptimal

    def _limited(self, told: tuple[int, ...]) -> dict[int, float]:
        first = len(self.batch.needs)
        return {first + number: float(told[number]) for number in range(len(self.stage.limits)) if told[number]}

    def _row(self, low: float, high: float) -> None:
        self._solver.addRow(low, high, 0, [], [])

    def _column(self, cost: float, entries: dict[int, float], most: float) -> int:
        number = self._solver.getNumCol()
        self._solver.addCol(float(cost), 0.0, most, len(entries), list(entries), list(entries.values()))
        if self.whole:
            self._solver.changeColIntegrality(number, highspy.HighsVarType.kInteger)
        return number


class _Quiet(highspy.Highs):
    """A solver that prints nothing; the plain one greets on stdout while it is made."""

    def enableCallbacks(self) -> None:  # noqa: N802  the solver's own name
        self.silent()
        super().enableCallbacks()  # type: ignore[no-untyped-call]  # the wheel types only some calls


def _solver() -> highspy.Highs:
    solver = _Quiet()  # type: ignore[no-untyped-call]  # the same
    for name, value in {
        "threads": 1,
        "random_seed": 0,
        "mip_rel_gap": 0.0,
        "mip_abs_gap": 0.5,
    }.items():
        solver.setOptionValue(name, value)
    return solver
