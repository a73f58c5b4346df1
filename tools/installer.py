"""Make an environment and install what is locked, with uv if it is there and pip if not.

Standard library only. A failure becomes one plain sentence about its cause, the installer's last lines,
and a log with all of them.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Final

_UV_WORDS: Final = ("pip", "install", "--quiet", "--compile-bytecode")
_PIP_WORDS: Final = ("install", "--quiet", "--no-input", "--disable-pip-version-check", "--retries=2")
_SHOWN_LINES: Final = 12
_OWN_NAMES: Final = {"bin", "include", "lib", "lib64", "share", "scripts", "pyvenv.cfg", "loom-setup.log"}

# What an installer says when something goes wrong -> what a person can do about it. The first that fits is told.
_REASONS: Final = {
    r"""(?x) NewConnectionError | Failed\ to\ establish | name\ resolution | Name\ or\ service\ not\ known
    | getaddrinfo\ failed | Max\ retries\ exceeded | ConnectTimeout | timed\ out | Network\ is\ unreachable
    | [Cc]onnection\ refused | dns\ error | error\ sending\ request | Failed\ to\ fetch""": """\
The packages could not be fetched. Set-up needs the network once: go online and start again.
A school's network may want its proxy named first, in the variable HTTPS_PROXY.""",
    r"DO NOT MATCH THE HASHES|[Hh]ash mismatch": """\
A package that came is not the one that was locked, so it was not installed. Start again on another
network; if it stays so, tell the people who keep this project.""",
    r"No space left|not enough space on the disk": """\
The disk is full. Set-up needs about 1 GB; make room and start again.""",
    r"Permission denied|PermissionError|Read-only file system|Access is denied": """\
This folder can't be written to. Put the project into a folder of your own and start again.""",
    r"No module named '?ensurepip|ensurepip is not available|ensurepip is disabled": """\
This Python came without the part that makes environments. On Debian and Ubuntu:
    sudo apt install python{0}-venv
Then start again.""",
    r"No matching distribution found|has no wheels with a matching|No solution found|Failed building wheel": """\
A locked package does not exist for this Python ({0}) on this machine. Try Python 3.11, 3.12 or 3.13.""",
}


class SetupError(Exception):
    """Set-up can't go on; the message is for the person at the terminal."""


def make_environment(venv: Path, python: Path) -> None:
    """Make the environment if there is none that works with the running Python's version."""
    if python.exists() and _version(python) == _own_version():
        return
    if venv.exists() and not _is_environment(venv):
        raise SetupError(f"{venv} is there, but it is no Python environment. Move it away and start again.")
    if Path(sys.prefix) == venv:
        raise SetupError(f"{venv} has to be made again, and can't do that itself. Start with the system's Python.")
    _run([sys.executable, "-m", "venv", "--clear", "--without-pip", str(venv)], venv)


def install(python: Path, *, lock: Path, project: Path) -> None:
    """Install a lock file's packages, each checked by its hash, and then this project as it lies here."""
    venv = python.parent.parent
    print(f"Setting up {venv} with {'uv' if _uv() else 'pip'}. This takes about a minute, once.", file=sys.stderr)
    install_lock(python, lock=lock)
    _run([*_tool(python), "--no-deps", "--no-build-isolation", "--editable", str(project)], venv)


def install_lock(python: Path, *, lock: Path) -> None:
    """Install a lock file's packages alone, each checked by its hash; this project stays as it is installed."""
    _run([*_tool(python), "--require-hashes", "-r", str(lock)], python.parent.parent)


def _tool(python: Path) -> list[str]:
    """Give the words that start an installer for an environment."""
    uv = _uv()
    return [uv, *_UV_WORDS, f"--python={python}"] if uv else _pip(python)


def reason(log: str) -> str:
    """Say in plain words why an installer failed; empty if its words are none that we know."""
    return next((words.format(_own_version()) for pattern, words in _REASONS.items() if re.search(pattern, log)), "")


def _uv() -> str | None:
    """Find uv, unless LOOM_INSTALLER says that pip is wanted."""
    return None if os.environ.get("LOOM_INSTALLER") == "pip" else shutil.which("uv")


def _pip(python: Path) -> list[str]:
    """Give the words that start the environment's own pip, which is put there first if it has none."""
    alone = [str(python), "-I", "-m"]  # -I: nothing from the person's own folders and variables gets in
    if subprocess.run([*alone, "pip", "--version"], capture_output=True, check=False).returncode:
        _run([*alone, "ensurepip", "--default-pip"], python.parent.parent)
    return [*alone, "pip", *_PIP_WORDS]


def _run(command: list[str], venv: Path) -> None:
    """Run one step of the set-up; raise SetupError with the cause if it fails."""
    surroundings = {**os.environ, "PIP_USER": "0", "VIRTUAL_ENV": str(venv)}
    done = subprocess.run(
        command,
        env=surroundings,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        errors="replace",
        check=False,
    )
    if done.returncode:
        raise SetupError(_told(done.stdout, venv))


def _told(output: str, venv: Path) -> str:
    """Put together what to tell: the cause if we know it, the last lines, and where all of them are."""
    told = ["Set-up did not get to its end.", reason(output)]
    told += [f"    {line}" for line in output.strip().splitlines()[-_SHOWN_LINES:]]
    log = venv / "loom-setup.log"
    try:
        log.write_text(output, encoding="utf-8")
    except OSError:
        return "\n".join(filter(None, told))
    return "\n".join(filter(None, [*told, f"All of it is in {log}."]))


def _is_environment(folder: Path) -> bool:
    """Tell whether a folder is an environment, or one whose making was cut off, so that it may be cleared."""
    if not folder.is_dir():
        return False
    names = {entry.name.lower() for entry in folder.iterdir()}
    return "pyvenv.cfg" in names or names <= _OWN_NAMES


def _own_version() -> str:
    return "{}.{}".format(*sys.version_info[:2])


def _version(python: Path) -> str:
    """Ask a Python for its version; empty if it doesn't run."""
    ask = "import sys; print('{}.{}'.format(*sys.version_info[:2]))"
    try:
        return subprocess.run([python, "-I", "-c", ask], capture_output=True, text=True, check=False).stdout.strip()
    except OSError:
        return ""
