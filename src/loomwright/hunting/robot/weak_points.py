"""Weak points: what one lost end, wire, protection or device takes down, what that costs, and what would help."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.hunting.robot.cases import CaseTable, cases_of
from loomwright.hunting.robot.chain import Programs
from loomwright.hunting.robot.faults import FaultKind, RobotFault, faults_of
from loomwright.hunting.robot.history import by_place
from loomwright.hunting.robot.lit import Lit
from loomwright.hunting.robot.match_cost import drive_motors, match_cost
from loomwright.hunting.robot.measured import alive_of
from loomwright.hunting.robot.remedies import remedies_of
from loomwright.hunting.robot.robot_hunt import NoBatteryError
from loomwright.hunting.robot.taken_down import Down, taken_down
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from loomwright.hunting.robot.match_cost import Cost
    from loomwright.hunting.robot.robot_hunt import RobotHunt
    from loomwright.plan.result import Plan, PlannedEnd, PlannedWire

MATCHES: Final = 100
_STAYS: Final = (FaultKind.OPEN, FaultKind.BROKEN, FaultKind.OUT, FaultKind.OFF, FaultKind.DEAD, FaultKind.OUTPUTS_OFF)
_MOMENTS: Final = {FaultKind.SHAKY: FaultKind.OPEN, FaultKind.SHAKY_WIRE: FaultKind.BROKEN}


@dataclass(frozen=True, slots=True, kw_only=True)
class WeakPoint:
    """Places of which each one takes down the same: ends and wires, protections, or devices (`what` says which).

    `seats` are their names in a hunt, `ends` how many of them are ends, and `by_seat` the share of each in what is
    expected to be lost [s]. `moments` and `stays` are how often one of them
    opens for a moment, or for good, in 100 matches; `expected_s` is what that costs in them [s of the whole robot].
    `whole` names what it takes down whole: "robot", "drive" or "".
    """

    what: str
    seats: tuple[str, ...]
    by_seat: tuple[tuple[str, float], ...]
    circuits: tuple[str, ...]
    wires: tuple[str, ...]
    ends: int
    down: Down
    whole: str
    cost: Cost
    moments: float
    stays: float
    expected_s: float
    remedies: tuple[str, ...]

    @property
    def name(self) -> str:
        """What it is in a few words: "radio: 2 ends", "breaker of lift"."""
        return ", ".join(self.circuits or self.seats)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Loss:
    """One way to lose something: the fault, what it takes down, how often in one match."""

    fault: RobotFault
    down: Down
    often: float

    @property
    def what(self) -> str:
        if self.fault.wire:
            return "ends"
        return "protection" if self.fault.kind in (FaultKind.OUT, FaultKind.OFF) else "device"


def weak_points(plan: Plan) -> tuple[WeakPoint, ...]:
    """Return the weak points of a plan's robot, what is expected to cost most first.

    Raises
    ------
    NoBatteryError
        The battery's part does not state what it rests at.
    """
    faults = tuple(fault for fault in faults_of(plan) if fault.kind in _STAYS or fault.kind in _MOMENTS)
    cases = cases_of(plan, faults)
    alive = alive_of(plan, cases)
    if alive is None:
        raise NoBatteryError("The battery's part does not state at which voltage it rests.")
    table = CaseTable(cases)
    return _ranked(plan, Programs(plan, table, Lit(plan, table, alive)))


def weak_points_of(robot: RobotHunt) -> tuple[WeakPoint, ...]:
    """Return the same of a hunt that is there already."""
    if robot.networks.alive is None:
        return ()
    table = CaseTable(robot.cases)
    return _ranked(robot.plan, Programs(robot.plan, table, Lit(robot.plan, table, robot.networks.alive)))


def _ranked(plan: Plan, programs: Programs) -> tuple[WeakPoint, ...]:
    groups: dict[tuple[str, Down], list[_Loss]] = {}
    for loss in _losses(plan, programs):
        if not loss.down.nothing:
            groups.setdefault((loss.what, loss.down), []).append(loss)
    found = [_point(plan, what, down, losses) for (what, down), losses in groups.items()]
    return tuple(sorted(found, key=lambda one: (-round(one.expected_s, 9), natural(one.seats[0]))))


def _losses(plan: Plan, programs: Programs) -> Iterator[_Loss]:
    """Give every fault that opens something; a shaky one takes down for a moment what an open one does."""
    down = taken_down(programs)
    wires = {wire.id: wire for wire in plan.wires}
    lasting: dict[tuple[FaultKind, str], Down] = {
        (case.fault.kind, case.fault.seat): down[place]
        for place, case in enumerate(programs.table.cases)
        if case.fault is not None and case.fault.kind in _STAYS
    }
    once = {case.fault.key: case.fault for case in programs.table.cases if case.fault is not None}
    for fault in once.values():
        found = lasting.get((_MOMENTS.get(fault.kind, fault.kind), fault.seat))
        if found is not None:
            yield _Loss(fault=fault, down=found, often=fault.per_match * _raised(plan, wires, fault))


def _raised(plan: Plan, wires: Mapping[str, PlannedWire], fault: RobotFault) -> float:
    """Return by how much an end's place raises how often it opens."""
    factor = 1.0
    if fault.end:
        for amount, _ in by_place(plan, wires[fault.wire], _end(wires[fault.wire], fault.end)):
            factor *= amount
    return factor


def _end(wire: PlannedWire, letter: str) -> PlannedEnd:
    return wire.a if letter == "A" else wire.b


def _point(plan: Plan, what: str, down: Down, losses: list[_Loss]) -> WeakPoint:
    cost = match_cost(plan, down)
    moments = MATCHES * sum(one.often for one in losses if one.fault.kind in _MOMENTS)
    stays = MATCHES * sum(one.often for one in losses if one.fault.kind in _STAYS)
    by_seat: dict[str, float] = {}
    for one in losses:
        lost_s = cost.moment_s if one.fault.kind in _MOMENTS else cost.stays_s
        by_seat[one.fault.seat] = by_seat.get(one.fault.seat, 0.0) + MATCHES * one.often * lost_s
    wires = tuple(dict.fromkeys(one.fault.wire for one in losses if one.fault.wire))
    of = {wire.id: wire.circuit for wire in plan.wires}
    return WeakPoint(
        what=what,
        seats=tuple(by_seat),
        by_seat=tuple(by_seat.items()),
        circuits=tuple(dict.fromkeys([of[wire] for wire in wires] + [f.circuit for f in _of_circuits(losses)])),
        wires=wires,
        ends=len({one.fault.seat for one in losses if one.fault.end}),
        down=down,
        whole=_whole(plan, down),
        cost=cost,
        moments=moments,
        stays=stays,
        expected_s=sum(by_seat.values()),
        remedies=remedies_of(plan, what, tuple(one.fault for one in losses), down),
    )


def _of_circuits(losses: list[_Loss]) -> list[RobotFault]:
    return [one.fault for one in losses if one.fault.circuit]


def _whole(plan: Plan, down: Down) -> str:
    """Tell whether it is a single point of failure of the whole robot, or of the whole drive."""
    if down.vital:
        return "robot"
    drive = drive_motors(plan)
    return "drive" if drive and set(drive) <= set(down.motors) else ""
