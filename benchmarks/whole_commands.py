"""Time whole commands as processes, cold caches apart: medians of several runs, next to a bare Python start.

    python benchmarks/whole_commands.py [RUNS]

Prints the median, the least and the most of each command, the median and the least of the processor's time with that of
its helpers, and the aim that the command has on two cores. Where other work runs beside, the least is nearest to the
truth. Nothing here fails: machines are noisy, people read the numbers.
"""

from __future__ import annotations

import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from time import perf_counter

_PYTHON = (sys.executable, "-c", "pass")
_LOOM = (sys.executable, "-m", "loomwright")
_RUNS = 10
# As on a student's laptop: compiled files are kept, and the first run of each command is not counted.
_ENVIRONMENT = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def main(words: Sequence[str]) -> None:
    """Measure and print."""
    runs = int(words[0]) if words else _RUNS
    with tempfile.TemporaryDirectory() as folder:
        large = Path(folder) / "large"
        _run((*_LOOM, "demo", str(large), "--robot", "breakwater"))
        small = Path(folder) / "small"
        _run((*_LOOM, "demo", str(small)))
        bare = Path(folder) / "bare"
        bare.mkdir()
        shutil.copy(small / "robot.yaml", bare)
        some = Path(folder) / "some"
        some.mkdir()
        (some / "robot.yaml").write_text(_with_87_wires((small / "robot.yaml").read_text("utf-8")), "utf-8")
        commands = {
            "--help": ((*_LOOM, "--help"), 0.15),
            "check, current, large": ((*_LOOM, "check", str(large)), 0.6),
            "plan, current, large": ((*_LOOM, "plan", str(large)), 1.0),
            "plan, fresh, large": ((*_LOOM, "plan", "--fresh", str(large)), 5.0),
            "plan, fresh, Tidepool": ((*_LOOM, "plan", "--fresh", str(small)), 5.0),
            "change, current, large": ((*_LOOM, "change", str(large)), 1.0),
            "packet, unchanged, large": ((*_LOOM, "packet", str(large)), 1.5),
            "packet, anew, large": ((*_LOOM, "packet", str(large)), 3.0),
            "packet, anew, Tidepool": ((*_LOOM, "packet", str(small)), 3.0),
            "draft, routed, Tidepool": ((*_LOOM, "packet", "--anyway", str(bare)), 3.0),
            "draft, routed, 87 wires": ((*_LOOM, "packet", "--anyway", str(some)), 3.0),
        }
        empty = [_run(_PYTHON) for _ in range(runs)]
        print(f"python {sys.version.split()[0]}, {runs} runs each, seconds")
        print(f"{'command':24}{'median':>8}{'least':>8}{'most':>8}{'busy':>8}{'least':>8}{'aim':>8}")
        _line("python -c pass", empty, None)
        for name, (command, aim) in commands.items():
            _run(command)
            # What was drawn is forgotten where it is to be drawn again.
            forget = [large, small] if "anew" in name else [bare, some] if "routed" in name else []
            _line(name, [_run(command, forget) for _ in range(runs)], aim)


def _with_87_wires(robot: str) -> str:
    """Return Tidepool without its shooter and its climber."""
    less = re.sub(r"^  shooter:\n.*?(?=^electronics:)", "\n", robot, flags=re.DOTALL | re.MULTILINE)
    return less.replace("lower wheel, upper wheel, ", "").partition("\nbuilds:")[0] + "\n"


def _line(name: str, took: list[tuple[float, float]], aim: float | None) -> None:
    seconds, busy = zip(*took, strict=True)
    told = f"{aim:.2f}" if aim is not None else "-"
    held = (statistics.median(seconds), min(seconds), max(seconds), statistics.median(busy), min(busy))
    print(f"{name:24}{''.join(f'{value:8.3f}' for value in held)}{told:>8}", flush=True)


def _run(command: Sequence[str], forget: Sequence[Path] = ()) -> tuple[float, float]:
    """Return how long a command takes by the clock, and how long it keeps processors busy [s]."""
    for folder in forget:
        (folder / "out" / ".drawn.json").unlink(missing_ok=True)
        (folder / "out" / ".net.json").unlink(missing_ok=True)
    start, before = perf_counter(), _busy_s()
    subprocess.run(command, env=_ENVIRONMENT, check=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return perf_counter() - start, _busy_s() - before


def _busy_s() -> float:
    """Return the processor's time of all that this process started and that has ended [s]; 0 on Windows."""
    spent = os.times()
    return spent.children_user + spent.children_system


if __name__ == "__main__":
    main(sys.argv[1:])
