"""Published optima of the generalised assignment problem: five instances of the OR-Library.

Source: OR-Library, file gap1 (5 agents, 15 jobs); optima 336, 327, 339, 341, 326, from memory and found
again here. Copied as `gap1.txt`: the number of instances, then for each its agents and jobs, the values, the loads and
the capacities.

A slot holds one circuit, so a slot problem can't say that an agent has room for several jobs. What is tested is the
part of the model that gives every item one option within the room there is; slots use it with room for one.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from ortools.sat.python import cp_model

from loomwright.layout.engine.slot_model import choose
from loomwright.search import SILENT
from loomwright.search.cpsat import run
from tests.reference.published import FOLDER

OPTIMA = (336, 327, 339, 341, 326)
Table = list[list[int]]


def _instances() -> list[tuple[Table, Table, list[int]]]:
    """Read values and loads by agent and job, and the room of each agent."""
    numbers = iter(map(int, (FOLDER / "gap1.txt").read_text(encoding="utf-8").split()))
    return [_instance(numbers) for _ in range(next(numbers))]


def _instance(numbers: Iterator[int]) -> tuple[Table, Table, list[int]]:
    agents, jobs = next(numbers), next(numbers)
    values, loads = ([[next(numbers) for _ in range(jobs)] for _ in range(agents)] for _ in range(2))
    return values, loads, [next(numbers) for _ in range(agents)]


@pytest.mark.parametrize(("instance", "optimum"), list(zip(_instances(), OPTIMA, strict=True)))
def test_the_published_optimum_is_found_and_proved(instance: tuple[Table, Table, list[int]], optimum: int) -> None:
    """The most value is the published one, and the solver's bound says that there is no more."""
    values, loads, room = instance
    agents, jobs = range(len(values)), range(len(values[0]))
    model = cp_model.CpModel()
    by_job = [{agent: loads[agent][job] for agent in agents} for job in jobs]
    chosen = choose(model, [list(agents) for _ in jobs], loads=by_job, rooms=dict(enumerate(room)))
    model.minimize(-sum(values[agent][job] * chosen[job][agent] for job in jobs for agent in agents))
    found = run(model, [chosen[job][agent] for job in jobs for agent in agents], work=10, watch=SILENT, stage="test")
    assert found.values is not None
    given = [divmod(n, len(agents)) for n, value in enumerate(found.values) if value]
    assert sorted(job for job, _ in given) == list(jobs)
    assert all(sum(loads[a][job] for job, a in given if a == agent) <= room[agent] for agent in agents)
    assert sum(values[agent][job] for job, agent in given) == optimum
    assert found.bound == -optimum
