"""Steiner trees with published optima: wires free, roads cost their length, one terminal feeds all others.

Source: tests/reference/steiner, from the PACE 2018 challenge, track 1, which took them from SteinLib; CC0. Trees of so
few ends are found by every set of runs; the small ones are proved by the program that robots need too. The five largest
take some seconds each and are left to STEINER=all.
"""

from __future__ import annotations

import csv
import os
from pathlib import Path

import pytest

from benchmarks.trunks import steiner
from loomwright.layout.checker.routes import check_routes
from loomwright.layout.engine import route_exact
from loomwright.layout.engine.route_solver import route
from loomwright.search import Effort

_HERE = Path(__file__).parent / "steiner"
_ROWS = csv.DictReader((_HERE / "optima.csv").read_text(encoding="utf-8").splitlines())
_OPTIMA = {row["instance"]: float(row["optimum"]) for row in _ROWS}
_LARGE = {f"instance{number:03}.gr" for number in range(18, 23)}
_CHOSEN = sorted(_OPTIMA if os.environ.get("STEINER") == "all" else _OPTIMA.keys() - _LARGE)
_BY_PROGRAM = [f"instance{number}.gr" for number in ("001", "006", "007", "008", "009", "012", "013", "015")]


def test_every_tree_has_its_optimum_on_file() -> None:
    assert {path.name for path in _HERE.glob("*.gr")} == set(_OPTIMA)
    assert len(_OPTIMA) == 18


@pytest.mark.parametrize("name", _CHOSEN)
def test_the_published_optimum_is_found_and_proved(name: str) -> None:
    _prove(name)


@pytest.mark.parametrize("name", _BY_PROGRAM)
def test_the_program_of_flows_proves_it_too(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(route_exact, "is_small", lambda _ready: False)
    _prove(name)


def _prove(name: str) -> None:
    problem = steiner(_HERE / name)
    answer = route(problem, effort=Effort.PROVE)
    assert check_routes(problem, answer) == pytest.approx(_OPTIMA[name], abs=1e-6)
    assert answer.certificate.proved
