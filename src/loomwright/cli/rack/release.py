"""`loomwright rack release`: a mentor lets a battery out of quarantine."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from loomwright.cli.console import for_reading, print_json
from loomwright.cli.options import json_option
from loomwright.cli.rack.options import event_of, moment, rack_folder, rack_store, said_by, sign


@click.command(name="release")
@click.argument("label")
@rack_folder
@said_by
@json_option
@click.option("--words", default="", metavar="TEXT", help="What was found, and why it may be used again.")
def command(label: str, folder: Path, who: str, when: str, *, as_json: bool, words: str) -> None:
    """Let a battery out of quarantine, as a mentor."""
    from loomwright.jobs.rack.signing import known_label, state_of  # noqa: PLC0415  after --help has been answered
    from loomwright.records.event import Role  # noqa: PLC0415
    from loomwright.records.people import plain_name  # noqa: PLC0415

    with rack_store(folder) as (store, _, _, now):
        state = state_of(store)
        label = known_label(state, label)
        alarms = state.batteries[plain_name(label)].alarms
        if not alarms:
            raise click.UsageError(f"{label} is in no quarantine: nothing was seen on it.")
        if not words.strip():
            raise click.UsageError("Say with --words what was found, and why it may be used again.")
        keys = [event.key for event in alarms]
        told = event_of("released", label, who, moment(when, now), words=words, of=keys)
        sign(store, [told], Role.MENTOR, now)
    if as_json:
        print_json({"label": label, "released": [event.words for event in alarms]})
    else:
        seen = ", ".join(event.words for event in alarms)
        click.echo(for_reading(f"{label} is released from: {seen}. Test it before it is used.", sys.stdout))
