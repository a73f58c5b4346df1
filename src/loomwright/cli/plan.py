"""`loomwright plan`: decide everything, write plan.yaml and the sheets."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from loomwright.cli.console import for_reading, print_findings, print_json
from loomwright.cli.endings import MUST_FIX
from loomwright.cli.options import build_option, folder_of, folder_options, json_option
from loomwright.findings import must_fix


@click.command(name="plan")
@folder_options
@build_option
@json_option
@click.option("--prove", is_flag=True, help="Search until every decision is proved the best possible; Ctrl-C keeps it.")
@click.option("--fresh", is_flag=True, help="Forget the last plan, but for what is made, and decide everything anew.")
def command(folder: Path | None, chdir: Path | None, build: str, *, as_json: bool, prove: bool, fresh: bool) -> None:
    """Decide slots, routes, gauges, lengths and ends; write plan.yaml and out/."""
    from loomwright.cli.change_words import rework_lines  # noqa: PLC0415  after --help has been answered
    from loomwright.cli.plan_words import circuit_table, plan_as_data, routes_line, summary, written_line  # noqa: PLC0415
    from loomwright.cli.progress import onlooker  # noqa: PLC0415
    from loomwright.jobs.plan import plan_robot  # noqa: PLC0415
    from loomwright.search import Effort  # noqa: PLC0415

    where = folder_of(folder, chdir)
    with onlooker() as watch:
        effort = Effort.PROVE if prove else Effort.USUAL
        done = plan_robot(where, build, effort=effort, fresh=fresh, watch=watch)
    if as_json:
        print_json(plan_as_data(done.plan))
    else:
        circuit_table(done.plan)
        click.echo(for_reading("\n".join([summary(done.plan), *routes_line(done.plan)]), sys.stdout))
        print_findings(done.plan.findings)
        if done.change.rework.undo or done.change.rework.relabel:
            click.echo(for_reading("\n".join(rework_lines(done.change)), sys.stdout))
        click.echo(for_reading(written_line(where, done), sys.stdout))
    if must_fix(done.plan.findings):
        raise click.exceptions.Exit(MUST_FIX)
