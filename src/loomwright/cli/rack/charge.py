"""`loomwright rack charge`: which battery goes on which charger now."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from loomwright.cli.console import for_reading, print_json
from loomwright.cli.endings import MUST_FIX
from loomwright.cli.options import json_option
from loomwright.cli.rack.options import rack_folder, rack_now, tell_urgent
from loomwright.findings import must_fix


@click.command(name="charge")
@rack_folder
@json_option
@click.option("--home", is_flag=True, help="Nothing hurries: gently, and a top-up for what is stored.")
def command(folder: Path, *, as_json: bool, home: bool) -> None:
    """Which goes on which charger now, at which current."""
    from loomwright.cli.rack.words import charging_lines  # noqa: PLC0415  after --help has been answered
    from loomwright.documents.json.rack import charging_data  # noqa: PLC0415
    from loomwright.rack.cautions import cautions  # noqa: PLC0415
    from loomwright.rack.charging import charging_now  # noqa: PLC0415
    from loomwright.rack.day.practice import usual_practice  # noqa: PLC0415

    view = rack_now(folder)
    charging = charging_now(view.batteries, view.health, view.chargers, usual_practice(), view.day, home=home)
    if as_json:
        print_json({"robot": view.robot, **charging_data(charging, cautions("charging"))})
    else:
        click.echo(for_reading("\n".join(charging_lines(charging, cautions("charging"))), sys.stdout))
        if not view.chargers:
            click.echo("No charger is known yet: loomwright rack add C1 --charger --gentle 2A --fast 6A")
    tell_urgent(view)
    if must_fix(view.findings):
        raise click.exceptions.Exit(MUST_FIX)
