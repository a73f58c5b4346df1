"""`loomwright packet`: the pages, flags and drawings that people take to the bench."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import click

from loomwright.cli.console import for_reading, print_findings, print_json
from loomwright.cli.endings import MUST_FIX
from loomwright.cli.options import build_option, folder_of, folder_options, json_option
from loomwright.findings import must_fix

_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def _date(_context: click.Context, _option: click.Parameter, said: str) -> str:
    if said and not (_DATE.fullmatch(said) and _is_day(said)):
        raise click.BadParameter(f"{said!r} is not a date. Write year, month and day: 2026-02-14.")
    return said


def _is_day(said: str) -> bool:
    from datetime import date  # noqa: PLC0415  only where a date is given

    try:
        date.fromisoformat(said)
    except ValueError:
        return False
    return True


def _labels(context: click.Context, paper: str, labels: str, start: int) -> None:
    """Refuse a sheet of labels that there is not, or a label that is not on it."""
    from loomwright.documents.flags.stock import label_stock, paper_stock  # noqa: PLC0415  after --help

    try:
        stock = label_stock(labels) if labels else paper_stock(paper)
        stock.label(start)
    except ValueError as error:
        raise click.UsageError(f"{str(error)[0].upper()}{str(error)[1:]}.", context) from error


@click.command(name="packet")
@folder_options
@build_option
@json_option
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="What to print on.")
@click.option(
    "--date", default="", metavar="YYYY-MM-DD", callback=_date, help="The date on the cover; left open without."
)
@click.option("--labels", default="", metavar="NAME", help="The sheet of labels for the flags; plain paper without.")
@click.option("--from", "start", type=click.IntRange(1), default=1, metavar="N", help="The first label that is free.")
@click.option("--anyway", is_flag=True, help="Print a draft where plan.yaml is missing or older than the robot file.")
@click.pass_context
def command(
    context: click.Context,
    folder: Path | None,
    chdir: Path | None,
    build: str,
    *,
    as_json: bool,
    paper: str,
    date: str,
    labels: str,
    start: int,
    anyway: bool,
) -> None:
    """Print what people build from: pages, flags, drawings, into out/."""
    from loomwright.cli.plan_words import written_line  # noqa: PLC0415  after --help has been answered
    from loomwright.cli.progress import onlooker  # noqa: PLC0415
    from loomwright.jobs.packet import pack_robot  # noqa: PLC0415
    from loomwright.jobs.papers import Printing  # noqa: PLC0415

    where = folder_of(folder, chdir)
    _labels(context, paper, labels, start)
    printing = Printing(paper, date, labels, start)
    with onlooker() as watch:
        packed = pack_robot(where, build, printing=printing, anyway=anyway, watch=watch)
    if as_json:
        print_json(packed.as_data(where))
    else:
        print_findings(packed.findings)
        if packed.papers:
            click.echo(for_reading(written_line(where, packed), sys.stdout))
    if must_fix(packed.findings):
        raise click.exceptions.Exit(MUST_FIX)
