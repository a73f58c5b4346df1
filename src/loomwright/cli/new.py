"""`loomwright new`: a folder to start from."""

from __future__ import annotations

from pathlib import Path

import click

from loomwright.cli.console import print_json, program
from loomwright.cli.options import folder_of, folder_options, json_option


@click.command(name="new")
@folder_options
@json_option
@click.option(
    "--from",
    "source",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="LIST",
    help="Start from a list of what is wired: a CSV file or a workbook, such as the circuits.csv of a plan.",
)
def command(folder: Path | None, chdir: Path | None, *, as_json: bool, source: Path | None) -> None:
    """Make a folder with a robot.yaml of a dozen lines to start from."""
    from loomwright.jobs.start import new_folder, new_from_list  # noqa: PLC0415  after --help has been answered

    if folder is None and chdir is None:
        raise click.UsageError("Name the folder to make, such as `loomwright new ourbot`.")
    where = folder_of(folder, chdir)
    made = new_folder(where) if source is None else new_from_list(where, source)
    written = [path.name for path in made]
    if as_json:
        print_json({"folder": str(where), "written": written})
        return
    click.echo(f"Made {where}: {', '.join(written)}.")
    click.echo(f"Edit {where / 'robot.yaml'}, then run `{program()} check {where}`.")
