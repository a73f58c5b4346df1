"""`loomwright rack next`: which battery goes into the robot for the next match."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from loomwright.cli.console import for_reading, print_json
from loomwright.cli.endings import MUST_FIX
from loomwright.cli.options import build_option, json_option
from loomwright.cli.rack.options import rack_folder, rack_now, tell_urgent
from loomwright.findings import must_fix

if TYPE_CHECKING:
    from loomwright.documents.json.rack import BatteryRisk


@click.command(name="next")
@rack_folder
@build_option
@json_option
@click.option("--risk", is_flag=True, help="Play matches with the best of them, and tell the odds of a brown-out.")
@click.option("--matches", type=click.IntRange(1, 20000), default=200, show_default=True, help="How many, with --risk.")
def command(folder: Path, build: str, *, as_json: bool, risk: bool, matches: int) -> None:
    """Which battery for the next match, and why."""
    from loomwright.cli.rack.words import next_lines, risk_lines  # noqa: PLC0415  after --help has been answered
    from loomwright.documents.json.rack import next_data, risk_data  # noqa: PLC0415
    from loomwright.rack.day.practice import usual_practice  # noqa: PLC0415
    from loomwright.rack.next_up import next_up  # noqa: PLC0415

    view = rack_now(folder)
    candidates = next_up(view.batteries, view.health, usual_practice(), view.day)
    risks: tuple[BatteryRisk, ...] = ()
    if risk:
        from loomwright.cli.progress import onlooker  # noqa: PLC0415
        from loomwright.jobs.rack.risk import risks_of  # noqa: PLC0415  it brings the compiler along

        with onlooker() as watch:
            risks = risks_of(folder, build, view, candidates, matches=matches, watch=watch)
    if as_json:
        print_json({"robot": view.robot, "next": next_data(candidates), "risk": risk_data(risks)})
    else:
        click.echo(for_reading("\n".join([*next_lines(candidates), *risk_lines(risks)]), sys.stdout))
    tell_urgent(view)
    if must_fix(view.findings) or not (candidates and candidates[0].fit):
        raise click.exceptions.Exit(MUST_FIX)
