"""`loomwright rack day`: a battery for each match, a charger for each battery, and what happens where matches slip."""

from __future__ import annotations

import re
import sys
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from loomwright.cli.console import for_reading, print_findings, print_json
from loomwright.cli.endings import MUST_FIX
from loomwright.cli.options import json_option
from loomwright.cli.rack.options import rack_folder, rack_now, tell_urgent
from loomwright.findings import must_fix

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.jobs.rack.day import PlannedDay
    from loomwright.jobs.rack.view import RackView
    from loomwright.robotfile.lists.match_list import MatchList

_CLOCK: Final = re.compile(r"(\d{1,2}):(\d\d)")
_FILE: Final = click.Path(path_type=Path, dir_okay=False, exists=True)
_DAY_S: Final = 86400
_FAR_DAYS: Final = 200
_LAST_HOUR: Final = 23


@click.command(name="day")
@rack_folder
@json_option
@click.option("--at", "typed", default="", metavar="MATCHES", help="The matches, as 'Q1 9:05, Q7 10:20, F1 16:00 may'.")
@click.option("--matches", "source", type=_FILE, metavar="FILE", help="A list of them; matches.csv without.")
@click.option("--now", default="", metavar="HH:MM", help="What time it is, for a plan ahead; the laptop's without.")
@click.option("--date", "typed_date", default="", metavar="DATE", help="The list's first day, as 2026-02-07.")
@click.option("--slip", "slips", multiple=True, metavar="MATCH=HH:MM", help="A match that begins at another time.")
@click.option("--days", type=click.IntRange(0, 5000), default=200, show_default=True, help="Try it on so many days.")
@click.option(
    "--seed", type=click.IntRange(0, 2**31), default=1, show_default=True, help="Where their luck comes from."
)
@click.option("--anew", is_flag=True, help="Forget the plan before; without, as few batteries as possible are swapped.")
def command(
    folder: Path,
    *,
    as_json: bool,
    typed: str,
    source: Path | None,
    now: str,
    typed_date: str,
    slips: tuple[str, ...],
    days: int,
    seed: int,
    anew: bool,
) -> None:
    """Plan the day: a battery for each match, chargers, slips."""
    if typed and source is not None:
        raise click.UsageError("--at types the matches, --matches names a file. Take one of them.")
    from loomwright.cli.progress import onlooker  # noqa: PLC0415  after --help has been answered
    from loomwright.cli.rack.day_words import wall_words  # noqa: PLC0415
    from loomwright.documents.json.rack_day import day_data  # noqa: PLC0415
    from loomwright.jobs.rack.day import planned_day  # noqa: PLC0415
    from loomwright.jobs.rack.day_papers import plan_before, write_day  # noqa: PLC0415
    from loomwright.jobs.rack.schedule import matches_of, slipped  # noqa: PLC0415

    view = rack_now(folder)
    held = matches_of(folder, typed=typed, source=source)
    matches = slipped(held.matches, _slips(slips))
    first = _first_day(view, held, typed_date)
    midnight, now_min = _midnight(view, now, first)
    before = {} if anew else plan_before(folder, first.isoformat())
    with onlooker() as watch:
        done = planned_day(
            view, matches, midnight=midnight, now_min=now_min, before=before, days=days, seed=seed, watch=watch
        )
    told = day_data(view.robot, first.isoformat(), done.day, done.plan, done.held, done.more, done.findings)
    papers = write_day(
        folder, view.robot, done, told, of=f"{first:%A %Y-%m-%d}", headline=wall_words(done), now_min=now_min
    )
    _tell(done, now_min, papers, told if as_json else None, kept=bool(before))
    tell_urgent(view)
    if must_fix((*done.findings, *view.findings)):
        raise click.exceptions.Exit(MUST_FIX)


def _tell(
    done: PlannedDay, now_min: int, papers: Iterable[Path], data: dict[str, object] | None, *, kept: bool
) -> None:
    if data is not None:
        print_json(data)
        return
    from loomwright.cli.rack.day_words import day_lines  # noqa: PLC0415  after --help has been answered
    from loomwright.rack.cautions import cautions  # noqa: PLC0415

    lines = [*day_lines(done, now_min, kept=kept), "", *cautions("charging"), ""]
    click.echo(for_reading("\n".join(lines), sys.stdout))
    print_findings(done.findings)
    click.echo(for_reading(f"For the wall: {', '.join(path.name for path in papers)}.", sys.stdout))


def _first_day(view: RackView, held: MatchList, typed: str) -> date:
    """Return the date that a list of matches begins on: as typed, as written, by its day of the week, else today."""
    today = datetime.fromtimestamp(view.day * _DAY_S).astimezone().date()
    if typed:
        try:
            return date.fromisoformat(typed.strip())
        except ValueError as error:
            raise click.UsageError(f"--date {typed} can't be read. Write it as 2026-02-07.") from error
    if held.first is not None:
        if abs((held.first - today).days) > _FAR_DAYS:
            raise click.UsageError(f"The list begins on {held.first}, which is far from today. Check the year.")
        return held.first
    if held.numbered:
        raise click.UsageError("The list numbers its days. Say which date the first of them is: --date 2026-02-07.")
    if held.weekday >= 0:
        # An event lasts some days: the nearest such day, in the middle of one as well as before it.
        return min((today + timedelta(days=n) for n in range(-3, 4)), key=lambda one: one.weekday() != held.weekday)
    return today


def _slips(typed: tuple[str, ...]) -> dict[str, int]:
    """Return the new minute of each match that somebody says has slipped."""
    found = {}
    for one in typed:
        name, _, at = one.rpartition("=")
        minute = _minute(at)
        if not name.strip() or minute is None:
            raise click.UsageError(f"--slip {one} can't be read. Write it as Q12=14:05.")
        found[name.strip()] = minute
    return found


def _midnight(view: RackView, now: str, first: date) -> tuple[float, int]:
    """Return the midnight [days since 1970] that the matches count from, and the minute that it is.

    A time that somebody typed is one of the first day.
    """
    here = datetime.fromtimestamp(view.day * _DAY_S).astimezone()
    start = datetime.combine(first, time()).astimezone()
    now_min = max(0, int((here - start).total_seconds() // 60))
    if now:
        typed = _minute(now)
        if typed is None:
            raise click.UsageError(f"--now {now} can't be read. Write it as 8:30.")
        now_min = typed
    return start.timestamp() / _DAY_S, now_min


def _minute(text: str) -> int | None:
    found = _CLOCK.fullmatch(text.strip())
    if found is None or int(found[1]) > _LAST_HOUR or int(found[2]) >= 60:  # noqa: PLR2004  minutes of an hour
        return None
    return int(found[1]) * 60 + int(found[2])
