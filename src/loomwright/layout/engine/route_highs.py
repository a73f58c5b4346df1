"""Hand a program of routes to HiGHS: a budget in its own work, news on the way, and an end when somebody asks."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np

from loomwright.layout.engine.route_model import Rows
from loomwright.search import News, Watch

_STAGE = "trunks"


@dataclass(frozen=True, slots=True)
class Solved:
    """What came out: a value for every column (None: no answer), a lower bound, whether it was stopped, its work."""

    values: list[float] | None
    bound: float
    stopped: bool
    work: int


def minimise(
    rows: Rows, *, hint: Mapping[int, float] | None, enough: float, most_work: int | None, watch: Watch
) -> Solved:
    """Minimise a program on one thread.

    `hint` gives the columns of a known answer that are not 0. The search ends when its bound reaches `enough`.
    `most_work` counts simplex steps, None: as many as it takes; the same count ends the search at the same point on
    every machine.
    """
    solver = _Quiet()
    options = {
        "threads": 1,
        "random_seed": 0,
        "mip_rel_gap": 1e-7,
        "mip_abs_gap": 1e-7,
        "mip_feasibility_tolerance": 1e-7,
    }
    for name, value in options.items():
        solver.setOptionValue(name, value)
    solver.passModel(_program(rows))
    if hint is not None:
        known = highspy.HighsSolution()
        known.col_value = [hint.get(column, 0.0) for column in range(len(rows.cost))]
        solver.setSolution(known)
    look = _Look(watch, enough, most_work)
    solver.setCallback(look.hear, None)
    solver.startCallback(highspy.cb.HighsCallbackType.kCallbackMipInterrupt)
    solver.startCallback(highspy.cb.HighsCallbackType.kCallbackSimplexInterrupt)
    solver.run()
    return _read(solver, look)


class _Quiet(highspy.Highs):
    """A solver that prints nothing; as it comes, it prints a banner before it can be told not to."""

    def __init__(self) -> None:
        """Start the compiled part alone, and silence it at once."""
        super(highspy.Highs, self).__init__()
        self.setOptionValue("output_flag", False)  # noqa: FBT003 - the library has no names for these


class _Look:
    """Listens while the solver works."""

    def __init__(self, watch: Watch, enough: float, most_work: int | None) -> None:
        self.watch, self.enough, self.most_work = watch, enough, most_work
        self.ended = self.stopped = False
        self.work = 0

    def hear(self, kind: Any, _message: str, seen: Any, answer: Any, _data: Any) -> None:  # noqa: ANN401 - untyped library
        """End the search when its work is used up or somebody asks; Ctrl-C asks too."""
        try:
            mip = kind == highspy.cb.HighsCallbackType.kCallbackMipInterrupt
            if mip:
                self.work = max(self.work, seen.simplex_iteration_count)
                used = self.work / self.most_work if self.most_work else 0.0
                self.ended = self.ended or used >= 1 or seen.mip_dual_bound >= self.enough
                self.watch.tell(
                    News(
                        stage=_STAGE, cost=_finite(seen.mip_primal_bound), bound=_finite(seen.mip_dual_bound), used=used
                    )
                )
            self.stopped = self.stopped or self.watch.stopped
        except KeyboardInterrupt:
            self.stopped = True
        if self.ended or self.stopped:
            answer.user_interrupt = True


def _finite(number: float) -> float | None:
    return number if math.isfinite(number) else None


def _program(rows: Rows) -> highspy.HighsLp:
    program = highspy.HighsLp()
    program.num_col_ = len(rows.cost)
    program.num_row_ = len(rows.row_low)
    program.col_cost_ = np.array(rows.cost, dtype=float)
    program.col_lower_ = np.zeros(len(rows.cost))
    program.col_upper_ = np.array(rows.upper, dtype=float)
    program.row_lower_ = np.array(rows.row_low, dtype=float)
    program.row_upper_ = np.array(rows.row_high, dtype=float)
    program.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    program.a_matrix_.start_ = np.array(rows.start, dtype=np.int32)
    program.a_matrix_.index_ = np.array(rows.index, dtype=np.int32)
    program.a_matrix_.value_ = np.array(rows.value, dtype=float)
    kinds = highspy.HighsVarType
    program.integrality_ = [kinds.kInteger if whole else kinds.kContinuous for whole in rows.whole]
    return program


def _read(solver: highspy.Highs, look: _Look) -> Solved:
    info, status = solver.getInfo(), solver.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return Solved(None, math.inf, look.stopped, look.work)
    found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    values = list(solver.getSolution().col_value) if found else None
    bound = info.mip_dual_bound
    return Solved(values, bound if math.isfinite(bound) else -math.inf, look.stopped, look.work)
