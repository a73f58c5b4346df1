"""`loomwright bench`: the robot's screens on this laptop and on phones, and its records in and out."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from loomwright.cli.console import for_reading, print_findings, print_json
from loomwright.cli.options import build_option, folder_of, folder_options, json_option

if TYPE_CHECKING:
    from loomwright.findings import Finding
    from loomwright.plan.result import Plan
    from loomwright.web.settings import Settings

_FILE = click.Path(path_type=Path, dir_okay=False)


@click.command(name="bench")
@folder_options
@build_option
@json_option
@click.option("--port", type=click.IntRange(1, 65535), metavar="N", help="Where to listen; 8340 or any free without.")
@click.option("--no-open", is_flag=True, help="Do not open the browser.")
@click.option("--share", is_flag=True, help="Let phones of the local network in, with a code.")
@click.option("--export", "to", type=_FILE, metavar="FILE.jsonl", help="Write all records to a file; serve nothing.")
@click.option("--import", "source", type=_FILE, metavar="FILE", help="Take in an export, or a pull sheet.")
@click.option(
    "--backup", "copy", is_flag=False, flag_value="", metavar="[FILE]", help="Write a copy of bench.db; dated without."
)
def command(
    folder: Path | None,
    chdir: Path | None,
    build: str,
    *,
    as_json: bool,
    port: int | None,
    no_open: bool,
    share: bool,
    to: Path | None,
    source: Path | None,
    copy: str | None,
) -> None:
    """Make, sign, pull and prove: on this laptop, on phones, losing nothing.

    Ctrl-C stops it; whatever was signed stays in bench.db.
    """
    where = folder_of(folder, chdir)
    asked = [option for option in (to, source, copy) if option is not None]
    if len(asked) > 1 or (asked and (share or port is not None)):
        raise click.UsageError("--export, --import and --backup each stand alone: nothing is served with them.")
    from loomwright.cli.bench_records import back_up, export_records, import_records, told_plainly  # noqa: PLC0415

    with told_plainly():
        if not asked:
            _serve(where, build, port=port, share=share, no_open=no_open, as_json=as_json)
            return
        if to is not None:
            done = export_records(where, to)
        elif source is not None:
            done = import_records(where, source, build)
        else:
            done = back_up(where, Path(copy) if copy else None)
    if as_json:
        print_json(done.as_data())
    else:
        click.echo(for_reading(done.words, sys.stdout))
        print_noticed(list(done.noticed))


def _serve(where: Path, build: str, *, port: int | None, share: bool, no_open: bool, as_json: bool) -> None:
    from loomwright.jobs.planned_beside import planned_beside  # noqa: PLC0415  after --help has been answered

    with planned_beside(where, build) as plan_of:
        # What takes its time to be read is read while the plan is worked out.
        import loomwright.cli.bench_records  # noqa: PLC0415
        import loomwright.cli.bench_words  # noqa: PLC0415
        import loomwright.web.serving  # noqa: F401, PLC0415
        from loomwright.web.pages import make_ready  # noqa: PLC0415

        make_ready()
        plan = plan_of()
    _serve_plan(where, build, plan, port=port, share=share, no_open=no_open, as_json=as_json)


def _serve_plan(
    where: Path, build: str, plan: Plan, *, port: int | None, share: bool, no_open: bool, as_json: bool
) -> None:
    from loomwright.cli.bench_records import open_records  # noqa: PLC0415  after --help has been answered
    from loomwright.cli.bench_words import lonely, served, served_data  # noqa: PLC0415
    from loomwright.jobs.bench import Bench  # noqa: PLC0415
    from loomwright.web.clock import laptop_clock  # noqa: PLC0415
    from loomwright.web.desk import Desk  # noqa: PLC0415
    from loomwright.web.serving import open_port, serve  # noqa: PLC0415

    with open_records(where, plan.robot.name) as store:
        print_noticed([*store.noticed, *store.verify()])
        listening = open_port(port, share=share)
        settings = settings_for(listening.getsockname()[1], share=share)
        desk = Desk.of(Bench(where, build, store, plan), settings, laptop_clock())

        def ready() -> None:
            if as_json:
                print_json(served_data(plan, settings))
            else:
                click.echo(served(plan, settings, sys.stdout))
            sys.stdout.flush()
            if not (no_open or as_json) and sys.stdout.isatty():
                open_browser(settings.laptop_url)

        serve(desk, listening, ready=ready, lonely=lambda: click.echo(lonely(settings, sys.stderr), err=True))
    click.echo("Stopped. Whatever was signed is in bench.db.", err=True)


def settings_for(port: int, *, share: bool) -> Settings:
    """Return the settings of a run on a port, with fresh codes and, where it is shared, this machine's addresses."""
    from loomwright.web.address import local_addresses, machine_names  # noqa: PLC0415
    from loomwright.web.settings import Settings, fresh_secrets  # noqa: PLC0415

    if not share:
        return Settings(secrets=fresh_secrets(), port=port)
    address = next(iter(local_addresses()), "")
    return Settings(secrets=fresh_secrets(), port=port, share=True, address=address, names=machine_names())


def print_noticed(findings: list[Finding]) -> None:
    """Tell on stderr what opening the records had to say, where it had."""
    if findings:
        print_findings(findings, stream=sys.stderr)


def open_browser(url: str) -> None:
    """Open the browser beside the server, where there is a screen to open one on; never one inside the terminal."""
    import threading  # noqa: PLC0415  only where it is served
    import webbrowser  # noqa: PLC0415

    if sys.platform == "linux" and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        return
    threading.Thread(target=webbrowser.open, args=(url,), daemon=True).start()
