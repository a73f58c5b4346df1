"""What would remove a weak point or make it rarer, by rules over what is lost and what it takes down."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Final

from loomwright.catalogue.tables import table
from loomwright.electrical.bus import chains
from loomwright.hunting.robot.chain import chain_wires
from loomwright.hunting.robot.faults import FaultKind, moving_trunks
from loomwright.hunting.robot.match_cost import drive_motors
from loomwright.model.part import PortKind
from loomwright.rulebook.lookup import feeds, is_fed, power_path
from loomwright.wiring.battery_path import top_blocks
from loomwright.wiring.result import CircuitKind
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.hunting.robot.faults import RobotFault
    from loomwright.hunting.robot.taken_down import Down
    from loomwright.model.device import Device
    from loomwright.plan.result import Plan, PlannedEnd, PlannedWire

#: No more than so many are told of one point, the first of the table first.
_MOST: Final = 2
_NUTS: Final = (PortKind.POST, PortKind.STUD)
#: So many devices behind one joint of a chain ask for a second chain.
_MANY: Final = 4
_TWO: Final = 2


def remedies_of(plan: Plan, what: str, faults: tuple[RobotFault, ...], down: Down) -> tuple[str, ...]:
    """Return what would help, in words, what helps most first; `what` is "ends", "protection" or "device"."""
    told = dict(_rules(plan, what, faults, down))
    ordered = [words.format_map(told[rule]) for rule, words in _words().items() if rule in told]
    return tuple(ordered[:_MOST])


def _rules(
    plan: Plan, what: str, faults: tuple[RobotFault, ...], down: Down
) -> Iterator[tuple[str, dict[str, object]]]:
    """Give the rules that hold here, with the words that they ask for."""
    if what == "ends":
        wires = {wire.id: wire for wire in plan.wires}
        held = [wires[name] for name in dict.fromkeys(fault.wire for fault in faults)]
        ends = [_end(wires[fault.wire], fault.end) for fault in faults if fault.end]
        yield from _of_ends(plan, held, ends)
        yield from _of_chain(plan, held, down)
    elif what == "protection":
        yield ("button" if any(fault.kind is FaultKind.OFF for fault in faults) else "rating"), {}
    else:
        yield "spare", {}
    yield from _of_feed(plan, down)


def _of_ends(plan: Plan, wires: list[PlannedWire], ends: list[PlannedEnd]) -> Iterator[tuple[str, dict[str, object]]]:
    if any(_friction_only(end) for end in ends):
        yield "friction", {}
    if moving := list(dict.fromkeys(name for wire in wires for name in moving_trunks(plan, wire))):
        yield "moving", {"place": listed(moving, "and")}
    ports = [end.port for end in ends if end.port is not None]
    if any(port.kind in _NUTS for port in ports):
        yield "nuts", {}
    elif any(wire.kind is CircuitKind.NETWORK for wire in wires):
        yield "latch", {}
    else:
        yield ("look" if any(port.on_board for port in ports) else "hold"), {}


def _of_chain(plan: Plan, wires: list[PlannedWire], down: Down) -> Iterator[tuple[str, dict[str, object]]]:
    """Tell of an open joint of a chain: what stands before the drive, and how many devices lie behind."""
    names = {wire.id for wire in wires}
    for chain in chains(plan):
        if not names & set(chain_wires(chain)):
            continue
        place = {"place": chain.bus.name, "many": len(down.missing)}
        drive = {driver for motor in drive_motors(plan) for driver in (motor, _driver(plan, motor))}
        on_it = [device.id for device in chain.devices if device.kind not in ("computer", "terminator", "block")]
        before = [name for name in on_it if name not in down.missing and name not in drive]
        if set(down.missing) & drive and before:
            yield "drive first", place
        if len(down.missing) >= _MANY:
            yield "second chain", place


def _of_feed(plan: Plan, down: Down) -> Iterator[tuple[str, dict[str, object]]]:
    """Tell of one feed that carries several things, below the main block."""
    tops = {block.id for block in top_blocks(plan.robot)}
    if tops & set(down.dark):
        return
    for name in down.dark:
        loads = list(dict.fromkeys(c.circuit.load for c in plan.circuits if c.source == name and is_fed(c)))
        moved = _mechanisms(plan, down) if name not in _drivers(plan) else ()
        if len(moved) >= _TWO and len(loads) >= _TWO:
            yield "two mechanisms", {"what": listed(moved, "and")}
        for vital in down.vital:
            if len(loads) >= _TWO and name in {
                circuit.source for circuit in power_path(plan, _between(plan, vital, down))
            }:
                yield "own feed", {"device": _between(plan, vital, down), "source": name}


def _between(plan: Plan, vital: str, down: Down) -> str:
    """Return what needs the feed: the vital device, or the dark network device without which it is out of reach."""
    if vital in down.dark:
        return vital
    switches = [name for name in down.dark if _kind(plan, name) == "network"]
    return next(iter(switches), vital)


def _mechanisms(plan: Plan, down: Down) -> tuple[str, ...]:
    found = (plan.robot.device(name) for name in down.motors)
    return tuple(dict.fromkeys(device.mechanism for device in found if device is not None and device.mechanism))


def _drivers(plan: Plan) -> set[str]:
    return {_driver(plan, device.id) for device in plan.robot if device.kind == "motor"}


def _driver(plan: Plan, motor: str) -> str:
    device = plan.robot.device(motor)
    return device.driven_by if device is not None and device.driven_by else motor


def _kind(plan: Plan, name: str) -> str:
    device: Device | None = plan.robot.device(name)
    return device.kind if device is not None and feeds(plan, name) else ""


def _friction_only(end: PlannedEnd) -> bool:
    by_treatment = end.treatment is not None and end.treatment.friction_only
    return by_treatment or (end.port is not None and end.port.friction_only)


def _end(wire: PlannedWire, letter: str) -> PlannedEnd:
    return wire.a if letter == "A" else wire.b


@lru_cache(maxsize=1)
def _words() -> dict[str, str]:
    return {row["rule"]: row["words"] for row in table("hunt_remedy")}
