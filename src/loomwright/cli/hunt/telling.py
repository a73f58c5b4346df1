"""From what somebody typed to the events of a hunt: answers, what was mended, how it ended."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import click

from loomwright.cli.hunt.keeping import Batch, begun
from loomwright.cli.hunt.names import check_about, check_key, mended_faults, outcome_of, protection_about
from loomwright.hunting.robot.practice import halt_of
from loomwright.hunting.robot.words import told_outcome
from loomwright.records.event import Kind
from loomwright.units import Dimension, QuantityError, read
from loomwright.wording import quoted

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from loomwright.cli.hunt.answers import Said
    from loomwright.cli.hunt.asked import Asked
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.hunting.robot.shown import Scale
    from loomwright.records.hunts import HuntRecord

_UNITS: Final = {"V": Dimension.VOLTAGE, "ohm": Dimension.RESISTANCE, "A": Dimension.CURRENT}
_OPEN: Final = ("open", "ol", "o.l", "o.l.")
#: An answer names so many of the last repairs; more than a record can hold never happen.
_MOST_MENDED: Final = 30
_BURNT: Final = "burnt"


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer as records tell it: a check, and its outcome or a number with its unit."""

    check: str
    words: str = ""
    value: float | None = None
    unit: str = ""


def answers(asked: Asked, robot: RobotHunt) -> list[Answer]:
    """Return everything that was seen, read or told of the match.

    Raises
    ------
    click.UsageError
        For a name, a check, an outcome or a number that does not fit this robot.
    """
    return [
        *(_said(robot, one, name) for one, name in asked.said),
        *_of_the_match(asked),
        *(_saw(robot, check, outcome) for check, outcome in asked.saw),
        *(_read(robot, check, text) for check, text in asked.read),
    ]


def fill(batch: Batch, asked: Asked, robot: RobotHunt, hunt: HuntRecord | None, kinds: Mapping[str, str]) -> None:
    """Put everything that was typed into a batch, in its order: mended, answers, the end; or the end, then a new hunt.

    `kinds` says of seats which fault was most likely there.

    Raises
    ------
    click.UsageError
        For what does not fit this robot or this hunt.
    """
    told = answers(asked, robot)
    replaced = dict(_replaced(asked, robot, hunt, told))
    if asked.new is not None:
        if hunt is not None:
            _end(batch, asked, robot, hunt, hunt.key, asked.ends or "given up")
        hunt = None
    elif hunt is None and (asked.mended or asked.ends):
        raise click.UsageError("No hunt is open, so nothing can be mended or ended. Say first what you see.")
    key = begun(batch, hunt, asked.new or ", ".join(_short(robot, one) for one in told))
    mended = [*_mended(batch, asked, robot, key, kinds)]
    before = [event.key for event in hunt.mended] if hunt is not None else []
    known = [*before, *mended][-_MOST_MENDED:]
    for one in told:
        of = (key, *known, *replaced.get(one.check, ()))
        batch.add(Kind.OBSERVED, one.check, one.words, of, value=one.value, unit=one.unit)
        if robot.checks[one.check].kind == "smell" and one.words == _BURNT:
            batch.add(Kind.DANGER, robot.checks[one.check].about, "burnt smell", (key,))
    if asked.ends and asked.new is None and hunt is not None:
        _end(batch, asked, robot, hunt, key, asked.ends)


def _said(robot: RobotHunt, one: Said, name: str) -> Answer:
    if one.kind not in ("breaker", "fuse"):
        return Answer(check_about(robot, one.kind, name), one.outcome)
    check = protection_about(robot, one.kind, name)
    kind = robot.checks[check].kind
    if one.outcome == "warm" and kind == "fuse":
        raise click.UsageError(f"{quoted(name)} is guarded by a fuse: say --fuse where it is blown.")
    return Answer(check, one.outcome if kind == one.kind else {"breaker": "open", "fuse": "blown"}[kind])


