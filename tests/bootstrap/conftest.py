"""A small checkout in a folder of its own, with a stand-in for uv, so that set-up is tested without a network."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import pytest

ROOT: Final = Path(__file__).resolve().parents[2]

# It keeps a list of what it was asked to install, and "installs" a loomwright that repeats its words.
STAND_IN: Final = """\
#!{python}
import os, pathlib, sys, time
told = pathlib.Path(os.environ["STAND_IN_LIST"])
with told.open("a") as out:
    out.write(" ".join(sys.argv[1:]) + "\\n")
if "STAND_IN_SLEEPS" in os.environ:
    time.sleep(60)
if "STAND_IN_SAYS" in os.environ:
    sys.exit(os.environ["STAND_IN_SAYS"])
packages = next(pathlib.Path(os.environ["VIRTUAL_ENV"]).glob("lib/python*/site-packages"))
(packages / "loomwright.py").write_text("import sys; print('loomwright', *sys.argv[1:]); sys.exit(len(sys.argv) - 1)")
"""
PROJECT: Final = '[project]\nname = "small"\nversion = "1"\n[tool.ruff]\nline-length = 100\n'
SESSION: Final = "import os, sys; print('session', os.getcwd(), *sys.argv[1:]); sys.exit(7)\n"


@dataclass(frozen=True)
class Checkout:
    """A checkout with the real loom.py and the real tools, and nothing else that is real."""

    root: Path
    list_of_installs: Path

    def start(self, *words: str, **extra: str) -> subprocess.CompletedProcess[str]:
        """Start loom.py from another folder, as a person may, with extra environment variables."""
        return subprocess.run(
            [sys.executable, self.root / "loom.py", *words],
            cwd=self.root.parent,
            env=self.environment(**extra),
            capture_output=True,
            text=True,
            check=False,
            timeout=120,
        )

    def environment(self, **extra: str) -> dict[str, str]:
        """Give this machine's environment with the stand-in first on PATH."""
        kept = {name: value for name, value in os.environ.items() if not name.startswith(("LOOM_", "COV_"))}
        path = f"{self.root.parent / 'stand-in'}{os.pathsep}{kept['PATH']}"
        return {**kept, "PATH": path, "STAND_IN_LIST": str(self.list_of_installs), **extra}

    def installs(self) -> list[str]:
        """Give what the stand-in was asked for so far, one line for each time it was started."""
        return self.list_of_installs.read_text().splitlines() if self.list_of_installs.exists() else []

    def file(self, name: str) -> Path:
        """Name a file of the checkout."""
        return self.root / name


@pytest.fixture
def checkout(tmp_path: Path) -> Checkout:
    """Lay the small checkout."""
    if os.name == "nt":
        pytest.skip("the stand-in for uv is a POSIX script")
    root = tmp_path / "a folder with spaces"
    for name in ("loom.py", "tools/__init__.py", "tools/bootstrap.py", "tools/installer.py"):
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / name, root / name)
    (root / "requirements").mkdir()
    for lock in ("run", "test"):
        (root / "requirements" / f"{lock}.txt").write_text(f"# {lock}\n")
    (root / "pyproject.toml").write_text(PROJECT)
    (root / "tools" / "session.py").write_text(SESSION)
    stand_in = tmp_path / "stand-in" / "uv"
    stand_in.parent.mkdir()
    stand_in.write_text(STAND_IN.format(python=sys.executable))
    stand_in.chmod(0o755)
    return Checkout(root, tmp_path / "list")
