"""Suspects by what would be mended, and what is worth mending now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.hunting.robot.faults import FaultKind
from loomwright.hunting.robot.practice import fixes
from loomwright.hunting.robot.words import because, fault_words, suspect_words
from loomwright.jobs.hunt.result import FixView, SuspectView

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from loomwright.hunting.problem import Observation
    from loomwright.hunting.result import BadSeat, Standing
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.jobs.hunt.desk import HuntDesk


def suspects_of(
    desk: HuntDesk, robot: RobotHunt, standing: Standing, observations: Sequence[Observation]
) -> tuple[SuspectView, ...]:
    """Return the suspects: every seat that may be bad, alone or with another; the program; what no list knows."""
    found = [_seat_view(desk, robot, standing, observations, one) for one in standing.bad]
    found += [
        SuspectView(
            seats=(),
            faults=(),
            words=suspect_words(robot, one),
            probability=one.probability,
            because=because(robot, one, observations),
            other=True,
        )
        for one in standing.suspects
        if one.other
    ]
    return tuple(sorted(found, key=lambda one: -one.probability))


def _seat_view(
    desk: HuntDesk, robot: RobotHunt, standing: Standing, observations: Sequence[Observation], bad: BadSeat
) -> SuspectView:
    faults = [robot.faults[key] for key in bad.faults]
    best = next((one for one in standing.suspects if set(one.faults) & set(bad.faults)), None)
    likeliest = next((key for key in best.faults if key in bad.faults), bad.faults[0]) if best else bad.faults[0]
    beside = [robot.faults[key].seat or "the program" for key in best.faults if key != likeliest] if best else []
    nothing = sum(one.probability for one in standing.suspects if not one.faults and not one.other)
    return SuspectView(
        seats=tuple(dict.fromkeys(fault.seat for fault in faults if fault.seat)),
        faults=tuple(dict.fromkeys((likeliest, *bad.faults))),
        words="; and something with ".join((fault_words(robot, likeliest), *beside)),
        # That nothing is wrong at all is told with the program: neither is a fault of the wiring.
        probability=bad.probability + (0.0 if faults[0].seat else nothing),
        because=because(robot, best, observations) if best else "",
        raised=desk.raised(likeliest),
        wires=tuple(dict.fromkeys(wire for fault in faults for wire in wires_of(robot, fault.key))),
        devices=tuple(dict.fromkeys(fault.device for fault in faults if fault.device)),
    )


def fixes_of(
    robot: RobotHunt, standing: Standing, suspects: Sequence[SuspectView], gave_way: Collection[str]
) -> Iterator[FixView]:
    """Give what is worth mending now: what the steps say before any check, and ends that gave way in the hand.

    An end that gives way is made again, whatever else is wrong.
    """
    first = standing.steps[:1]
    keys = [key for step in first if not step.check for key in step.repair or (str(FaultKind.SOFTWARE),)]
    found = [next((one for one in suspects if key in one.faults), None) for key in keys]
    found += [one for one in suspects if set(one.seats) & set(gave_way)]
    for held in dict.fromkeys(one for one in found if one is not None):
        fault = robot.faults[held.faults[0]]
        fix = fixes()[fault.kind]
        yield FixView(
            seat=fault.seat,
            fault=fault.key,
            words=fix.words.format(seat=fault.seat),
            what=fault_words(robot, fault.key),
            again=fix.again,
            seconds=fix.seconds,
            probability=held.probability,
            wire=fault.wire,
            end=fault.end,
        )


def wires_of(robot: RobotHunt, key: str) -> tuple[str, ...]:
    """Return the ids of the wires that a fault is in."""
    fault = robot.faults[key]
    if fault.wire:
        return (fault.wire,)
    circuit = robot.plan.circuit(fault.circuit)
    return tuple(wire.id for wire in circuit.wires) if circuit is not None else ()
