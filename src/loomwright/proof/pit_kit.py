"""The pit kit weighed by what goes wrong: the spare that saves most of a match comes first, and says so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.proof.spares import Spare, spares
from loomwright.wiring.result import CircuitKind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.hunting.robot.weak_points import WeakPoint
    from loomwright.plan.result import Plan

#: So many things are named in a reason.
_NAMED: Final = 2


@dataclass(frozen=True, slots=True)
class Carried:
    """A spare with what is expected to be lost in 100 matches where it would be needed [s of the whole robot].

    `why` is its reason, and what stands still without it.
    """

    spare: Spare
    lost_s: float
    why: str


def pit_kit(plan: Plan, points: Sequence[WeakPoint]) -> tuple[Carried, ...]:
    """Return the spares of a plan, the one first where most is expected to be lost; the rest in the usual order."""
    held = [_carried(plan, spare, points) for spare in spares(plan)]
    return tuple(sorted(held, key=lambda one: -round(one.lost_s, 9)))


def _carried(plan: Plan, spare: Spare, points: Sequence[WeakPoint]) -> Carried:
    lost_s = sum(lost for point in points for seat, lost in point.by_seat if seat in spare.mends)
    stops = [point for point in points if point.whole and not spare.mends.isdisjoint(point.seats)]
    if not stops:
        return Carried(spare, lost_s, spare.reason)
    names = list(dict.fromkeys(_name(plan, point) for point in stops))
    what = "the robot" if any(point.whole == "robot" for point in stops) else "the drive"
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    where = ", ".join(names[:_NAMED])
    return Carried(spare, lost_s, f"{spare.reason}; {what} stands still when it fails at: {where}{more}")


def _name(plan: Plan, point: WeakPoint) -> str:
    circuit = plan.circuit(point.circuits[0]) if point.circuits else None
    return "the battery path" if circuit and circuit.circuit.kind is CircuitKind.MAIN else point.name
