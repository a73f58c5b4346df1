"""`loomwright match`: play matches of the robot; odds, margins, what helps most."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from loomwright.cli.console import for_reading, print_findings, print_json
from loomwright.cli.endings import MUST_FIX, STOPPED
from loomwright.cli.options import build_option, folder_of, folder_options, json_option
from loomwright.findings import must_fix


def _seconds(_context: click.Context, _option: click.Parameter, said: str) -> float:
    from loomwright.units import Dimension, QuantityError, read  # noqa: PLC0415  after --help has been answered

    try:
        return read(said, Dimension.TIME)
    except QuantityError as error:
        raise click.BadParameter(str(error)) from error


@click.command(name="match")
@folder_options
@build_option
@json_option
@click.option("--matches", type=click.IntRange(1), default=400, show_default=True, help="How many matches to play.")
@click.option(
    "--seed", type=click.IntRange(0, 2**31), default=1, show_default=True, help="Where all chance comes from."
)
@click.option(
    "--battery",
    default="",
    metavar="NAME",
    help="fresh, used, tired, cold, or one of the rack; the robot's own without.",
)
@click.option("--driver", default="", metavar="NAME", help="One driver alone: calm, usual, hard, or of drivers.yaml.")
@click.option("--gap", default="8 min", show_default=True, callback=_seconds, help="Time between matches in a row.")
@click.option("--rank", is_flag=True, help="Play single changes too, and tell what helps most.")
@click.option("--advise", is_flag=True, help="Search current limits for all mechanisms at once.")
@click.option(
    "--set", "sets", multiple=True, metavar="WHAT=VALUE", help="What if: lift.supply_limit=30A. Writes nothing."
)
@click.option("--compare", is_flag=True, help="With --set: beside the robot as it is, with the same drivers.")
@click.option("--cluster", default="", metavar="ADDRESS", help="Let the workers of a dask cluster play, for very many.")
@click.option(
    "--step", "step_ms", type=click.Choice(["5", "2", "1"]), default="5", show_default=True, help="Step [ms]."
)
def command(
    folder: Path | None,
    chdir: Path | None,
    build: str,
    *,
    as_json: bool,
    matches: int,
    seed: int,
    battery: str,
    driver: str,
    gap: float,
    rank: bool,
    advise: bool,
    sets: tuple[str, ...],
    compare: bool,
    step_ms: str,
    cluster: str,
) -> None:
    """Play matches: odds of a brown-out, heat, and what helps most."""
    if compare and not sets:
        raise click.UsageError("--compare goes with --set: it plays what is set beside the robot as it is.")
    if sets and (rank or advise):
        raise click.UsageError("--set asks what if; --rank and --advise look at the robot as it is. Take one of them.")
    if sets and cluster:
        raise click.UsageError("--set is played on this machine; leave --cluster out.")
    from loomwright.cli.match_words import match_lines  # noqa: PLC0415  it brings the compiler along
    from loomwright.cli.plan_words import written_line  # noqa: PLC0415
    from loomwright.cli.progress import onlooker  # noqa: PLC0415
    from loomwright.documents.json.match import match_data  # noqa: PLC0415
    from loomwright.jobs.match import MOST_MATCHES, Asked, study_robot, told_of  # noqa: PLC0415

    if matches > MOST_MATCHES:
        raise click.UsageError(f"{matches} matches would not fit in memory; {MOST_MATCHES} are the most.")
    where = folder_of(folder, chdir)
    asked = Asked(
        matches=matches,
        seed=seed,
        battery=battery,
        driver=driver,
        gap_s=gap,
        sets=sets,
        compare=compare,
        rank=rank,
        advise=advise,
        step_ms=float(step_ms),
        cluster=cluster,
    )
    with onlooker() as watch:
        done = study_robot(where, build, asked=asked, watch=watch)
    if as_json:
        print_json(match_data(told_of(done)))
    else:
        click.echo(for_reading("\n".join(match_lines(done)), sys.stdout))
        print_findings(done.findings)
        if done.papers:
            click.echo(for_reading(written_line(where, done), sys.stdout))
    if done.stopped:
        click.echo("Stopped before the end: this is what was played until then.", err=True)
        raise click.exceptions.Exit(STOPPED)
    if must_fix(done.findings) or done.verdict is None:
        raise click.exceptions.Exit(MUST_FIX)
