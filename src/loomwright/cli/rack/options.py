"""What the verbs of the rack share: the folder, who says it, when it was, amounts with their units, the records."""

from __future__ import annotations

import secrets
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, TypeVar

import click

from loomwright.cli.console import for_reading

if TYPE_CHECKING:
    from loomwright.jobs.rack.signing import Signed
    from loomwright.jobs.rack.view import RackView
    from loomwright.model.robot import Robot
    from loomwright.records.event import Role
    from loomwright.robotfile.folder import RobotFolder
    from loomwright.store import Store
    from loomwright.units import Dimension

F = TypeVar("F", bound=Callable[..., Any])

_FORMS: Final = ("%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%d")


def rack_folder(command: F) -> F:
    """Add -C DIR, the robot's folder whose bench.db holds the rack."""
    words = "The robot's folder; the current one without."
    return click.option("-C", "folder", type=click.Path(path_type=Path), default=Path(), metavar="DIR", help=words)(
        command
    )


def said_by(command: F) -> F:
    """Add --who and --when."""
    for wrap in (
        click.option("--when", default="", metavar="TIME", help="When it was, as '2026-02-07 9:30'; now without."),
        click.option("--who", default="laptop", show_default=True, metavar="NAME", help="Initials or a nickname."),
    ):
        command = wrap(command)
    return command


def amount(dimension: str) -> click.ParamType[float]:
    """Return an option's type that reads an amount with its unit, as 13.2mohm; a number without one is refused."""
    return _Amount(dimension)


class _Amount(click.ParamType[float]):
    name = "amount"

    def __init__(self, dimension: str) -> None:
        self.dimension = dimension

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:  # noqa: ANN401  click's own
        from loomwright.units import Dimension, QuantityError, read  # noqa: PLC0415  after --help has been answered

        try:
            return read(str(value), Dimension(self.dimension))
        except QuantityError as error:
            self.fail(str(error), param, ctx)


def shown(value: float, dimension: Dimension) -> str:
    """Write an amount for people."""
    from loomwright.units import show  # noqa: PLC0415  after --help has been answered

    return show(value, dimension)


def moment(when: str, now: str) -> str:
    """Return a time typed on this laptop's clock as records tell it, `now` where none was typed.

    Raises
    ------
    click.UsageError
        For a time that can't be read, and for one still to come.
    """
    if not when:
        return now
    for form in _FORMS:
        try:
            typed = datetime.strptime(when.strip(), form)  # noqa: DTZ007  a watch at the cart knows no zone
        except ValueError:
            continue
        try:
            stamp = typed.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        except (ValueError, OverflowError) as error:
            raise click.UsageError(f"--when {when} is no day that a battery knew. Check the year.") from error
        if stamp > now:
            raise click.UsageError(f"--when {when} is still to come. Check the day.")
        return stamp
    raise click.UsageError(f"--when {when} can't be read. Write it as '2026-02-07 9:30'.")


@contextmanager
def rack_store(folder: Path) -> Iterator[tuple[Store, RobotFolder, Robot, str]]:
    """Open the records of a folder; gives them with the folder, its robot, and the laptop's clock in UTC."""
    from loomwright.cli.bench_records import open_records, told_plainly  # noqa: PLC0415
    from loomwright.robotfile.folder import open_folder  # noqa: PLC0415
    from loomwright.web.clock import laptop_clock  # noqa: PLC0415

    files = open_folder(folder)
    robot, _ = files.read()
    with told_plainly(), open_records(folder, robot.name) as store:
        yield store, files, robot, laptop_clock().stamp()


def rack_now(folder: Path) -> RackView:
    """Return the rack as the records tell it now; a folder without records is an empty rack."""
    from loomwright.jobs.rack.signing import state_of  # noqa: PLC0415
    from loomwright.jobs.rack.view import rack_view  # noqa: PLC0415
    from loomwright.rack.readings import day_of  # noqa: PLC0415

    with rack_store(folder) as (store, files, robot, now):
        return rack_view(state_of(store), robot, files.library.part, day_of(now))


def tell_urgent(view: RackView) -> None:
    """Tell on stderr what must not go on, and what does not fit with where things are said to be."""
    from loomwright.cli.console import print_findings  # noqa: PLC0415  only where there is something

    if view.urgent:
        print_findings(view.urgent, stream=sys.stderr)


def event_of(kind: str, about: str, who: str, when: str, **fields: object) -> dict[str, object]:
    """Return an event of the rack as it is sent, with a key of its own; empty fields are left out."""
    told = {"key": secrets.token_hex(16), "kind": kind, "about": about, "who": who, "measured_at": when, **fields}
    return {name: value for name, value in told.items() if value not in (None, "", (), {})}


def given(conditions: Mapping[str, float | None]) -> dict[str, float]:
    """Return the conditions that somebody said."""
    return {name: value for name, value in conditions.items() if value is not None}


def sign(store: Store, told: list[dict[str, object]], role: Role, now: str) -> Signed:
    """Write events down and tell on stderr what counts for nothing."""
    from loomwright.jobs.rack.signing import sign_rack  # noqa: PLC0415

    signed = sign_rack(store, told, role, now=now)
    for event, why in signed.rejected:
        words = f"{event.about}: {why} It is written down and counts for nothing. Measure again and tell the new one."
        click.echo(for_reading(words, sys.stderr), err=True)
    return signed
