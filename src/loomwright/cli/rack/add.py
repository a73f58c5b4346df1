"""`loomwright rack add`: a battery or a charger by its own label."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Final

import click

from loomwright.cli.console import for_reading, print_json
from loomwright.cli.options import json_option
from loomwright.cli.rack.options import amount, event_of, given, moment, rack_folder, rack_store, said_by, sign

_BOUGHT: Final = re.compile(r"(\d{4})(?:-(\d{1,2}))?")


@click.command(name="add")
@click.argument("label")
@rack_folder
@said_by
@json_option
@click.option("--part", default="", metavar="ID", help="Its part class, as battery/agm-12v-18ah; the robot's without.")
@click.option("--capacity", type=amount("charge"), metavar="AH", help="Rated capacity, as 18Ah, where no part says it.")
@click.option("--bought", default="", metavar="YYYY-MM", help="When it was bought.")
@click.option("--cycles", type=click.IntRange(0), metavar="N", help="Matches it has been through before this.")
@click.option("--charger", is_flag=True, help="It is a charger.")
@click.option("--gentle", type=amount("current"), metavar="A", help="A charger's gentle current, as 2A.")
@click.option("--fast", type=amount("current"), metavar="A", help="A charger's fast current, as 6A.")
def command(
    label: str,
    folder: Path,
    who: str,
    when: str,
    *,
    as_json: bool,
    part: str,
    capacity: float | None,
    bought: str,
    cycles: int | None,
    charger: bool,
    gentle: float | None,
    fast: float | None,
) -> None:
    """Put a battery or a charger on the rack, or describe it anew."""
    if charger and (part or capacity or bought or cycles is not None):
        raise click.UsageError("--part, --capacity, --bought and --cycles are a battery's; leave --charger out.")
    if not charger and (gentle or fast):
        raise click.UsageError("--gentle and --fast are a charger's; add --charger.")
    if charger and gentle is None:
        raise click.UsageError(
            "Say the charger's gentle current: --gentle 2A; and --fast 6A where it has a second one."
        )
    if charger:
        words, conditions = "", given({"gentle_a": gentle, "fast_a": fast})
    else:
        words = part
        conditions = given({"capacity_ah": capacity, "cycles": cycles, **_bought(bought)})
    _add(folder, label, "charger" if charger else "battery", who, when, words, conditions, as_json=as_json)


def _add(
    folder: Path,
    label: str,
    kind: str,
    who: str,
    when: str,
    words: str,
    conditions: dict[str, float],
    *,
    as_json: bool,
) -> None:
    from loomwright.jobs.rack.signing import state_of  # noqa: PLC0415  after --help has been answered
    from loomwright.rack.fleet import standing  # noqa: PLC0415
    from loomwright.rack.physics import rejected  # noqa: PLC0415
    from loomwright.records.event import Role  # noqa: PLC0415
    from loomwright.records.live import heads  # noqa: PLC0415
    from loomwright.records.people import plain_name  # noqa: PLC0415
    from loomwright.records.reading import EventRefusedError, read_event  # noqa: PLC0415

    with rack_store(folder) as (store, files, _, now):
        _check_part(files.library.part(words) is not None if words else True, words, files.library.nearest(words))
        state = state_of(store)
        held = (state.chargers if kind == "charger" else state.batteries).get(plain_name(label))
        before = list(held.described) if held is not None else []
        known = standing(before)
        if known is not None:
            label, words, conditions = known.about, words or known.words, {**known.conditions, **conditions}
        keys = [event.key for event in heads(before)] if before else []
        told = event_of(kind, label, who, moment(when, now), words=words, conditions=conditions, of=keys)
        try:
            why = rejected(read_event(told))
        except EventRefusedError as error:
            raise click.UsageError(" ".join(error.faults)) from error
        if why:
            raise click.UsageError(f"{why} Nothing was written.")
        sign(store, [told], Role.STUDENT, now)
    again = "is described anew; what was not said again stays" if before else "is on the rack"
    if as_json:
        print_json({"label": label, "kind": kind, "again": bool(before)})
    else:
        click.echo(for_reading(f"{kind.capitalize()} {label} {again}.", sys.stdout))


def _check_part(known: bool, part: str, close: tuple[str, ...]) -> None:  # noqa: FBT001  a private check
    if part and not part.startswith("battery/"):
        raise click.UsageError(f"{part} is no battery; those are battery/...")
    if not known:
        hint = f" Did you mean {', '.join(close[:3])}?" if close else ""
        raise click.UsageError(f"There is no part class {part}.{hint}")


def _bought(text: str) -> dict[str, float | None]:
    if not text:
        return {}
    found = _BOUGHT.fullmatch(text.strip())
    if found is None:
        raise click.UsageError(f"--bought {text} can't be read. Write the month as 2025-09, or the year.")
    return {"year": float(found[1]), "month": float(found[2]) if found[2] else None}
