"""Run CP-SAT so that the same model gives the same answer everywhere, and so that somebody may end it early."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from threading import Event, Thread
from typing import TYPE_CHECKING, Any

from loomwright.search import News, Watch
from loomwright.search.lean import cp_model

if TYPE_CHECKING:
    from collections.abc import Mapping

_LOOK_S = 0.05
#: CP-SAT's own unit of work, about a second of a desktop machine.
Work = float


@dataclass(frozen=True, slots=True)
class Found:
    """What a run found: the values of the asked variables (None: no answer yet), the least that any answer costs.

    `impossible` is true when it is proved that no answer exists.
    """

    values: tuple[int, ...] | None
    bound: int | None
    impossible: bool


class _Teller(cp_model.CpSolverSolutionCallback):
    def __init__(self, tell: Callable[[float, float, float], None]) -> None:
        super().__init__()
        self._tell = tell

    def on_solution_callback(self) -> None:
        self._tell(self.objective_value, self.best_objective_bound, self.deterministic_time)


def run(
    model: cp_model.CpModel,
    asked: list[Any],
    *,
    work: Work | None,
    watch: Watch,
    stage: str,
    settings: Mapping[str, int] | None = None,
) -> Found:
    """Search until proved, until the work is used up (None: no limit), or until the watch has stopped.

    One worker and a fixed seed, with work counted by the solver and never by a clock: a slow machine finds the same.
    """
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    solver.parameters.catch_sigint_signal = False
    if work is not None:
        solver.parameters.max_deterministic_time = work
    for name, value in (settings or {}).items():
        setattr(solver.parameters, name, value)

    def tell(cost: float, bound: float, used: float) -> None:
        watch.tell(News(stage=stage, cost=cost, bound=bound, used=min(1.0, used / work) if work else 0.0))

    status = _solve(solver, model, _Teller(tell), watch)
    if status == cp_model.MODEL_INVALID:
        raise RuntimeError(f"internal error: {model.validate()}")
    found = status in {cp_model.OPTIMAL, cp_model.FEASIBLE}
    bound = solver.best_objective_bound
    known = found and math.isfinite(bound)
    return Found(
        values=tuple(int(solver.value(variable)) for variable in asked) if found else None,
        bound=math.ceil(bound - 1e-6) if known else None,
        impossible=status == cp_model.INFEASIBLE,
    )


def _solve(solver: cp_model.CpSolver, model: cp_model.CpModel, teller: _Teller, watch: Watch) -> int:
    """Solve in a thread, so that this one hears Ctrl-C and the watch meanwhile; the best answer so far is kept."""
    status: list[int] = []
    fault: list[BaseException] = []
    done = Event()

    def work() -> None:
        try:
            status.append(int(solver.solve(model, teller)))
        except BaseException as problem:  # noqa: BLE001  # told again in the thread that asked
            fault.append(problem)
        finally:
            done.set()

    thread = Thread(target=work, daemon=True)
    thread.start()
    while not done.is_set():
        try:
            done.wait(_LOOK_S)
        except KeyboardInterrupt:
            solver.stop_search()
        if watch.stopped:
            solver.stop_search()
    thread.join()
    if fault:
        raise fault[0]
    return status[0]
