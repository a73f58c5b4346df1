"""What people tell of the match in every case: halts, a brown-out, what happened just before."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from loomwright.hunting.robot.faults import FaultKind
from loomwright.hunting.robot.lit import feed_wires
from loomwright.hunting.robot.meters import fed_or_main
from loomwright.hunting.robot.practice import halt_lengths, halt_of, practice
from loomwright.hunting.robot.shown import Shown, columns
from loomwright.wiring.battery_path import top_blocks
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy.typing as npt

    from loomwright.hunting.robot.cases import CaseTable
    from loomwright.hunting.robot.chain import Programs

    Floats: TypeAlias = npt.NDArray[np.float64]

_SURE = 0.95
#: How far a halt is told from what it was, as a share.
_OFF = 0.1


def told_checks(programs: Programs) -> Iterator[Shown]:
    """Give what people tell of the match."""
    table = programs.table
    yield _program(programs)
    yield Shown(kind="halt", about="", place="", chances=_halts(programs))
    yield Shown(kind="brown-out", about="", place="", chances=_brown_out(programs))
    for what, plain in (("hit", "hit"), ("battery", "battery"), ("work", "work")):
        share = table.flat(practice(plain))
        touched = _touched_by(programs, what)
        share[touched] = np.minimum(3 * practice(plain), _SURE)
        yield Shown(kind=f"since {what}", about="", place="", chances=columns(share))


def _program(programs: Programs) -> Shown:
    """Return what a look at the program finds: its own trouble mostly, and now and then one of the wiring."""
    found = programs.table.flat(practice("program blamed"))
    found[programs.table.of(FaultKind.SOFTWARE, "")] = practice("program found")
    return Shown(kind="program", about="", place="", chances=columns(found))


def _touched_by(programs: Programs, what: str) -> list[int]:
    """Return the cases that a hit, a swap of the battery or work on the wiring makes likelier."""
    table, plan = programs.table, programs.plan
    kinds = {
        "hit": (FaultKind.OPEN, FaultKind.SHAKY, FaultKind.BROKEN, FaultKind.SHAKY_WIRE, FaultKind.OFF),
        "work": (*FaultKind,),
        "battery": (FaultKind.FLAT, FaultKind.WEAK, FaultKind.OFF),
    }[what]
    main = {wire.id for wire in plan.wires if wire.kind is CircuitKind.MAIN}
    return [
        place
        for place, case in enumerate(table.cases)
        if case.fault is not None and (case.fault.kind in kinds or (what == "battery" and case.wire in main))
    ]


def _halts(programs: Programs) -> Floats:
    """Return the chances of each length of a halt: whose feed had a gap, and how long that takes to come back."""
    table, plan = programs.table, programs.plan
    lengths = [one.outcome for one in halt_lengths()]
    by_length = {name: table.flat() for name in lengths}
    for name, here in by_length.items():
        here[table.software("halt", name)] = 1.0
    shorted = _shorted(table)
    for device in plan.robot:
        back_s = device.part.number("recovery time")
        if back_s is None:
            continue
        stops = 1.0 if device.kind in ("computer", "radio", "network") else practice("shaky flickers")
        shaky = table.shaky(*feed_wires(plan, device))
        # Nobody holds a watch: what takes 40 s is told as a halt on either side of it.
        told = {halt_of(back_s * (1 - _OFF)), halt_of(back_s * (1 + _OFF))}
        for here in (by_length[length] for length in told):
            here[shaky] = np.maximum(here[shaky], practice("shaky shows") * stops / len(told))
            here[shorted] = np.maximum(here[shorted], practice("short pulls down") * stops / len(told))
        power = programs.lit.of(device)
        gone = 1 - power.has
        gone[table.of(FaultKind.DEAD, device.id)] = 1.0
        by_length["rest"] = np.maximum(by_length["rest"], gone * stops * 0.8)
    brown = _brown_out(programs)[:, 1]
    by_length["short"] = np.maximum(by_length["short"], 0.3 * brown)
    return columns(*by_length.values())


def _shorted(table: CaseTable) -> list[int]:
    """Return the cases in which plus and minus of the power touch; those of data lines have no `dead` network."""
    kind = FaultKind.PAIR_SHORT
    return [n for n, case in enumerate(table.cases) if case.fault and case.fault.kind is kind and case.dead is not None]


def _brown_out(programs: Programs) -> Floats:
    """Return the chance of a brown-out: the block's voltage while the whole robot takes what it takes for moments."""
    alive, block = programs.lit.alive, next(iter(top_blocks(programs.plan.robot)), None)
    feed = None if block is None else next(fed_or_main(block), None)
    share = programs.table.flat(practice("software brown-out"))
    share[programs.table.software("brown-out", "")] = 1.0
    if feed is None:
        return columns(share)
    host = programs.host
    off_v = (host.part.number("outputs off below") if host is not None else None) or practice("works from")
    rest_v = alive.volts(*feed)
    main = next((c.current.value for c in programs.plan.circuits if c.circuit.kind is CircuitKind.MAIN), None)
    current_a = min(practice("match current"), main or math.inf)
    volts = rest_v - current_a * alive.ohms(*feed)
    # What has no voltage at all is no brown-out: it is off.
    sags = np.clip((off_v + 1 - volts) / 2, 0.0, 1.0) * (rest_v > practice("no volts"))
    shorted = _shorted(programs.table)
    sags[shorted] = np.maximum(sags[shorted], practice("short pulls down"))
    return columns(np.maximum(sags, share))
