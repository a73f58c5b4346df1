"""`loomwright rack reading`: what was measured, seen, charged and played, each with its conditions."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from loomwright.cli.console import for_reading, print_json
from loomwright.cli.options import json_option
from loomwright.cli.rack.options import F, amount, event_of, given, moment, rack_folder, rack_store, said_by, sign

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.records.fold import State

_HOUR_S: Final = 3600.0
_LOOKS: Final = ("sound", "swollen", "leaking", "post loose", "dropped", "hot")
_FILE: Final = click.Path(path_type=Path, dir_okay=False, exists=True)


def _option(flag: str, dimension: str, words: str) -> Callable[[F], F]:
    return click.option(flag, type=amount(dimension), metavar="AMOUNT", help=words)


@click.command(name="reading")
@click.argument("label", required=False, default="")
@rack_folder
@said_by
@json_option
@_option("--rest", "voltage", "Voltage at rest, as 12.8V.")
@_option("--since-charge", "time", "How long it has been off the charger, as 12h.")
@_option("--since-load", "time", "How long it has been off a load, as 30min.")
@_option("--resistance", "resistance", "What a tester shows, as 13.2mohm; with --between.")
@click.option("--between", default="", metavar="A,A", help="The tester's two currents, as 1A,18A: no verdict without.")
@_option("--volts", "voltage", "Voltage under --load.")
@_option("--load", "current", "The load, as 18A.")
@_option("--other-volts", "voltage", "Voltage under a second load.")
@_option("--other-load", "current", "The second load.")
@_option("--load-test", "current", "A load test's current; with --lasted and --end.")
@_option("--capacity-test", "current", "A discharge's current; with --lasted and --down-to.")
@_option("--lasted", "time", "How long a test or a charge took.")
@_option("--end", "voltage", "Voltage at the end of a load test or a charge.")
@_option("--down-to", "voltage", "Where a discharge was stopped, as 10.5V.")
@_option("--warm", "temperature", "Temperature of the case, as 31C.")
@_option("--temperature", "temperature", "Temperature that any other reading was taken at.")
@click.option("--look", type=click.Choice(_LOOKS), help="What was seen on it.")
@click.option("--charged", default="", metavar="CHARGER", help="A charge ended on this charger.")
@_option("--amps", "current", "What the charger was set to.")
@click.option("--played", default="", metavar="MATCH", help="It was in the robot for this match.")
@_option("--before", "voltage", "Voltage before the match.")
@_option("--after", "voltage", "Voltage after the match.")
@click.option("--import", "source", type=_FILE, metavar="FILE", help="Take in a tester's CSV or workbook instead.")
@click.option(
    "--tester", default="", metavar="NAME", help="With --import: which of testers.yaml; told by its headings."
)
def command(
    label: str,
    folder: Path,
    who: str,
    when: str,
    *,
    as_json: bool,
    source: Path | None,
    tester: str,
    **said: Any,  # noqa: ANN401  an option each
) -> None:
    """Write down what was measured, seen, charged, played."""
    if source is not None:
        if label or any(value not in (None, "") for value in said.values()):
            raise click.UsageError("--import stands alone: the file says which battery and what.")
        _import(folder, source, tester, who, as_json=as_json)
        return
    if tester:
        raise click.UsageError("--tester goes with --import.")
    if not label:
        raise click.UsageError("Say which battery: loomwright rack reading B3 --rest 12.8V.")
    from loomwright.jobs.rack.signing import known_label, state_of  # noqa: PLC0415  after --help has been answered
    from loomwright.records.event import Role  # noqa: PLC0415

    with rack_store(folder) as (store, _, _, now):
        state = state_of(store)
        label, stamp = known_label(state, label), moment(when, now)
        told = [event_of(kind, label, who, stamp, **fields) for kind, fields in _events(said, state)]
        if not told:
            raise click.UsageError(
                "Say what was read, as --rest 12.8V, --resistance 13.2mohm --between 1A,18A, --look sound."
            )
        signed = sign(store, told, Role.STUDENT, now)
    if as_json:
        print_json({"label": label, "added": signed.added, "rejected": [why for _, why in signed.rejected]})
    else:
        kinds = ", ".join(str(one["kind"]) for one in told)
        click.echo(for_reading(f"{label}: written down: {kinds}.", sys.stdout))
        if said["resistance"] is not None and not said["between"]:
            words = "Without the tester's two currents it gives no verdict: tell it again with --between 1A,18A."
            click.echo(for_reading(words, sys.stderr), err=True)
        if said["look"] not in ("", None, "sound"):
            from loomwright.rack.cautions import cautions  # noqa: PLC0415  only where something was seen

            click.echo(for_reading("\n".join(cautions("quarantine")), sys.stdout))
    if signed.rejected or said["look"] not in ("", None, "sound"):
        raise click.exceptions.Exit(1)


def _import(folder: Path, source: Path, tester: str, who: str, *, as_json: bool) -> None:
    from loomwright.jobs.rack.importing import import_readings  # noqa: PLC0415  after --help has been answered

    with rack_store(folder) as (store, files, _, now):
        done = import_readings(store, files, source, tester=tester, who=who, now=now)
    for event, why in done.rejected:
        words = f"{event.about}: {why} It is written down and counts for nothing."
        click.echo(for_reading(words, sys.stderr), err=True)
    if as_json:
        print_json({"added": done.added, "known": done.known, "rejected": [why for _, why in done.rejected]})
    else:
        click.echo(
            for_reading(f"Took in {done.added} readings of {source}; {done.known} were here already.", sys.stdout)
        )
    if done.rejected:
        raise click.exceptions.Exit(1)


def _events(said: dict[str, Any], state: State) -> Iterator[tuple[str, dict[str, object]]]:
    """Give each event that the options tell, as its kind and its fields; raise UsageError where one lacks its pair."""
    around = {
        "temperature_c": said["temperature"],
        "since_charge_h": _hours(said["since_charge"]),
        "since_load_h": _hours(said["since_load"]),
    }
    if said["rest"] is not None:
        yield "rested", {"value": said["rest"], "unit": "V", "conditions": given(around)}
    if said["resistance"] is not None:
        conditions = {**around, **_currents(said["between"]), "rest_v": said["rest"]}
        yield "resistance", {"value": said["resistance"], "unit": "ohm", "conditions": given(conditions)}
    elif said["between"]:
        raise click.UsageError("--between goes with --resistance.")
    yield from _loads(said, around)
    yield from _tests(said, around)
    if said["warm"] is not None:
        yield "warmth", {"value": said["warm"], "unit": "C"}
    if said["look"]:
        yield "looked over", {"words": said["look"]}
    yield from _uses(said, state)


def _loads(said: dict[str, Any], around: dict[str, float | None]) -> Iterator[tuple[str, dict[str, object]]]:
    _together(said, "volts", "load")
    _together(said, "other_volts", "other_load")
    if said["load"] is None:
        if said["other_load"] is not None:
            raise click.UsageError("A second load comes after a first: add --load and --volts.")
        return
    conditions = {**around, "load_a": said["load"], "other_load_a": said["other_load"], "other_v": said["other_volts"]}
    yield "loaded", {"value": said["volts"], "unit": "V", "conditions": given(conditions)}


def _tests(said: dict[str, Any], around: dict[str, float | None]) -> Iterator[tuple[str, dict[str, object]]]:
    current, discharge = said["load_test"], said["capacity_test"]
    if current is not None:
        if said["end"] is None or said["lasted"] is None:
            raise click.UsageError("A load test needs --lasted and --end: --load-test 200A --lasted 10s --end 10.8V.")
        conditions = given({**around, "load_a": current, "seconds": said["lasted"], "rest_v": said["rest"]})
        yield "load test", {"value": said["end"], "unit": "V", "conditions": conditions}
    if discharge is not None:
        if said["lasted"] is None or said["down_to"] is None:
            raise click.UsageError(
                "A capacity test needs --lasted and --down-to: --capacity-test 7.5A --lasted 1.6h --down-to 10.5V."
            )
        conditions = given({"load_a": discharge, "cutoff_v": said["down_to"], "temperature_c": said["temperature"]})
        yield "capacity", {"value": _hours(said["lasted"]), "unit": "h", "conditions": conditions}
    elif said["down_to"] is not None:
        raise click.UsageError("--down-to goes with --capacity-test.")


def _uses(said: dict[str, Any], state: State) -> Iterator[tuple[str, dict[str, object]]]:
    from loomwright.jobs.rack.signing import known_label  # noqa: PLC0415  after --help has been answered

    if said["charged"]:
        charger = known_label(state, said["charged"], charger=True)
        conditions = given(
            {"hours": _hours(said["lasted"]), "amps": said["amps"], "temperature_c": said["temperature"]}
        )
        ended = {"value": said["end"], "unit": "V"} if said["end"] is not None else {}
        yield "charged", {"tool": charger, "conditions": conditions, **ended}
    elif said["amps"] is not None:
        raise click.UsageError("--amps goes with --charged.")
    if said["played"]:
        conditions = given({"before_v": said["before"], "after_v": said["after"]})
        yield "played", {"words": said["played"], "conditions": conditions}
    elif said["before"] is not None or said["after"] is not None:
        raise click.UsageError("--before and --after go with --played.")
    tested = (said["load_test"], said["capacity_test"], said["charged"] or None)
    if all(one is None for one in tested) and (said["lasted"] is not None or said["end"] is not None):
        raise click.UsageError("--lasted and --end go with --load-test, --capacity-test or --charged.")


def _together(said: dict[str, Any], one: str, other: str) -> None:
    if (said[one] is None) != (said[other] is None):
        flags = " and ".join(f"--{name.replace('_', '-')}" for name in (other, one))
        raise click.UsageError(f"{flags} go together: a voltage means nothing without its load.")


def _currents(text: str) -> dict[str, float]:
    """Return the two test currents [A] of "1A,18A"."""
    if not text:
        return {}
    from loomwright.units import Dimension, QuantityError, read  # noqa: PLC0415  after --help has been answered

    try:
        low, high = (read(part, Dimension.CURRENT) for part in text.split(","))
    except (QuantityError, ValueError) as error:
        raise click.UsageError(f"--between {text} can't be read. Write both currents: --between 1A,18A.") from error
    return {"low_a": low, "high_a": high}


def _hours(seconds: float | None) -> float | None:
    return None if seconds is None else seconds / _HOUR_S
