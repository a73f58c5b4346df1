"""`loomwright demo`: a complete robot folder, planned, with its sheets."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from loomwright.cli.console import for_reading, print_findings, print_json, program
from loomwright.cli.options import folder_of, folder_options, json_option
from loomwright.wording import listed

_FOLDER = Path("loomwright-demo")


@click.command(name="demo")
@folder_options
@click.option(
    "--robot",
    "example",
    type=click.Choice(("tidepool", "breakwater", "rockpool")),
    default="tidepool",
    show_default=True,
    help="A competition robot, a large one with two data buses, or a bench trainer.",
)
@json_option
def command(folder: Path | None, chdir: Path | None, example: str, *, as_json: bool) -> None:
    """Make a complete robot folder, plan it, write its sheets, and show the result."""
    from loomwright.cli.plan_words import circuit_table, plan_as_data, summary, written_line  # noqa: PLC0415
    from loomwright.jobs.start import make_demo  # noqa: PLC0415  after --help has been answered

    where = folder_of(folder, chdir, default=_FOLDER)
    made = make_demo(where, example)
    first = made.planned[0]
    if as_json:
        print_json(plan_as_data(first.plan))
        return
    circuit_table(first.plan)
    click.echo(for_reading(summary(first.plan), sys.stdout))
    print_findings(first.plan.findings)
    if made.kept:
        was, them = ("was", "it") if len(made.kept) == 1 else ("were", "them")
        click.echo(f"Your edited {listed(made.kept, 'and')} {was} kept; delete {them} to get the demo's own back.")
    for planned in made.planned:
        click.echo(for_reading(written_line(where, planned), sys.stdout))
    for packed in made.packed:
        click.echo(for_reading(written_line(where, packed), sys.stdout))
    click.echo(f"Look at spine.svg, plate.svg and data.svg of {where / 'out'} in a browser, and print packet.pdf.")
    click.echo(f"Then edit {where / 'robot.yaml'} and run:")
    click.echo(f"  {program()} check {where}\n  {program()} plan {where}")
