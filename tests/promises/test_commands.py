"""The table of commands keeps its promises: it starts in no time, and every line of it is true."""

from __future__ import annotations

import subprocess
import sys
from typing import Final

import click
import pytest

from loomwright.cli.lazy import LazyGroup
from loomwright.cli.main import COMMANDS
from loomwright.cli.rack.group import VERBS

# Each of these costs more than the whole of --help.
HEAVY: Final = {"pydantic", "yaml", "rich", "xlsxwriter", "numpy", "sqlite3", "asyncio", "importlib.metadata"}


@pytest.mark.parametrize("name", COMMANDS)
def test_the_line_in_the_list_is_the_commands_own(name: str) -> None:
    """The table repeats a command's first sentence, so that the list needs no import; the two must agree."""
    command = COMMANDS[name].load()
    assert command.name == name
    assert command.get_short_help_str(limit=200) == COMMANDS[name].help
    assert len(COMMANDS[name].help) <= 80


@pytest.mark.parametrize("name", COMMANDS)
def test_every_option_says_what_it_does(name: str) -> None:
    """A student must not have to guess."""
    command = COMMANDS[name].load()
    verbs = [entry.load() for entry in command.deferred.values()] if isinstance(command, LazyGroup) else []
    options = [option for one in (command, *verbs) for option in one.params if isinstance(option, click.Option)]
    assert [option.name for option in options if not option.help] == []


@pytest.mark.parametrize("verb", VERBS)
def test_the_line_of_a_verb_is_its_own(verb: str) -> None:
    """The list of the rack's verbs repeats each one's first sentence; the two must agree."""
    command = VERBS[verb].load()
    assert command.name == verb
    assert command.get_short_help_str(limit=200) == VERBS[verb].help
    assert len(VERBS[verb].help) <= 80


def test_the_list_of_commands_imports_nothing_heavy_and_no_command() -> None:
    """Start-up time is kept by what is not imported; a stopwatch would only measure the machine."""
    ask = """
import sys
from loomwright.cli.main import main
try:
    main(["--help"], prog_name="loomwright")
except SystemExit as end:
    print(end.code, *sys.modules, file=sys.stderr)
"""
    ended = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True, timeout=60)
    code, *modules = ended.stderr.split()
    assert code == "0"
    assert HEAVY.intersection(modules) == set()
    ours = {module for module in modules if module.startswith("loomwright")}
    assert ours.isdisjoint(entry.spot.partition(":")[0] for entry in COMMANDS.values())
    assert all(line.split()[0] in ended.stdout for line in COMMANDS)
