"""Start-up time is kept by what is not imported; a stopwatch would only measure the machine."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import pytest

import loomwright
from loomwright.robotfile.plans.source import program
from tests.jobs.test_deciding import ROBOT

WEB: Final = {"fastapi", "starlette", "uvicorn", "jinja2"}
DRAWING: Final = {"typst", "ezdxf", "xlsxwriter", "segno"}
SOLVING: Final = {"numpy", "scipy", "pandas", "shapely", "ortools", "highspy", "numba", "networkx"}
_COMMAND: Final = """
import sys
from loomwright.cli.main import main
try:
    main(sys.argv[1:], prog_name="loomwright")
except SystemExit as end:
    print(end.code, *sys.modules, file=sys.stderr)
"""
_BENCH: Final = """
import sys
import loomwright.cli.bench, loomwright.cli.bench_records, loomwright.cli.bench_words, loomwright.web.serving
from loomwright.jobs.bench import Bench
from loomwright.jobs.current import planned
from loomwright.web.pages import make_ready
make_ready()
print(0, *sys.modules, file=sys.stderr)
"""


_BEFORE_THE_HELPER: Final = """
import sys
import loomwright.cli.main, loomwright.cli.bench, loomwright.cli.bench_records, loomwright.jobs.planned_beside
print(0, *sys.modules, file=sys.stderr)
"""
_LEAN: Final = """
import sys
{first}
from loomwright.search.cpsat import run
before = "pandas" in sys.modules
from pandas import DataFrame
print(0, before, DataFrame({{"one": [1]}}).shape, file=sys.stderr)
"""


def imported(code: str, words: Sequence[str] = ()) -> set[str]:
    """Return the packages that a program imports until its end, which is a good one."""
    ended = subprocess.run(
        [sys.executable, "-c", code, *words], capture_output=True, text=True, check=True, timeout=60, env=os.environ
    )
    end, *modules = ended.stderr.splitlines()[-1].split()
    assert end == "0", ended.stdout
    return {module.partition(".")[0] for module in modules}


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Plan a small robot, and make its packet."""
    folder = tmp_path_factory.mktemp("small")
    (folder / "robot.yaml").write_text(ROBOT, encoding="utf-8")
    for command in ("plan", "packet"):
        words = [sys.executable, "-m", "loomwright", command, str(folder)]
        subprocess.run(words, check=True, capture_output=True, timeout=60)
    return str(folder)


@pytest.mark.parametrize("command", ["check", "plan", "change", "packet"])
def test_a_plan_that_is_current_needs_no_solver_no_drawing_and_no_web(command: str, planned: str) -> None:
    """Its decisions are taken over, and its drawings stand there."""
    assert imported(_COMMAND, [command, planned]).isdisjoint(WEB | DRAWING | SOLVING)


def test_a_packet_on_other_paper_needs_no_solver_of_routes_and_no_web(planned: str) -> None:
    """The pages ask for the hunt's numbers, and nothing else for numbers."""
    found = imported(_COMMAND, ["packet", planned, "--paper", "letter"])
    assert {"typst", "numpy"} <= found
    assert found.isdisjoint(WEB | (SOLVING - {"numpy"}))


def test_the_bench_answers_before_anything_is_solved_or_drawn() -> None:
    """What serves its screens brings the web along and what draws the code to join with, and no numbers."""
    found = imported(_BENCH) - {"segno"}
    assert found >= WEB
    assert found.isdisjoint(DRAWING | SOLVING)


def test_the_bench_calls_its_helper_before_it_reads_what_takes_time() -> None:
    """The robot's forms and the web are read while the helper works the plan out, and not before."""
    assert imported(_BEFORE_THE_HELPER).isdisjoint(WEB | DRAWING | SOLVING | {"pydantic", "yaml"})


@pytest.mark.parametrize(("first", "before"), [("", "False"), ("import pandas", "True")])
def test_the_solver_comes_without_pandas_and_leaves_it_to_others(first: str, before: str) -> None:
    """What stands in for it while CP-SAT is read is gone afterwards, and what was there already stays."""
    words = [sys.executable, "-c", _LEAN.format(first=first)]
    ended = subprocess.run(words, capture_output=True, text=True, check=True, timeout=60, env=os.environ)
    assert ended.stderr.splitlines()[-1] == f"0 {before} (1, 1)"


def test_what_python_and_numba_keep_makes_no_other_program(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A match that was compiled draws no sheet anew; a file of ours that is written, lost or new does."""
    for name in ("__init__.py", "data/wire.csv", "data/README"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("1", encoding="utf-8")
    monkeypatch.setattr(loomwright, "__file__", str(tmp_path / "__init__.py"))
    before = program.__wrapped__()
    assert [line.split()[0] for line in before.decode().splitlines()] == ["__init__.py", "data/wire.csv"]
    for name in ("__pycache__/a.pyc", "data/__pycache__/kernel.nbi", "data/__pycache__/a.pyc.4711", "a.pyc"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("1", encoding="utf-8")
    assert program.__wrapped__() == before
    (tmp_path / "data/wire.csv").write_text("12", encoding="utf-8")
    assert program.__wrapped__() != before
