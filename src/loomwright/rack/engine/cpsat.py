"""Run CP-SAT so that the same model gives the same answer everywhere, and so that somebody may end it early."""

from __future__ import annotations

import math
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass
from typing import Any

from ortools.sat.python import cp_model

from loomwright.search import News, Watch

_LOOK_S = 0.05


@dataclass(frozen=True, slots=True)
class Found:
    """The values of the asked unknowns (None: no answer), and the least that any answer costs (None: not known)."""

    values: tuple[int, ...] | None
    bound: int | None


def run(model: cp_model.CpModel, asked: list[Any], *, work: float | None, watch: Watch, stage: str) -> Found:
    """Search until proved, until the work is used up (None: no limit), or until the watch has stopped.

    One worker and a fixed seed, with work counted by the solver and never by a clock: a slow machine finds the same.
    """
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    solver.parameters.catch_sigint_signal = False
    if work is not None:
        solver.parameters.max_deterministic_time = work
    status = _solve(solver, model, _Teller(watch, stage, work), watch)
    if status in {cp_model.MODEL_INVALID, cp_model.INFEASIBLE}:
        raise RuntimeError(f"internal error: the model of the day refuses a day that is known. {model.validate()}")
    bound = solver.best_objective_bound
    return Found(
        values=tuple(int(solver.value(one)) for one in asked) if status != cp_model.UNKNOWN else None,
        bound=math.ceil(bound - 1e-6) if math.isfinite(bound) else None,
    )


class _Teller(cp_model.CpSolverSolutionCallback):
    def __init__(self, watch: Watch, stage: str, work: float | None) -> None:
        super().__init__()
        self._watch, self._stage, self._work = watch, stage, work

    def on_solution_callback(self) -> None:
        used = min(1.0, self.deterministic_time / self._work) if self._work else 0.0
        cost, bound = self.objective_value, self.best_objective_bound
        self._watch.tell(News(stage=self._stage, cost=cost, bound=bound, used=used))


def _solve(solver: cp_model.CpSolver, model: cp_model.CpModel, teller: _Teller, watch: Watch) -> int:
    """Solve in a thread, so that this one hears Ctrl-C and the watch meanwhile; the best answer so far is kept."""
    with ThreadPoolExecutor(max_workers=1) as pool:
        running = pool.submit(solver.solve, model, teller)
        while not running.done():
            try:
                wait([running], timeout=_LOOK_S)
            except KeyboardInterrupt:
                solver.stop_search()
            if watch.stopped:
                solver.stop_search()
        return int(running.result())
