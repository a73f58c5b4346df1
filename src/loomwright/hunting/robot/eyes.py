"""What eyes, ears and hands find in every case: lights, lists, what was told of the match, tugs and wiggles."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from loomwright.electrical.bus import chains
from loomwright.hunting.robot.faults import (
    FaultKind,
    has_light,
    has_protection,
    is_fuse,
    moving_trunks,
)
from loomwright.hunting.robot.lit import feed_wires
from loomwright.hunting.robot.meters import fed_or_main
from loomwright.hunting.robot.motors import driven, motors
from loomwright.hunting.robot.practice import practice
from loomwright.hunting.robot.shown import Shown, columns
from loomwright.model.part import PortKind
from loomwright.wiring.battery_path import top_blocks
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy.typing as npt

    from loomwright.hunting.robot.chain import Programs
    from loomwright.plan.result import PlannedCircuit, PlannedEnd, PlannedWire

    Floats: TypeAlias = npt.NDArray[np.float64]

_LENGTHS = ((10.0, "short"), (40.0, "computer"), (60.0, "long"))
_HALF = 0.5
_SURE = 0.95
_NUTS = (PortKind.POST, PortKind.STUD)


def eye_checks(programs: Programs) -> Iterator[Shown]:
    """Give every check that takes no meter."""
    yield from _lights(programs)
    yield from _lists(programs)
    yield from _motors(programs)
    yield from _told(programs)
    yield from _protections(programs)
    yield from _numbers(programs)
    yield from _hands(programs)


def _lights(programs: Programs) -> Iterator[Shown]:
    table = programs.table
    for device in programs.plan.robot:
        if not has_light(device):
            continue
        power = programs.lit.of(device)
        dark = 1 - power.has - power.flickers
        odd = table.flat(practice("software odd"))
        gone = table.of(FaultKind.DEAD, device.id)
        dark[gone], odd[gone] = practice("dead is dark"), practice("dead is odd")
        odd[table.of(FaultKind.WET, device.id)] = practice("wet is odd")
        listed = programs.listed(device)
        if listed is not None and device.kind in ("controller", "motor"):
            odd = np.maximum(odd, practice("no command is odd") * (1 - listed.there) * power.has)
        yield Shown(kind="look", about=device.id, place=device.id, chances=columns(odd, power.flickers, dark))


def _lists(programs: Programs) -> Iterator[Shown]:
    for device in programs.plan.robot:
        listed = programs.listed(device)
        if listed is None:
            continue
        missing = np.clip(1 - listed.there - listed.unsteady, 0.0, 1.0)
        missing = missing + practice("software unseen") * (1 - missing)
        yield Shown(kind="seen", about=device.id, place=device.id, chances=columns(listed.unsteady, missing))


def _motors(programs: Programs) -> Iterator[Shown]:
    for motor, driver in motors(programs.plan):
        found = driven(programs, motor, driver)
        yield Shown(kind="run", about=motor.id, place=motor.id, chances=found.tried)
        yield Shown(kind="drove", about=motor.id, place=motor.id, chances=found.match)


def _told(programs: Programs) -> Iterator[Shown]:
    """Give what people tell of the match."""
    table = programs.table
    yield Shown(kind="halt", about="", place="", chances=_halts(programs))
    yield Shown(kind="brown-out", about="", place="", chances=_brown_out(programs))
    for what, plain in (("hit", "hit"), ("battery", "battery"), ("work", "work")):
        share = table.flat(practice(plain))
        touched = _touched_by(programs, what)
        share[touched] = np.minimum(3 * practice(plain), _SURE)
        yield Shown(kind=f"since {what}", about="", place="", chances=columns(share))


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
    by_length = {name: table.flat(practice("software halts") / 4) for name in ("short", "computer", "long", "rest")}
    for device in plan.robot:
        back_s = device.part.number("recovery time")
        if back_s is None:
            continue
        length = next((name for most_s, name in _LENGTHS if back_s <= most_s), "rest")
        stops = 1.0 if device.kind in ("computer", "radio", "network") else practice("shaky flickers")
        here = by_length[length]
        shaky = table.shaky(*feed_wires(plan, device))
        here[shaky] = np.maximum(here[shaky], practice("shaky shows") * stops)
        power = programs.lit.of(device)
        gone = 1 - power.has
        by_length["rest"] = np.maximum(by_length["rest"], gone * stops * 0.8)
    brown = _brown_out(programs)[:, 1]
    by_length["short"] = np.maximum(by_length["short"], 0.3 * brown)
    return columns(*by_length.values())


def _brown_out(programs: Programs) -> Floats:
    """Return the chance of a brown-out: the block's voltage while the whole robot takes what it takes for moments."""
    alive, block = programs.lit.alive, next(iter(top_blocks(programs.plan.robot)), None)
    feed = None if block is None else next(fed_or_main(block), None)
    share = programs.table.flat(practice("software brown-out"))
    if feed is None:
        return columns(share)
    host = programs.host
    off_v = (host.part.number("outputs off below") if host is not None else None) or practice("works from")
    rest_v = alive.volts(*feed)
    volts = rest_v - practice("match current") * alive.ohms(*feed)
    sags = np.clip((off_v + 1 - volts) / 2, 0.0, 1.0) * (rest_v > off_v)
    return columns(np.maximum(sags, share))


