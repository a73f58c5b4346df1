"""Suspects by what would be mended, and what is worth mending now."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from loomwright.hunting.robot.practice import fixes
from loomwright.hunting.robot.words import because, fault_words, suspect_words
from loomwright.jobs.hunt.result import FixView, SuspectView

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.hunting.problem import Observation
    from loomwright.hunting.result import Standing, Suspect
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.jobs.hunt.desk import HuntDesk

#: From so much probability of one seat on, the fix is shown first.
FOUND: Final = 0.85


def suspects_of(
    desk: HuntDesk, robot: RobotHunt, standing: Standing, observations: Sequence[Observation]
) -> Iterator[SuspectView]:
    """Give the suspects by their seats, the likeliest first."""
    by_seat: dict[tuple[object, ...], list[Suspect]] = {}
    for one in standing.suspects:
        seats = tuple(dict.fromkeys(robot.faults[key].seat for key in one.faults))
        by_seat.setdefault((one.other, *seats), []).append(one)
    ranked = sorted(by_seat.items(), key=lambda held: -sum(one.probability for one in held[1]))
    for (other, *names), held in ranked:
        first = held[0]
        faults = [robot.faults[key] for one in held for key in one.faults]
        yield SuspectView(
            seats=tuple(str(name) for name in names),
            faults=tuple(dict.fromkeys(fault.key for fault in faults)),
            words=suspect_words(robot, first),
            probability=sum(one.probability for one in held),
            because=because(robot, first, observations),
            raised=tuple(dict.fromkeys(why for key in first.faults for why in desk.raised(key))),
            wires=tuple(dict.fromkeys(wire for fault in faults for wire in wires_of(robot, fault.key))),
            devices=tuple(dict.fromkeys(fault.device for fault in faults if fault.device)),
            other=bool(other),
        )


def fixes_of(robot: RobotHunt, standing: Standing, suspects: Sequence[SuspectView]) -> Iterator[FixView]:
    """Give what is worth mending now: what the steps say before any check, and the first suspect where it is likely."""
    seats: list[str] = []
    for step in standing.steps[:1]:
        seats += [robot.faults[key].seat for key in step.repair]
    if suspects and suspects[0].probability >= FOUND and not suspects[0].other:
        seats = [*suspects[0].seats, *seats]
    for seat in dict.fromkeys(seats):
        held = next((one for one in suspects if seat in one.seats), None)
        if held is not None:
            fault = robot.faults[next(key for key in held.faults if robot.faults[key].seat == seat)]
            fix = fixes()[fault.kind]
            yield FixView(
                seat=seat,
                fault=fault.key,
                words=fix.words.format(seat=seat),
                what=fault_words(robot, fault.key),
                again=fix.again,
                seconds=fix.seconds,
                probability=held.probability,
                wire=fault.wire,
                end=fault.end,
            )
    if suspects and not suspects[0].seats and not suspects[0].other and suspects[0].probability >= FOUND:
        fix = fixes()["software"]
        yield FixView(
            seat="",
            fault="",
            words=fix.words,
            what=fix.what,
            again=fix.again,
            seconds=fix.seconds,
            probability=suspects[0].probability,
        )


def wires_of(robot: RobotHunt, key: str) -> tuple[str, ...]:
    """Return the ids of the wires that a fault is in."""
    fault = robot.faults[key]
    if fault.wire:
        return (fault.wire,)
    circuit = robot.plan.circuit(fault.circuit)
    return tuple(wire.id for wire in circuit.wires) if circuit is not None else ()
