"""`loomwright new`: a folder to start from."""

from __future__ import annotations

from pathlib import Path

import click

from loomwright.cli.console import print_json
from loomwright.cli.options import json_option


@click.command(name="new")
@click.argument("folder", type=click.Path(path_type=Path), metavar="DIR")
@json_option
def command(folder: Path, *, as_json: bool) -> None:
    """Make a folder with a robot.yaml of a dozen lines to start from."""
    from loomwright.jobs.start import new_folder  # noqa: PLC0415  after --help has been answered

    written = [path.name for path in new_folder(folder)]
    if as_json:
        print_json({"folder": str(folder), "written": written})
        return
    click.echo(f"Made {folder}: {', '.join(written)}.")
    click.echo(f"Edit {folder / 'robot.yaml'}, then run `loomwright check {folder}`.")