def _protections(programs: Programs) -> Iterator[Shown]:
    """Give breakers and fuses, and the slots that they are in."""
    table, plan = programs.table, programs.plan
    for circuit in plan.circuits:
        if not has_protection(circuit):
            continue
        out, short = table.of(FaultKind.OUT, f"protection of {circuit.id}"), table.of(FaultKind.PAIR_SHORT, circuit.id)
        opened, warm = table.flat(), table.flat(0.01)
        opened[out], opened[short] = _SURE, practice("breaker acts")
        if is_fuse(plan, circuit):
            yield Shown(kind="fuse", about=circuit.id, place=_slot(circuit), chances=columns(opened))
        else:
            opened[short], warm[short] = practice("breaker acts") / 2, practice("breaker acts") / 2
            warm[table.at_ends(FaultKind.LOOSE, *(wire.id for wire in circuit.wires))] = 0.2
            yield Shown(
                kind="breaker",
                about=circuit.id,
                place=_slot(circuit),
                chances=columns(warm, opened),
            )
        other = table.flat(practice("another number") / 4)
        other[table.of(FaultKind.WRONG_SLOT, circuit.id)] = _SURE
        yield Shown(kind="slot", about=circuit.id, place=_slot(circuit), chances=columns(other))
    for breaker in (device for device in plan.robot if device.kind == "breaker"):
        opened, warm = table.flat(), table.flat(0.02)
        opened[table.of(FaultKind.OFF, breaker.id)] = _SURE
        ends = [w.id for w in plan.wires if breaker.id in (w.a.device, w.b.device)]
        warm[table.at_ends(FaultKind.LOOSE, *ends)] = practice("warm shows")
        yield Shown(kind="breaker", about=breaker.id, place=breaker.id, chances=columns(warm, opened))


def _numbers(programs: Programs) -> Iterator[Shown]:
    """Give the numbers on the chains, and what is wet or burnt."""
    table = programs.table
    on_chain = {device.id for chain in chains(programs.plan) for device in chain.devices}
    for device in programs.plan.robot:
        if device.id in on_chain and device.kind not in ("computer", "terminator"):
            factory, other = table.flat(practice("another number") / 10), table.flat(practice("another number") / 10)
            factory[table.of(FaultKind.FACTORY_ID, device.id)] = _SURE
            other[table.of(FaultKind.DOUBLE_ID, device.id)] = _SURE
            yield Shown(kind="id", about=device.id, place=device.id, chances=columns(factory, other))
        wet, dead = table.of(FaultKind.WET, device.id), table.of(FaultKind.DEAD, device.id)
        if wet or dead:
            burnt = table.flat(0.001)
            burnt[wet + dead] = practice("burnt shows")
            yield Shown(kind="smell", about=device.id, place=device.id, chances=columns(burnt))
        if wet:
            dirty = table.flat(0.01)
            dirty[wet] = _SURE
            yield Shown(kind="clean", about=device.id, place=device.id, chances=columns(dirty))


def _hands(programs: Programs) -> Iterator[Shown]:
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
    for trunk in (trunk for trunk in plan.robot.trunks if trunk.moving):
        inside = [wire.id for wire in plan.wires if trunk.name in moving_trunks(plan, wire)]
        if inside:
            changes = table.flat(0.01)
            changes[table.of(FaultKind.SHAKY_WIRE, *inside)] = practice("flex shows")
            changes[table.at_ends(FaultKind.SHAKY, *inside)] = practice("wiggle other end")
            yield Shown(kind="flex", about=trunk.name, place=trunk.name, chances=columns(changes))


def reachable(end: PlannedEnd) -> bool:
    """Tell whether somebody made an end, so that it can be looked at and tugged."""
    return end.port is not None and end.treatment is not None


def _tug(programs: Programs, wire: PlannedWire, end: PlannedEnd) -> Shown:
    table, about = programs.table, f"{wire.id} {end.letter}"
    moves, off = table.flat(0.02), table.flat(0.002)
    shows, loose = practice("tug shows"), practice("tug shows loose")
    off[table.of(FaultKind.OPEN, about)] = shows
    for kind, chance in ((FaultKind.POOR, shows), (FaultKind.SHAKY, shows), (FaultKind.LOOSE, loose)):
        moves[table.of(kind, about)] = chance
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
    changes = table.flat(0.01)
    changes[table.of(FaultKind.SHAKY, about)] = practice("wiggle shows")
    changes[table.of(FaultKind.SHAKY, other)] = practice("wiggle other end")
    for kind in (FaultKind.OPEN, FaultKind.POOR):
        changes[table.of(kind, about)] = 0.3
    return Shown(kind="wiggle", about=about, place=f"{about}, {end.where}", chances=columns(changes))


def _slot(circuit: PlannedCircuit) -> str:
    return f"{circuit.id}, slot {circuit.slot.value} of {circuit.source}"
