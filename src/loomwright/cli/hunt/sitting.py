"""One run of the hunt: danger first, then what was told is written down, then where the hunt stands."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, TextIO

import click

from loomwright.cli.hunt.asked import Asked, only_dangers
from loomwright.cli.hunt.keeping import Kept, keeping, write_cleared, write_dangers
from loomwright.cli.hunt.lines import GOOD, Line, print_lines
from loomwright.cli.hunt.stop import stop_lines
from loomwright.cli.hunt.typed import Typed
from loomwright.findings import UnreadableInputError

if TYPE_CHECKING:
    from pathlib import Path

    from loomwright.records.event import Event


def tell_dangers(folder: Path, build: str, who: str, dangers: tuple[tuple[str, str], ...], *, as_json: bool) -> None:
    """Tell dangers and write them down, though nothing else of what was typed can be read."""
    out = sys.stderr if as_json else sys.stdout
    print_lines(stop_lines([(words, place, "") for words, place in dangers], Typed(folder, build)), out)
    out.flush()
    _write_dangers(only_dangers(folder, build, who, dangers), out)


def sit(asked: Asked, *, as_json: bool, log: bool) -> bool:
    """Do what was asked for; return whether something must be done: a danger stands open, or a fault not mended.

    A danger is told before anything is read, and written down whatever else was typed with it. It needs no plan.
    """
    typed = Typed(asked.folder, asked.build)
    out = sys.stderr if as_json else sys.stdout
    if asked.dangers:
        print_lines(stop_lines([(words, place, "") for words, place in asked.dangers], typed), out)
        out.flush()
        _write_dangers(asked, out)
    kept = _keeping(asked)
    try:
        return _go_on(asked, kept, typed, as_json=as_json, log=log)
    except (click.UsageError, UnreadableInputError):
        if asked.dangers:
            click.echo("The danger is written down. The rest is not:", err=True)
        raise


def _write_dangers(asked: Asked, out: TextIO) -> None:
    """Write dangers down before anything else is judged; say plainly where that fails."""
    try:
        write_dangers(keeping(asked), asked.dangers)
    except (click.ClickException, UnreadableInputError, OSError):
        click.echo("THE DANGER IS NOT WRITTEN DOWN, see below. Tell everybody.", err=True)
        raise
    click.echo("It is written down.", file=out)


def _keeping(asked: Asked) -> Kept:
    asked.refuse_odd()
    return keeping(asked)


def _go_on(asked: Asked, kept: Kept, typed: Typed, *, as_json: bool, log: bool) -> bool:
    state = kept.state()
    if asked.cleared:
        _cleared(write_cleared(kept, state), as_json=as_json)
        state = kept.state()
    open_now = kept.dangers(state)
    if open_now and not (asked.tells or as_json or log):
        if not asked.dangers:
            _tell_dangers(open_now, typed)
        return True
    from loomwright.cli.hunt.planned import go_on_planned  # noqa: PLC0415  a danger needs no plan, nor numpy

    return go_on_planned(asked, kept, typed, as_json=as_json, log=log, told_before=bool(asked.dangers))


def _cleared(dangers: tuple[Event, ...], *, as_json: bool) -> None:
    if not dangers:
        raise click.UsageError("No danger stands open, so there is nothing to clear.")
    if not as_json:
        print_lines([Line("The danger is over; the hunt goes on.", GOOD)], sys.stdout)


def _tell_dangers(dangers: tuple[Event, ...], typed: Typed) -> None:
    print_lines(stop_lines([(one.words, one.about, one.who) for one in dangers], typed), sys.stdout)
