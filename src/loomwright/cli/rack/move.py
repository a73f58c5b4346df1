"""`loomwright rack move`: where a battery is now."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from loomwright.cli.console import for_reading, print_findings, print_json
from loomwright.cli.endings import MUST_FIX
from loomwright.cli.options import json_option
from loomwright.cli.rack.options import amount, event_of, given, moment, rack_folder, rack_store, said_by, sign
from loomwright.findings import Severity

_WORDS = {"robot": "in the robot", "rack": "on the rack", "quarantine": "in quarantine"}
_PLACES = ("rack", "charger", "robot", "cooling", "quarantine", "away")


@click.command(name="move")
@click.argument("label")
@click.argument("place", type=click.Choice(_PLACES))
@click.argument("charger", required=False, default="")
@rack_folder
@said_by
@json_option
@click.option("--amps", type=amount("current"), metavar="A", help="What the charger is set to, as 6A.")
def command(
    label: str, place: str, charger: str, folder: Path, who: str, when: str, *, as_json: bool, amps: float | None
) -> None:
    """Say where a battery is now.

    Places are: rack, charger (with its label), robot, cooling, quarantine, away.
    """
    if (place == "charger") != bool(charger):
        raise click.UsageError("Name the charger: rack move B3 charger C1. No other place has one.")
    from loomwright.jobs.rack.signing import known_label, state_of  # noqa: PLC0415  after --help has been answered
    from loomwright.jobs.rack.view import rack_view  # noqa: PLC0415
    from loomwright.rack.cautions import cautions  # noqa: PLC0415
    from loomwright.rack.readings import day_of  # noqa: PLC0415
    from loomwright.records.event import Role  # noqa: PLC0415
    from loomwright.records.people import plain_name  # noqa: PLC0415

    with rack_store(folder) as (store, files, robot, now):
        state = state_of(store)
        label = known_label(state, label)
        charger = known_label(state, charger, charger=True) if charger else ""
        before = [event.key for event in state.batteries[plain_name(label)].moves]
        conditions = given({"amps": amps})
        told = event_of(
            "moved", label, who, moment(when, now), words=place, tool=charger, conditions=conditions, of=before
        )
        sign(store, [told], Role.STUDENT, now)
        after = rack_view(state_of(store), robot, files.library.part, day_of(now))
    warned = [one for one in after.findings if one.severity is Severity.MUST and one.place.thing == label]
    if as_json:
        print_json({"label": label, "place": place, "charger": charger})
    else:
        where = _WORDS.get(place, f"on {charger}" if charger else place)
        click.echo(for_reading(f"{label} is {where}.", sys.stdout))
        told_after = [*cautions("quarantine")] if place == "quarantine" else []
        click.echo(for_reading("\n".join(told_after), sys.stdout), nl=bool(told_after))
        if warned:
            print_findings(warned, stream=sys.stderr)
    if warned:
        raise click.exceptions.Exit(MUST_FIX)
