"""How a command ends: in plain words on stderr and with the exit code that scripts rely on.

0: done, nothing must be fixed. 1: something must be fixed. 2: the input or the command can't be understood.
130: stopped with Ctrl-C. 141: whoever read the output went away (as a shell counts it).
"""

from __future__ import annotations

import atexit
import gc
import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final, TextIO

import click

from loomwright.findings import UnreadableInputError

DONE: Final = 0
MUST_FIX: Final = 1
NOT_UNDERSTOOD: Final = 2
STOPPED: Final = 130
READER_GONE: Final = 141


def start(command: click.Command, *, name: str) -> None:
    """Run a whole program with the words it was started with, and leave by SystemExit."""
    _speak_utf8()
    _collect_rarely()
    _reckon_alone()
    try:
        command(prog_name=name)
    finally:
        _flush_quietly()


@contextmanager
def plain_endings() -> Iterator[None]:
    """Turn whatever a person or the machine can cause into plain words and an exit code.

    What is left over is our own mistake, and keeps its traceback.
    """
    try:
        yield
    except UnreadableInputError as error:
        for fault in error.faults:
            click.echo(fault.as_text(), err=True)
        raise click.exceptions.Exit(NOT_UNDERSTOOD) from error
    except click.UsageError:
        raise
    except click.ClickException as error:
        error.show()
        raise click.exceptions.Exit(NOT_UNDERSTOOD) from error
    except (KeyboardInterrupt, click.Abort) as error:
        line_end = "\n" if sys.stderr.isatty() else ""  # the terminal has just written ^C
        click.echo(f"{line_end}Stopped before the end.", err=True)
        raise click.exceptions.Exit(STOPPED) from error
    except BrokenPipeError as error:
        _let_go(sys.stdout)
        raise click.exceptions.Exit(READER_GONE) from error
    except OSError as error:
        if error.filename is None:
            raise
        click.echo(f"{error.filename} can't be used: {error.strerror}.", err=True)
        raise click.exceptions.Exit(NOT_UNDERSTOOD) from error


def _collect_rarely() -> None:
    """Look for garbage in circles once in 200,000 objects instead of 700, and not at the end: a quarter of the time.

    A plan is a hundred thousand small objects that live to the end, and are looked at again and again in vain.
    """
    gc.set_threshold(200_000, 20, 50)
    atexit.register(gc.freeze)


def _reckon_alone() -> None:
    """Let one thread invert a matrix, in helpers too; whoever sets the number of threads is obeyed.

    A robot's matrices have 300 rows. Several threads wait for each other longer than they reckon: 40 times as long
    where something else runs. Numpy looks once, when it is imported; so this comes first.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def _speak_utf8() -> None:
    """Write UTF-8 whatever the console's own habit is; a sign it can't show must not stop the work.

    A stream that was closed before the start is None in Python; what would be written there goes to nothing.
    """
    sys.stdout = sys.stdout or _nothing()
    sys.stderr = sys.stderr or _nothing()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="replace")


def _nothing() -> TextIO:
    return Path(os.devnull).open("w", encoding="utf-8")


def _flush_quietly() -> None:
    """Send what is still held back; a reader that has gone away is no fault of ours."""
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        _let_go(sys.stdout)


def _let_go(stream: TextIO) -> None:
    """Point a stream with no reader at nothing, so that Python doesn't complain once more at its end."""
    try:
        descriptor = stream.fileno()
    except (OSError, ValueError):
        return  # no real file behind it, as in a test
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, descriptor)
    os.close(nothing)
