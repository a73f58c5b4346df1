"""Write the lock files again: every package that set-up installs, one version and all its hashes.

    python tools/lock.py            keep the versions that are locked, add what is missing
    python tools/lock.py --upgrade  take the newest versions

It needs uv on PATH (`pip install uv`). All files hold for every supported Python and system, and they
name no address to fetch from, so they work with any mirror. That is why there is no uv.lock beside them:
that file can't be written without addresses.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
OLDEST_PYTHON = "3.11"

# Name of the lock file -> the dependency groups of pyproject.toml in it. The first one is solved first and
# binds the others, so that a package has the same version in all.
LOCKS = {"test": ("build", "test", "lint"), "run": ("build",), "battery-peer": ("battery-peer",)}


def command(name: str, *, upgrade: bool) -> list[str]:
    """Give the words that write one lock file."""
    words = ["uv", "pip", "compile", "pyproject.toml", "--quiet", "--universal", f"--python-version={OLDEST_PYTHON}"]
    words += ["--fork-strategy=fewest", "--generate-hashes", "--no-strip-extras"]
    words += ["--custom-compile-command=python tools/lock.py"]
    words += [f"--group={group}" for group in LOCKS[name]]
    words += ["--constraints=requirements/test.txt"] if name != "test" else []
    words += ["--upgrade"] if upgrade else []
    return [*words, f"--output-file=requirements/{name}.txt"]


def main() -> int:
    """Write every lock file; stop at the first that can't be solved."""
    for name in LOCKS:
        done = subprocess.run(command(name, upgrade="--upgrade" in sys.argv[1:]), cwd=ROOT, check=False)
        if done.returncode:
            return done.returncode
    return 0


if __name__ == "__main__":
    sys.exit(main())
