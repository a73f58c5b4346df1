"""What hands find in every case: a tug at an end, wires that are moved, a joint that bends, a warm lug."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from loomwright.hunting.robot.faults import FaultKind, is_brushless, moving_trunks
from loomwright.hunting.robot.practice import practice
from loomwright.hunting.robot.shown import Shown, columns
from loomwright.model.part import PortKind
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy.typing as npt

    from loomwright.hunting.robot.chain import Programs
    from loomwright.plan.result import PlannedEnd, PlannedWire

    Floats: TypeAlias = npt.NDArray[np.float64]

#: Chance that a sound end gives way or changes something.
_NOTHING = 0.003
#: Of bad ends that give way: how many that barely hold come off, and how many that are open only move (assumed).
_OTHER_WAY = 0.15
_NUTS = (PortKind.POST, PortKind.STUD)
#: So many ends at a device are gone over at once; a device with fewer is no shorter to do.
_FEWEST_AT_ONCE = 3
_EACH_S = 2.0


def hand_checks(programs: Programs) -> Iterator[Shown]:
    """Give a tug at every end that somebody made, a wiggle where power would show it, and moving joints."""
    table, plan = programs.table, programs.plan
    for wire in plan.wires:
        for end in (wire.a, wire.b):
            if reachable(end):
                yield _tug(programs, wire, end)
                if wire.kind is not CircuitKind.MOTOR:
                    yield _wiggle(programs, wire, end)
                if wire.kind is CircuitKind.MAIN:
                    warm = table.flat(0.05)
                    for kind in (FaultKind.LOOSE, FaultKind.POOR):
                        warm[table.of(kind, f"{wire.id} {end.letter}")] = practice("warm shows")
                    about = f"{wire.id} {end.letter}"
                    yield Shown(kind="warm", about=about, place=f"{about}, {end.where}", chances=columns(warm))
    yield from _phases(programs)
    for trunk in (trunk for trunk in plan.robot.trunks if trunk.moving):
        inside = [wire.id for wire in plan.wires if trunk.name in moving_trunks(plan, wire)]
        if inside:
            changes = table.flat(0.01)
            for wire in (wire for wire in plan.wires if wire.id in inside):
                # It breaks at one of the joints that it runs through.
                share = 1 / len(moving_trunks(plan, wire))
                changes[table.of(FaultKind.SHAKY_WIRE, wire.id)] = practice("flex shows") * share
            changes[table.at_ends(FaultKind.SHAKY, *inside)] = practice("wiggle other end")
            yield Shown(kind="flex", about=trunk.name, place=trunk.name, chances=columns(changes))


def _phases(programs: Programs) -> Iterator[Shown]:
    """Give the ohms between the three leads of every brushless motor: all alike, unless one of them is bad."""
    table = programs.table
    for circuit in programs.plan.circuits:
        if is_brushless(circuit):
            wires = [wire.id for wire in circuit.wires]
            differs = table.flat()
            differs[[*table.broken(*wires), *table.at_ends(FaultKind.POOR, *wires)]] = 1.0
            differs[table.at_ends(FaultKind.LOOSE, *wires)] = practice("phases show loose")
            yield Shown(kind="phases", about=circuit.id, place=circuit.id, chances=columns(differs))


def reachable(end: PlannedEnd) -> bool:
    """Tell whether somebody made an end, so that it can be looked at and tugged."""
    return end.port is not None and end.treatment is not None


def _tug(programs: Programs, wire: PlannedWire, end: PlannedEnd) -> Shown:
    table, about = programs.table, f"{wire.id} {end.letter}"
    # What comes off in the hand was bad, whatever is wrong besides.
    moves, off = table.flat(_NOTHING), table.flat(_NOTHING / 100)
    shows, loose = practice("tug shows"), practice("tug shows loose")
    for kind, chance in ((FaultKind.POOR, shows), (FaultKind.SHAKY, shows), (FaultKind.LOOSE, loose)):
        moves[table.of(kind, about)], off[table.of(kind, about)] = chance * (1 - _OTHER_WAY), chance * _OTHER_WAY
    wide_open = table.of(FaultKind.OPEN, about)
    moves[wide_open], off[wide_open] = shows * _OTHER_WAY, shows * (1 - _OTHER_WAY)
    return Shown(
        kind="tug", about=about, place=f"{about}, {end.where}", chances=columns(moves, off), how=_tug_words(end)
    )


def _tug_words(end: PlannedEnd) -> str:
    """Say how an end is tried that nobody pulls at: on a board, on a stud, on a post."""
    if end.port is not None and end.port.kind in _NUTS:
        return "Look at the lug {place}, then turn it and its nut by two fingers: nothing may move. Don't pull."
    if end.port is not None and end.port.on_board:
        return "Look at the end {place}: seated, no bare copper, no loose strand. Don't pull: it sits on a board."
    return ""


def _wiggle(programs: Programs, wire: PlannedWire, end: PlannedEnd) -> Shown:
    table, about = programs.table, f"{wire.id} {end.letter}"
    other = f"{wire.id} {'B' if end.letter == 'A' else 'A'}"
    changes = table.flat(_NOTHING)
    changes[table.of(FaultKind.SHAKY, about)] = practice("wiggle shows")
    changes[table.of(FaultKind.SHAKY, other)] = practice("wiggle other end")
    for kind in (FaultKind.OPEN, FaultKind.POOR):
        changes[table.of(kind, about)] = 0.3
    return Shown(kind="wiggle", about=about, place=f"{about}, {end.where}", chances=columns(changes))
