"""Set up `.venv` when it is not current, and hand the words over to what was asked for.

Standard library only: this runs before anything is installed. Set-up counts as done only when a note in
`.venv` says so, and the note is written last; so a set-up that was cut off is simply done again.
"""

from __future__ import annotations

import hashlib
import json
import os
import platform
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Final, NoReturn

from tools.installer import SetupError, install, make_environment

ROOT: Final = Path(__file__).resolve().parent.parent
VENV: Final = ROOT / ".venv"
PYTHON: Final = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
NOTE: Final = VENV / "loom-setup.json"

# What can be set up: each set's lock files, the last of which holds everything that the set installs.
LOCKS: Final = {"run": ("run",), "test": ("run", "test")}
USAGE: Final = """\
python3 loom.py demo              a complete robot folder, planned, with its sheets
python3 loom.py WORD ...          any command of loomwright; `python3 loom.py help` lists them
python3 loom.py setup             only set up, in the folder .venv
python3 loom.py gates             style, types and layers; no tests
python3 loom.py test [ARG ...]    the gates and all tests; ARGs go to pytest
"""
FAILED: Final = 2
STOPPED: Final = 130


def main(words: list[str]) -> int:
    """Do what the words ask for; return an exit code, unless the words' own program takes over."""
    try:
        match words:
            case [] | ["-h" | "--help", *_]:
                print(USAGE, end="")
            case ["setup"]:
                prepare("run")
                print(f"Ready in {VENV}.")
            case ["test" | "gates", *_]:
                prepare("test")
                os.chdir(ROOT)
                hand_over(["-m", "tools.session", *words])
            case ["help"]:
                prepare("run")
                hand_over(["-P", "-m", "loomwright", "--help"])
            case _:
                prepare("run")
                # -P: a file of the robot's folder must not stand in for a package of the same name.
                hand_over(["-P", "-m", "loomwright", *words])
    except SetupError as error:
        print(error, file=sys.stderr)
        return FAILED
    except OSError as error:
        print(f"{error.filename} can't be used: {error.strerror}.", file=sys.stderr)
        return FAILED
    except KeyboardInterrupt:
        print("\nStopped before the end. Start again to go on.", file=sys.stderr)
        return STOPPED
    return 0


def compile_matches() -> None:
    """Compile what plays matches, so that the first study need not wait; if that fails, it is compiled then."""
    print("Compiling what plays matches, once; it takes about twenty seconds.", file=sys.stderr)
    words = [str(PYTHON), "-P", "-c", "from loomwright.jobs.compiling import compile_once; compile_once()"]
    subprocess.run(words, cwd=ROOT, check=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def prepare(name: str) -> None:
    """Make sure that everything a set needs is installed; raise SetupError saying what is in the way."""
    wanted = digest(name)
    if PYTHON.exists() and noted().get(name) == wanted:
        return
    NOTE.unlink(missing_ok=True)
    make_environment(VENV, PYTHON)
    install(PYTHON, lock=ROOT / "requirements" / f"{LOCKS[name][-1]}.txt", project=ROOT)
    compile_matches()
    # The larger set holds the smaller one, so both are current now.
    note = json.dumps({part: digest(part) for part in LOCKS[name]})
    beside = NOTE.with_suffix(".part")
    beside.write_text(note, encoding="utf-8")
    beside.replace(NOTE)


def digest(name: str) -> str:
    """Sum up what a set's installation depends on: Python, machine, folder, lock files, how we are built."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    built = [project["project"], project.get("build-system"), project.get("tool", {}).get("hatch")]
    total = hashlib.sha256(json.dumps([sys.version_info[:2], platform.machine(), str(ROOT), built]).encode())
    for lock in LOCKS[name]:
        total.update((ROOT / "requirements" / f"{lock}.txt").read_bytes())
    return total.hexdigest()


def noted() -> dict[str, str]:
    """Read which sets were set up, and from what; empty if none was, or if the note can't be read."""
    try:
        note = json.loads(NOTE.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return note if isinstance(note, dict) else {}


def hand_over(words: list[str]) -> NoReturn:
    """Let the environment's Python go on in our place, so that signals and the exit code are its own."""
    command = [str(PYTHON), *words]
    os.environ["LOOMWRIGHT_CALLED"] = f"{'py' if os.name == 'nt' else 'python3'} loom.py"  # for hints that can be typed
    sys.stdout.flush()
    sys.stderr.flush()
    if os.name != "nt":
        os.execv(command[0], command)
    # Windows can't put one program in another's place: wait for it, and leave Ctrl-C to it.
    running = subprocess.Popen(command)
    while True:
        try:
            sys.exit(running.wait())
        except KeyboardInterrupt:
            continue
