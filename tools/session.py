"""The whole test session: style, types and layers, what tests need from the system, then every test.

    python3 loom.py test [ARG ...]   ARGs go to pytest; without any, two files of tests run at a time
    python3 loom.py gates            style, types and layers alone

With LOOM_COVERAGE=1 the tests also measure which lines and branches they run, which takes more than twice as long.

All of it runs even when a part fails, so that one run tells everything; any failure makes the session fail.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import pytest

from tools import needs

GATES: Final[Mapping[str, Sequence[str]]] = {
    "style": ("ruff", "check", "--output-format=concise"),
    "format": ("ruff", "format", "--check", "--output-format=concise"),
    "types": ("mypy",),
    "layers": ("lint-imports", "--no-logo"),
}
#: Two files of tests at a time; a file's own tests share what they set up, so they stay together.
SIDE_BY_SIDE: Final = ("-n", "2", "--dist", "loadfile")
COVERAGE: Final = ("--cov=loomwright", "--cov-branch", "--cov-report=term")


def main(words: Sequence[str]) -> int:
    """Run the gates and, if the first word is `test`, the tests; return 0 only if all of it is well."""
    failed = failing_gates(GATES)
    if words[0] == "gates":
        print(f"failed: {', '.join(failed)}" if failed else "all gates passed")
        return int(bool(failed))
    for line in needs.provide(needs.declared()):
        print(line, flush=True)
    covered = COVERAGE if os.environ.get("LOOM_COVERAGE") else ()
    beside = SIDE_BY_SIDE if len(words) == 1 and (os.cpu_count() or 1) > 1 else ()
    outcome = pytest.main([*covered, *beside, *words[1:]], plugins=[GateReport(failed)])
    return int(outcome) or int(bool(failed))


def failing_gates(gates: Mapping[str, Sequence[str]]) -> list[str]:
    """Run every gate, whatever the others say; return the names of those that failed."""
    return [name for name, command in gates.items() if not _passes(name, command)]


@dataclass
class GateReport:
    """Repeats failed gates in pytest's own summary, where a person looks last."""

    failed: list[str]

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        """Write a section if a gate failed."""
        if self.failed:
            terminalreporter.section("gates that failed (see the top of this output)", red=True)
            terminalreporter.line(", ".join(self.failed))


def _passes(name: str, command: Sequence[str]) -> bool:
    print(f"== {name}: {' '.join(command)}", flush=True)
    program = shutil.which(command[0], path=sysconfig.get_path("scripts"))
    if program is None:
        print(f"{command[0]} is not installed", flush=True)
        return False
    return subprocess.run([program, *command[1:]], stdin=subprocess.DEVNULL, check=False).returncode == 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
