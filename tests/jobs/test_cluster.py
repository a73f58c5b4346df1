"""A study on a cluster: equal to that of one machine to the bit, though a worker is killed on the way."""

from __future__ import annotations

import os
import signal
import warnings
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from loomwright.findings import UnreadableInputError
from loomwright.jobs import cluster
from loomwright.jobs.cluster import play_on_cluster
from loomwright.match.of_plan import machine_of
from loomwright.match.study import Study, play_study
from loomwright.robotfile.drivers.driver_file import read_drivers
from loomwright.search import News
from tests.robots import example_plan

distributed = pytest.importorskip("distributed")
COUNT, LOT = 96, 16


@pytest.fixture(scope="module")
def study() -> Study:
    made = machine_of(example_plan("rockpool"), battery_state="tired")
    assert made.machine is not None
    return Study(made.machine, made.doubts, read_drivers(None).drivers, seed=5)


@pytest.fixture(scope="module")
def two_processes() -> Iterator[Any]:
    """Start a scheduler with two workers, each a process of one thread."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the library's own
        with distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, silence_logs=50
        ) as started:
            yield started


class _Killer:
    """Kills a worker when the first lot is back."""

    stopped = False

    def __init__(self, started: Any) -> None:  # noqa: ANN401  the library has no types
        self.started = started
        self.killed = 0
        self.heard: list[str] = []

    def tell(self, news: News) -> None:
        self.heard.append(news.words)
        if not self.killed:
            self.killed = next(iter(self.started.workers.values())).pid
            os.kill(self.killed, signal.SIGKILL)


class _Stopper:
    """Has had enough after two lots."""

    stopped = False
    heard = 0

    def tell(self, _news: News) -> None:
        self.heard += 1
        self.stopped = self.heard >= 2


@pytest.mark.filterwarnings("ignore")
def test_the_outcome_is_that_of_one_machine_though_a_worker_is_killed(study: Study, two_processes: Any) -> None:  # noqa: ANN401
    here = play_study(study, COUNT)
    killer = _Killer(two_processes)
    there = play_on_cluster(study, COUNT, two_processes.scheduler_address, lot=LOT, watch=killer)
    assert killer.killed
    assert killer.heard[-1] == "96 of 96"
    for one, other in ((here.matches, there.matches), (here.branches, there.branches), (here.ways, there.ways)):
        assert np.array_equal(one, other)


@pytest.mark.filterwarnings("ignore")
def test_who_stops_it_gets_the_matches_before_the_first_gap(study: Study, two_processes: Any) -> None:  # noqa: ANN401
    there = play_on_cluster(study, COUNT, two_processes.scheduler_address, lot=LOT, watch=_Stopper())
    assert len(there) % LOT == 0
    assert len(there) <= 2 * LOT
    assert not np.isnan(there.matches).any()


@pytest.mark.filterwarnings("ignore")
def test_nobody_at_the_address_and_no_library_are_told(study: Study, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cluster, "_WAIT_S", 0.3)
    with pytest.raises(UnreadableInputError) as refused:
        play_on_cluster(study, 16, "tcp://127.0.0.1:1")
    assert "No cluster answers at tcp://127.0.0.1:1" in refused.value.faults[0].what

    def missing(_name: str) -> None:
        raise ImportError("no")

    monkeypatch.setattr(cluster, "import_module", missing)
    with pytest.raises(UnreadableInputError) as refused:
        play_on_cluster(study, 16, "tcp://127.0.0.1:1")
    assert 'pip install "loomwright[cluster]"' in refused.value.faults[0].fix
