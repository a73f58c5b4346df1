"""Hand a program of routes to HiGHS: a budget in its own work, news on the way, and an end when somebody asks."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from threading import Event, Thread
from typing import Any, Protocol

import highspy
import numpy as np

from loomwright.layout.engine.route_model import Rows
from loomwright.search import News, Watch

_STAGE = "trunks"


# How long the solver gets to end by itself once somebody asked, and how often it is looked at [s]; what comes out
# depends on neither, unless somebody does ask.
_GRACE_S, _LOOK_S = 0.5, 0.05


@dataclass(frozen=True, slots=True)
class Solved:
    """What came out: a value for every column (None: no answer), a lower bound, whether it was stopped, its nodes."""

    values: list[float] | None
    bound: float
    stopped: bool
    nodes: int


def minimise(
    rows: Rows, *, hint: Mapping[int, float] | None, enough: float | None, most_nodes: int | None, watch: Watch
) -> Solved:
    """Minimise a program on one thread.

    `hint` gives the columns of a known answer that are not 0. The search ends when its bound reaches `enough` (None:
    never). `most_nodes` counts nodes of the search tree, None: as many as it takes; the same count ends the search at
    the same point on every machine.
    """
    solver = _solver(rows)
    options = {
        "mip_rel_gap": 1e-7,
        "mip_abs_gap": 1e-7,
        "mip_feasibility_tolerance": 1e-7,
    }
    if most_nodes is not None:
        options["mip_max_nodes"] = most_nodes
    for name, value in options.items():
        solver.setOptionValue(name, value)
    if hint is not None:
        known = highspy.HighsSolution()
        known.col_value = [hint.get(column, 0.0) for column in range(len(rows.cost))]
        solver.setSolution(known)
    look = _Look(watch, enough, most_nodes)
    solver.setCallback(look.hear, None)
    solver.startCallback(highspy.cb.HighsCallbackType.kCallbackMipInterrupt)
    if not look.wait_for(solver):
        return Solved(None, look.bound, stopped=True, nodes=look.nodes)
    solved = _read(solver, look, mixed=any(rows.whole))
    if hint is not None and solved.values is not None and not _told_well(rows, solved.values, solver):
        return minimise(rows, hint=None, enough=enough, most_nodes=most_nodes, watch=watch)
    return solved


@dataclass(frozen=True, slots=True)
class Relaxed:
    """The program with its columns split at will: a lower bound, the columns, what one more of each adds at least."""

    bound: float
    values: list[float]
    adds: list[float]


def relax(rows: Rows, watch: Watch) -> Relaxed | None:
    """Minimise a program without whole numbers; None where it was stopped or has no answer at all."""
    solver = _solver(rows, whole=False)
    # Made smaller first, these programs took the simplex two to six times as long.
    solver.setOptionValue("presolve", "off")
    look = _Look(watch, None, None)
    if not look.wait_for(solver) or solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    found = solver.getSolution()
    adds = [max(0.0, dual) for dual in found.col_dual]
    return Relaxed(solver.getInfo().objective_function_value, list(found.col_value), adds)


def _solver(rows: Rows, *, whole: bool = True) -> highspy.Highs:
    solver = _Quiet()
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 0)
    solver.passModel(_program(rows, whole=whole))
    return solver


def _told_well(rows: Rows, values: list[float], solver: highspy.Highs) -> bool:
    """Whether the columns cost what the solver says: HiGHS 1.16 can improve a hint, and hand back the hint itself."""
    cost = sum(g * value for g, value in zip(rows.cost, values, strict=True))
    objective = solver.getInfo().objective_function_value
    return bool(abs(cost - objective) <= 1e-6 * max(1.0, abs(objective)))


class _Quiet(highspy.Highs):
    """A solver that prints nothing; as it comes, it prints a banner before it can be told not to."""

    def __init__(self) -> None:
        """Start the compiled part alone, and silence it at once."""
        super(highspy.Highs, self).__init__()
        self.setOptionValue("output_flag", False)  # noqa: FBT003 - the library has no names for these


class _Runs(Protocol):
    """Something that runs until it is done, or asked to end."""

    def run(self) -> object:
        """Run."""


class _Look:
    """Watches a solver that works on a thread of its own, so that an end that is asked for need not wait for it."""

    def __init__(self, watch: Watch, enough: float | None, most_nodes: int | None) -> None:
        self.watch, self.enough, self.most_nodes = watch, enough, most_nodes
        self.stopped = False
        self.cost, self.bound, self.nodes = math.inf, -math.inf, 0

    def hear(self, _kind: Any, _message: str, seen: Any, answer: Any, _data: Any) -> None:  # noqa: ANN401 - untyped
        """Note how far the solver is, and end it when its bound is good enough or somebody asked."""
        self.cost, self.nodes = seen.mip_primal_bound, seen.mip_node_count
        if seen.mip_dual_bound < math.inf:
            self.bound = max(self.bound, seen.mip_dual_bound)
        if self.stopped or (self.enough is not None and self.bound >= self.enough):
            answer.user_interrupt = True

    def wait_for(self, solver: _Runs) -> bool:
        """Let it work and tell how far it is; return whether it came to its end, by itself or because it was asked."""
        done, failed = Event(), list[BaseException]()

        def work() -> None:
            try:
                solver.run()
            except BaseException as why:  # noqa: BLE001 - whatever it is, it is raised where somebody waits
                failed.append(why)
            done.set()

        Thread(target=work, daemon=True).start()
        try:
            while not done.wait(_LOOK_S) and not self.watch.stopped:
                self._tell()
            self.stopped = not done.is_set()
        except KeyboardInterrupt:
            self.stopped = True
        if failed:
            raise failed[0]
        return done.wait(_GRACE_S)

    def _tell(self) -> None:
        used = self.nodes / self.most_nodes if self.most_nodes else 0.0
        self.watch.tell(News(stage=_STAGE, cost=_finite(self.cost), bound=_finite(self.bound), used=used))


def _finite(number: float) -> float | None:
    return number if math.isfinite(number) else None


def _program(rows: Rows, *, whole: bool) -> highspy.HighsLp:
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
    if whole:
        program.integrality_ = [kinds.kInteger if one else kinds.kContinuous for one in rows.whole]
    return program


def _nodes(info: highspy.HighsInfo) -> int:
    return max(0, int(info.mip_node_count))


def _read(solver: highspy.Highs, look: _Look, *, mixed: bool) -> Solved:
    info, status = solver.getInfo(), solver.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return Solved(None, math.inf, look.stopped, _nodes(info))
    found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    values = list(solver.getSolution().col_value) if found else None
    proved = info.objective_function_value if status == highspy.HighsModelStatus.kOptimal else -math.inf
    bound = info.mip_dual_bound if mixed else proved
    return Solved(values, bound if math.isfinite(bound) else -math.inf, look.stopped, _nodes(info))
