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
def command(folder: Path | None, chdir: Path | None, build: str, *, as_json: bool) -> None:
    """Decide slots, protection, gauges and ends; write plan.yaml and out/."""
    from loomwright.cli.plan_words import circuit_table, plan_as_data, summary, written_line  # noqa: PLC0415
    from loomwright.jobs.plan import plan_robot  # noqa: PLC0415  after --help has been answered

    where = folder_of(folder, chdir)
    done = plan_robot(where, build)
    if as_json:
        print_json(plan_as_data(done.plan))
    else:
        circuit_table(done.plan)
        click.echo(for_reading(summary(done.plan), sys.stdout))
        print_findings(done.plan.findings)
        click.echo(for_reading(written_line(where, done.written), sys.stdout))
    if must_fix(done.plan.findings):
        raise click.exceptions.Exit(MUST_FIX)
