"""From a name as people type it to what a check or a repair is about; an unknown one gets the nearest names."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import click

from loomwright.hunting.robot.practice import check_kinds
from loomwright.rulebook.lookup import feeds, on_bus
from loomwright.wording import listed, nearest, quoted

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from loomwright.hunting.robot.faults import RobotFault
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.plan.result import Plan

_NOUNS: Final = {
    "look": ("device with a light", "has no light of its own that is known"),
    "seen": ("device on the program's list", "is on no list of the program"),
    "drove": ("motor", "is no motor"),
    "run": ("motor", "is no motor"),
    "breaker": ("circuit with a breaker", "has no breaker of its own"),
    "fuse": ("circuit with a fuse", "has no fuse of its own"),
}
_TWINS: Final = {"breaker": "fuse", "fuse": "breaker"}
_MOST: Final = 8
#: What checks call the main breaker, whatever the robot file does.
_MAIN: Final = "main"


def check_about(robot: RobotHunt, kind: str, name: str) -> str:
    """Return the key of the check of a kind that a name means.

    A motor stands for its controller where that has the light, a device for the circuit that feeds it.

    Raises
    ------
    click.UsageError
        Where there is none, with the nearest names.
    """
    found = _check(robot, kind, name)
    if found:
        return found
    raise click.UsageError(_unknown(robot, kind, name))


def protection_about(robot: RobotHunt, kind: str, name: str) -> str:
    """Return the check of the breaker or the fuse that guards a circuit: of the kind that was said, else the other."""
    found = _check(robot, kind, name) or _check(robot, _TWINS[kind], name)
    if found:
        return found
    raise click.UsageError(_unknown(robot, kind, name))


def check_key(robot: RobotHunt, typed: str) -> str:
    """Return the key of the check that somebody typed, as "look radio".

    Raises
    ------
    click.UsageError
        For a check that this robot has not, with the nearest ones.
    """
    plain = _plain(typed)
    for key in robot.checks:
        if _plain(key) == plain:
            return key
    for kind in sorted(check_kinds(), key=len, reverse=True):
        if plain.startswith(f"{kind} "):
            return check_about(robot, kind, " ".join(typed.split()[len(kind.split()) :]))
    raise click.UsageError(f"There is no check {quoted(typed)}. {_hint(typed, robot.checks)}")


def outcome_of(robot: RobotHunt, key: str, typed: str) -> str:
    """Return the outcome of a check that somebody typed.

    Raises
    ------
    click.UsageError
        For an outcome that the check has not.
    """
    outcomes = check_kinds()[robot.checks[key].kind].outcomes
    found = next((one for one in outcomes if _plain(one) == _plain(typed)), "")
    if not found:
        says = listed([quoted(one) for one in outcomes])
        raise click.UsageError(f"{quoted(key)} has no outcome {quoted(typed)}. Say one of {says}.")
    return found


def mended_faults(robot: RobotHunt, typed: str) -> tuple[tuple[str, RobotFault], ...]:
    """Return what was mended, each seat with one of its faults: one seat, or both ends of a wire.

    Raises
    ------
    click.UsageError
        For a seat that this robot has not, with the nearest ones.
    """
    plain = _plain(typed)
    by_seat = {_plain(fault.seat): fault for fault in robot.faults.values() if fault.seat}
    by_key = {_plain(key): fault for key, fault in robot.faults.items() if fault.seat}
    if plain in by_seat:
        return ((by_seat[plain].seat, by_seat[plain]),)
    if plain in by_key:
        return ((by_key[plain].seat, by_key[plain]),)
    ends = tuple(by_seat[seat] for seat in (f"{plain} a", f"{plain} b") if seat in by_seat)
    if ends:
        return tuple((fault.seat, fault) for fault in ends)
    seats = list(dict.fromkeys(fault.seat for fault in by_seat.values()))
    raise click.UsageError(f"Nothing on this robot that can be mended is called {quoted(typed)}. {_hint(typed, seats)}")


def _check(robot: RobotHunt, kind: str, name: str) -> str:
    held = {_plain(one.about): key for key, one in robot.checks.items() if one.kind == kind}
    return next((held[_plain(about)] for about in _abouts(robot.plan, name) if _plain(about) in held), "")


def _abouts(plan: Plan, name: str) -> Iterator[str]:
    """Give everything that a name may mean, the likeliest first."""
    yield name
    plain = _plain(name)
    base, letter = (plain[:-2], plain[-2:].upper()) if plain.endswith((" a", " b")) else (plain, "")
    several = _several(plan, base)
    bases = (base, _plain(several[0])) if len(several) == 1 else (base,)
    chosen = [one for one in plan.robot if _plain(one.id) in bases or _plain(one.called) in bases]
    with_bus = next((on_bus(plan, one.called or one.id) for one in chosen), None)
    for device in [*([with_bus] if with_bus is not None else []), *chosen]:
        yield device.id
        for circuit in feeds(plan, device.id):
            yield f"{circuit.id}{letter}"
    if any(one.kind == "breaker" for one in chosen):
        yield _MAIN


def _unknown(robot: RobotHunt, kind: str, name: str) -> str:
    """Say that a name is not there, or is there and is nothing that this check is about."""
    noun, is_not = _NOUNS.get(kind, ("", ""))
    several = _several(robot.plan, name)
    if len(several) > 1 and kind in ("drove", "run", "look", "seen"):
        return f"{quoted(name)} has several: {listed(several, 'and')}. Name those that you mean."
    names = [one.about for one in robot.checks.values() if one.kind == kind]
    if not noun:
        return f"There is no check {quoted(f'{kind} {name}')} on this robot. {_hint(name, names)}"
    if any(_plain(name) in (_plain(device.id), _plain(device.called)) for device in robot.plan.robot):
        return f"{quoted(name)} {is_not}. {_hint(name, names)}"
    called = [device.called for device in robot.plan.robot if device.id in names]
    return f"There is no {noun} {quoted(name)} on this robot. {_hint(name, [*called, *names])}"


def _several(plan: Plan, name: str) -> list[str]:
    """Return the motors of a mechanism."""
    plain = _plain(name)
    return [one.id for one in plan.robot if one.kind == "motor" and plain == _plain(one.mechanism)]


def _hint(name: str, names: Iterable[str]) -> str:
    held = list(dict.fromkeys(one for one in names if one))
    close = nearest(name, held) or [one for one in held if set(_plain(name).split()) & set(_plain(one).split())]
    if close:
        return f"Did you mean {listed([quoted(one) for one in close[:3]])}?"
    more = " and more" if len(held) > _MOST else ""
    return f"There are: {', '.join(held[:_MOST])}{more}." if held else ""


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())
