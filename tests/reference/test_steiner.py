"""Steiner trees with published optima: wires free, roads cost their length, one terminal feeds all others.

Source: tests/reference/steiner, from the PACE 2018 challenge, track 1, which took them from SteinLib; CC0. By default
the small ones; with STEINER=all every one that is proved within minutes.
"""

from __future__ import annotations

import csv
import os
from pathlib import Path

import pytest

from benchmarks.trunks import steiner
from loomwright.layout.checker.routes import check_routes
from loomwright.layout.engine.route_solver import route
from loomwright.search import Effort

_HERE = Path(__file__).parent / "steiner"
_ROWS = csv.DictReader((_HERE / "optima.csv").read_text(encoding="utf-8").splitlines())
_OPTIMA = {row["instance"]: float(row["optimum"]) for row in _ROWS}
_QUICK = {f"instance{number}.gr" for number in ("001", "006", "007", "008", "009", "012")}
_CHOSEN = sorted(_OPTIMA if os.environ.get("STEINER") == "all" else _QUICK)


def test_every_tree_has_its_optimum_on_file() -> None:
    assert {path.name for path in _HERE.glob("*.gr")} == set(_OPTIMA)
    assert len(_OPTIMA) == 18


@pytest.mark.parametrize("name", _CHOSEN)
def test_the_published_optimum_is_found_and_proved(name: str) -> None:
    problem = steiner(_HERE / name)
    answer = route(problem, effort=Effort.PROVE)
    assert check_routes(problem, answer) == pytest.approx(_OPTIMA[name], abs=1e-6)
    assert answer.certificate.proved
