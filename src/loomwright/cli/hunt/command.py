"""`loomwright hunt`: what was seen goes into the records, and out come suspects and the next check."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from loomwright.cli.endings import MUST_FIX
from loomwright.cli.hunt.answers import DANGERS, Sections, danger_options, parts, said, said_options
from loomwright.cli.hunt.asked import Asked, pair
from loomwright.cli.options import build_option, json_option

if TYPE_CHECKING:
    from collections.abc import Mapping

_SINCE = ("hit", "battery", "work")


@click.command(name="hunt", cls=Sections)
@said_options
@click.option("--halt", default="", metavar="DURATION", help="The robot stood still for so long, as 45s; or none.")
@click.option(
    "--brown-out/--no-brown-out", "brown_out", default=None, help="Whether there was one, by the log or by eye."
)
@click.option("--since", multiple=True, metavar="WHAT", help="What happened just before: hit, battery or work.")
@danger_options
@click.option("--cleared", is_flag=True, help="A mentor has looked: the danger is over. Needs --who.")
@click.option("--saw", multiple=True, metavar="CHECK=OUTCOME", help='As --saw "tug W12 A=holds".')
@click.option("--read", multiple=True, metavar="CHECK=NUMBER", help='As --read "volts arm B=12.4V"; ohms may be open.')
@click.option("--wrong", multiple=True, metavar="CHECK", help="Its last answer was wrong; the right one comes with it.")
@click.option("--mended", multiple=True, metavar="SEAT", help='It was mended or swapped, as --mended "W12 B".')
@click.option("--found", is_flag=True, help="The hunt is over: it was what was mended last.")
@click.option("--no-fault", is_flag=True, help="The hunt is over: nothing of the wiring.")
@click.option("--give-up", is_flag=True, help="The hunt is over: nobody knows.")
@click.option("--new", metavar="WORDS", help="Begin another hunt; the open one is given up.")
@click.option("--who", default="", metavar="NAME", help="Initials or a nickname of who saw it; laptop without.")
@click.option("--weak-points", is_flag=True, help="No hunt: what one loss takes down, what costs most first.")
@click.option("--log", is_flag=True, help="Tell every answer, with who and when.")
@click.option(
    "-C", "folder", type=click.Path(path_type=Path), default=Path(), metavar="DIR", help="The robot's folder."
)
@build_option
@json_option
def command(
    folder: Path,
    build: str,
    *,
    as_json: bool,
    log: bool,
    weak_points: bool,
    **told: Any,  # noqa: ANN401  click's own
) -> None:
    """Find the fault: say what you see, get suspects and the next check.

    Without anything to tell it shows where the open hunt stands. Each option may be said again, and names may stand
    in one with commas between. Smoke, hiss, swelling, heat or a burnt smell: main breaker off, stand clear, fetch the
    mentor, then tell it. Exit code 1 while a danger stands open, or a fault is found and not mended.
    """
    asked = _asked(folder, build, told, also_weak_points=weak_points, as_json=as_json)
    if weak_points:
        from loomwright.cli.hunt.weak import tell_weak_points  # noqa: PLC0415  after --help has been answered

        tell_weak_points(folder, build, as_json=as_json)
        return
    from loomwright.cli.hunt.sitting import sit  # noqa: PLC0415  after --help has been answered

    if sit(asked, as_json=as_json, log=log):
        raise click.exceptions.Exit(MUST_FIX)


def _asked(folder: Path, build: str, told: Mapping[str, Any], *, also_weak_points: bool, as_json: bool) -> Asked:
    """Return what was asked; where it can't be read, a danger that was told with it comes first all the same."""
    try:
        asked = asked_of(folder, build, told)
        asked.refuse_odd()
        if also_weak_points:
            asked.refuse_beside_weak_points()
    except click.UsageError:
        dangers = tuple((words, place) for option, words in DANGERS.items() for place in told[option])
        if dangers:
            from loomwright.cli.hunt.sitting import tell_dangers  # noqa: PLC0415  after --help has been answered

            tell_dangers(folder, build, told["who"].strip(), dangers, as_json=as_json)
        raise
    return asked


def asked_of(folder: Path, build: str, told: Mapping[str, Any]) -> Asked:
    """Return what click has read as one question; raise UsageError for what can't be read."""
    ends = [
        words
        for words, said_so in (
            ("found", told["found"]),
            ("no wiring fault", told["no_fault"]),
            ("given up", told["give_up"]),
        )
        if said_so
    ]
    if len(ends) > 1:
        raise click.UsageError("A hunt ends in one way: --found, --no-fault or --give-up.")
    return Asked(
        folder=folder,
        build=build,
        who=told["who"].strip(),
        said=said(told),
        saw=tuple(pair(text, "--saw", "tug W12 A=holds") for text in told["saw"]),
        read=tuple(pair(text, "--read", "volts arm B=12.4V") for text in told["read"]),
        halt=told["halt"],
        brown_out=told["brown_out"],
        since=tuple(_since(name) for text in told["since"] for name in parts(text)),
        dangers=tuple((words, place) for option, words in DANGERS.items() for place in told[option]),
        cleared=told["cleared"],
        mended=tuple(name for text in told["mended"] for name in parts(text)),
        wrong=tuple(name for text in told["wrong"] for name in parts(text)),
        ends=ends[0] if ends else "",
        new=told["new"],
    )


def _since(what: str) -> str:
    if what.casefold() not in _SINCE:
        raise click.UsageError(f"--since {what}: say one of {', '.join(_SINCE)}.")
    return what.casefold()
