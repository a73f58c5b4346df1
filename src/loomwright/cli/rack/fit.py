"""`loomwright rack fit`: what each battery may be used for, and why."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from loomwright.cli.console import for_reading, print_findings, print_json
from loomwright.cli.endings import MUST_FIX
from loomwright.cli.options import json_option
from loomwright.cli.rack.options import rack_folder, rack_now
from loomwright.findings import must_fix


@click.command(name="fit")
@click.argument("label", required=False, default="")
@rack_folder
@json_option
def command(label: str, folder: Path, *, as_json: bool) -> None:
    """Which are fit for matches, and why the others are not."""
    from loomwright.cli.rack.words import fit_lines  # noqa: PLC0415  after --help has been answered
    from loomwright.documents.json.rack import batteries_data, chargers_data  # noqa: PLC0415
    from loomwright.rack.cautions import cautions  # noqa: PLC0415

    view = rack_now(folder)
    only = view.label(label) if label else ""
    if as_json:
        batteries = [one for one in batteries_data(view.batteries, view.health) if not only or one["label"] == only]
        chargers = chargers_data(view.chargers, view.charger_health)
        told = {"robot": view.robot, "batteries": batteries, "chargers": chargers}
        print_json(told | {"findings": [finding.as_dict() for finding in view.findings]})
    elif not view.batteries:
        click.echo("No battery is on the rack yet: loomwright rack add B1")
    else:
        if any(battery.alarms or battery.place == "quarantine" for battery in view.batteries):
            click.echo(for_reading("\n".join([*cautions("quarantine"), ""]), sys.stdout))
        click.echo(for_reading("\n".join([*fit_lines(view, only), ""]), sys.stdout))
        print_findings(view.findings)
    if must_fix(view.findings):
        raise click.exceptions.Exit(MUST_FIX)
