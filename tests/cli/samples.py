"""Commands that end in every way a command can end; the tests of the command line start them."""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path
from typing import Final

import click

from loomwright.cli.endings import start
from loomwright.cli.lazy import Deferred, LazyGroup
from loomwright.findings import Finding, Place, Severity, UnreadableInputError

FAULTS: Final = (
    Finding("tab", Severity.MUST, Place("robot.yaml", 3, 1), "Line 3 starts with a tab.", "Use spaces."),
    Finding("unit-missing", Severity.MUST, Place("robot.yaml", 9, 7, "lift"), "`40` has no unit.", "Write `40 A`."),
)


@click.command()
def fine() -> None:
    """Say one line."""
    sys.stdout.write("12 AWG, 0.3 Ω\n")


@click.command()
def algebra() -> None:
    """Say by how many threads a matrix will be inverted, and whether that was told in time."""
    sys.stdout.write(f"{os.environ['OPENBLAS_NUM_THREADS']} {'numpy' in sys.modules}\n")


@click.command()
def unreadable() -> None:
    """Meet a robot file that can't be understood."""
    raise UnreadableInputError(FAULTS)


@click.command()
def interrupted() -> None:
    """Be stopped by a real Ctrl-C."""
    signal.raise_signal(signal.SIGINT)


@click.command()
def refused() -> None:
    """Refuse with click's own exception."""
    raise click.ClickException("The folder is not ours.")


@click.command()
def unwritable() -> None:
    """Write where nothing can be written."""
    Path(os.devnull, "plan.yaml").write_text("", encoding="utf-8")


@click.command()
def mistaken() -> None:
    """Have a mistake of our own."""
    raise ZeroDivisionError


@click.command()
def talkative() -> None:
    """Write more than a pipe holds."""
    for _ in range(100_000):
        click.echo("a line that somebody has stopped reading")


NAMES: Final = ("fine", "unreadable", "interrupted", "refused", "unwritable", "mistaken", "talkative", "algebra")
TABLE: Final = {
    **{name: Deferred(f"tests.cli.samples:{name}", f"The one that is {name}.") for name in NAMES},
    "absent": Deferred("tests.cli.no_such_module:absent", "Its module must not be imported for the list."),
    "odd": Deferred("tests.cli.samples:FAULTS", "It names something that is no command."),
}


@click.group(cls=LazyGroup, deferred=TABLE)
def samples() -> None:
    """Commands for the tests."""


if __name__ == "__main__":
    start(samples, name="samples")
