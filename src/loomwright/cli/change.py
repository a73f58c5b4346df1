"""`loomwright change`: what an edited robot file would undo and make."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from loomwright.cli.console import for_reading, print_json
from loomwright.cli.endings import MUST_FIX
from loomwright.cli.options import build_option, folder_of, folder_options, json_option


@click.command(name="change")
@folder_options
@build_option
@json_option
def command(folder: Path | None, chdir: Path | None, build: str, *, as_json: bool) -> None:
    """Show what an edited robot file would undo and make.

    The plan as it would be made now is compared with plan.yaml. Nothing is written. A wire is made where the robot
    file calls its slot, port, length or wire `fitted`. Exit code 1: finished work would be undone.
    """
    from loomwright.cli.change_words import change_as_data, change_text  # noqa: PLC0415  after --help has been answered
    from loomwright.cli.progress import onlooker  # noqa: PLC0415
    from loomwright.jobs.change import change as run  # noqa: PLC0415

    with onlooker() as watch:
        found = run(folder_of(folder, chdir), build, watch=watch)
    if as_json:
        print_json(change_as_data(found))
    else:
        click.echo(for_reading(change_text(found), sys.stdout))
    if found.rework.undo:
        raise click.exceptions.Exit(MUST_FIX)
