"""`loomwright check`: read the robot file, derive everything from it, and say what is to fix."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from loomwright.cli.console import for_reading, print_findings, print_json
from loomwright.cli.endings import MUST_FIX
from loomwright.cli.options import build_option, folder_of, folder_options, json_option
from loomwright.findings import must_fix


@click.command(name="check")
@folder_options
@build_option
@json_option
@click.option("--part", "part_id", metavar="ID", help="Print one part class with its values and their sources instead.")
def command(folder: Path | None, chdir: Path | None, build: str, *, as_json: bool, part_id: str | None) -> None:
    """Read the robot file, derive its wiring, judge it. Nothing is written."""
    where = folder_of(folder, chdir)
    if part_id is not None:
        from loomwright.cli.part_words import show_part  # noqa: PLC0415  only this option needs it

        show_part(where, part_id, as_json=as_json)
        return
    from loomwright.cli.plan_words import plan_as_data, summary  # noqa: PLC0415  after --help has been answered
    from loomwright.cli.progress import onlooker  # noqa: PLC0415
    from loomwright.jobs.check import check as run  # noqa: PLC0415

    with onlooker() as watch:
        plan = run(where, build, watch=watch)
    if as_json:
        print_json(plan_as_data(plan))
    else:
        click.echo(for_reading(summary(plan), sys.stdout))
        print_findings(plan.findings)
    if must_fix(plan.findings):
        raise click.exceptions.Exit(MUST_FIX)