def _of_the_match(asked: Asked) -> Iterator[Answer]:
    if asked.halt:
        yield Answer("halt", _halt(asked.halt))
    if asked.brown_out is not None:
        yield Answer("brown-out", "yes" if asked.brown_out else "no")
    for what in asked.since:
        yield Answer(f"since {what}", "yes")


def _halt(text: str) -> str:
    if text.strip().casefold() == "none":
        return "none"
    try:
        seconds = read(text, Dimension.TIME)
    except QuantityError as error:
        raise click.UsageError(f"--halt: {error.what} Write it as --halt 45s, or --halt none.") from error
    return halt_of(seconds)


def _saw(robot: RobotHunt, check: str, outcome: str) -> Answer:
    key = check_key(robot, check)
    return Answer(key, outcome_of(robot, key, outcome))


def _read(robot: RobotHunt, check: str, text: str) -> Answer:
    key = check_key(robot, check)
    scale = robot.checks[key].scale
    if scale is None:
        raise click.UsageError(f'{quoted(key)} is no reading of a meter. Say it by --saw "{key}=...".')
    if text.casefold() in _OPEN:
        return Answer(key, _open(key, scale))
    try:
        value = read(text, _UNITS[scale.unit], signed=scale.unit == "V")
    except QuantityError as error:
        example = f'--read "{key}={_example(scale)}"'
        raise click.UsageError(f"{error.what} {error.fix} For instance: {example}") from error
    return Answer(key, value=value, unit=scale.unit)


def _open(key: str, scale: Scale) -> str:
    """Return the outcome that an open circuit is; only ohms can be open."""
    if scale.unit != "ohm":
        raise click.UsageError(f"{quoted(key)} is read in {scale.unit}; only ohms can be open.")
    return scale.outcomes(math.inf)[0][0]


def _example(scale: Scale) -> str:
    return {"V": "12.4V", "ohm": "1.2ohm", "A": "4.5A"}[scale.unit]


def _replaced(
    asked: Asked, robot: RobotHunt, hunt: HuntRecord | None, told: Sequence[Answer]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Give the last answer of each check that was told wrong; its right answer has to come with it."""
    for typed in asked.wrong:
        check = check_key(robot, typed)
        held = [event for event in hunt.observations if event.about == check] if hunt is not None else []
        if not held:
            raise click.UsageError(f"Nobody has answered {quoted(check)} in this hunt. See `loomwright hunt --log`.")
        if all(one.check != check for one in told):
            raise click.UsageError(f"Give the right answer of {quoted(check)} together with --wrong.")
        yield check, (held[-1].key,)


def _mended(batch: Batch, asked: Asked, robot: RobotHunt, hunt: str, kinds: Mapping[str, str]) -> Iterator[str]:
    for typed in asked.mended:
        for seat, fault in mended_faults(robot, typed):
            yield batch.add(Kind.MENDED, seat, kinds.get(seat, ""), (hunt,), wire=fault.wire, end=fault.end)


def _end(batch: Batch, asked: Asked, robot: RobotHunt, hunt: HuntRecord, key: str, words: str) -> None:
    """End a hunt; what was mended last is what was found."""
    if words == "found" and not (hunt.mended or asked.mended):
        raise click.UsageError(
            "Nothing was mended in this hunt, so nothing was found. Say --mended SEAT first, make its checks again, "
            "and then --found; or --no-fault, or --give-up."
        )
    seats = [event.about for event in hunt.mended]
    seats += [seat for typed in asked.mended for seat, _ in mended_faults(robot, typed)]
    seat = seats[-1] if seats and words == "found" else ""
    fault = next((one for one in robot.faults.values() if seat and one.seat == seat), None)
    where = {"wire": fault.wire, "end": fault.end} if fault is not None else {}
    batch.add(Kind.HUNT_ENDED, seat, words, (key,), **where)


def _short(robot: RobotHunt, one: Answer) -> str:
    if one.value is not None:
        return f"{one.check} {one.value:g} {one.unit}"
    return told_outcome(robot.checks[one.check], one.words)
