"""The failure table: what may be lost, what it takes down, how that shows, what to do, what would remove it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from loomwright.catalogue.tables import table
from loomwright.hunting.robot.match_cost import drive_motors
from loomwright.proof.halts import halts
from loomwright.rulebook.lookup import called
from loomwright.wiring.result import CircuitKind
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from loomwright.hunting.robot.taken_down import Down
    from loomwright.hunting.robot.weak_points import WeakPoint
    from loomwright.plan.result import Plan

#: So many names are told; more are counted.
_NAMED: Final = 3
#: A robot that stands for less than this is not missed by anybody [s].
_SEEN_S: Final = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Failure:
    """A line of the table: weak points that are alike but for their names, such as four drive motors.

    `moment_s` and `stays_s` are what one of them costs [s of the whole robot], `expected_s` what all of them are
    expected to cost in 100 matches.
    """

    lost: str
    ends: int
    whole: str
    takes: str
    shows: tuple[str, ...]
    do: str
    remedies: tuple[str, ...]
    moment_s: float
    stays_s: float
    expected_s: float


def failures(plan: Plan, points: Sequence[WeakPoint]) -> tuple[Failure, ...]:
    """Return the table, what is expected to cost most first."""
    alike: dict[tuple[object, ...], list[WeakPoint]] = {}
    for point in points:
        alike.setdefault(_likeness(plan, point), []).append(point)
    found = [_failure(plan, held) for held in alike.values()]
    return tuple(sorted(found, key=lambda one: -round(one.expected_s, 9)))


def _likeness(plan: Plan, point: WeakPoint) -> tuple[object, ...]:
    """Return what two points must share to stand in one line; the joints of a chain do, where they cost the same."""
    circuits = [circuit for name in point.circuits if (circuit := plan.circuit(name)) is not None]
    cost = round(point.cost.stays_s, 6)
    if circuits and all(circuit.circuit.kind is CircuitKind.BUS for circuit in circuits):
        return (point.what, circuits[0].circuit.path, cost, point.whole if point.whole == "robot" else "")
    kinds = tuple(sorted({str(circuit.circuit.kind) for circuit in circuits}))
    sizes = tuple(map(len, (point.down.dark, point.down.missing, point.down.motors)))
    return (point.what, kinds, cost, round(point.cost.moment_s, 6), point.whole, sizes, point.ends, point.remedies)


def _failure(plan: Plan, held: list[WeakPoint]) -> Failure:
    worst = max(held, key=lambda one: len(one.down.missing) + len(one.down.dark))
    return Failure(
        lost=_lost(plan, held),
        ends=sum(one.ends for one in held),
        whole=next((one.whole for one in held if one.whole), ""),
        takes=_takes(plan, worst.down, many=len(held) > 1),
        shows=tuple(_shows(plan, worst, many=len(held) > 1)),
        do=_do(plan, held),
        remedies=worst.remedies,
        moment_s=worst.cost.moment_s,
        stays_s=worst.cost.stays_s,
        expected_s=sum(one.expected_s for one in held),
    )


def _lost(plan: Plan, held: list[WeakPoint]) -> str:
    """Name what is lost; joints of a chain that cost the same are counted."""
    of = _of(plan, held[0])
    if of == CircuitKind.BUS and len(held) > 1:
        return f"{held[0].name.partition(':')[0]}: any of {len(held)} joints"
    named = _table()[of][0]
    loads = list(dict.fromkeys(load for one in held for load in _loads(plan, one)))
    if of in (CircuitKind.BUS, CircuitKind.NETWORK, CircuitKind.MAIN):
        return "; ".join(named.format(circuit=one.name) for one in held)
    told = listed(loads, "or") if len(held) > 1 else listed(loads, "and")
    if len(loads) > _NAMED:
        told = f"{', '.join(loads[:_NAMED])} or {len(loads) - _NAMED} more"
    return named.format(load=told)


def _loads(plan: Plan, point: WeakPoint) -> tuple[str, ...]:
    """Return what the lost circuits feed, or the lost devices, as the robot file calls them."""
    circuits = [circuit for name in point.circuits if (circuit := plan.circuit(name)) is not None]
    return tuple(dict.fromkeys(called(plan, circuit.circuit.load) for circuit in circuits)) or point.seats


def _of(plan: Plan, point: WeakPoint) -> str:
    """Return the row of the table that a point falls under: the kind of its first circuit, or what it is."""
    circuit = plan.circuit(point.circuits[0]) if point.circuits else None
    if point.what == "protection":
        return "protection" if circuit is not None else "breaker"
    return str(circuit.circuit.kind) if circuit is not None else point.what


def _takes(plan: Plan, down: Down, *, many: bool) -> str:
    """Say what is down: all of it, the drive, or motors and devices by name where they are few."""
    if down.vital:
        dark = [name for name in down.vital if name in down.dark]
        return f"the whole robot: {listed(dark, 'and')} dark" if dark else "the whole robot: radio out of reach"
    drive = drive_motors(plan)
    motors = [f"motor {name}" for name in down.motors]
    if drive and set(drive) <= set(down.motors):
        motors = ["the whole drive", *(f"motor {name}" for name in down.motors if name not in drive)]
    drivers = {device.driven_by or device.id for device in plan.robot if device.id in down.motors}
    others = [name for name in (*down.dark, *down.missing) if name not in drivers]
    if many and len(motors) <= 1 and len(others) <= 1:
        return "its motor" if motors else "itself"
    told = [*_few(motors, "motors"), *_few(others, "other devices")]
    return ("at most " if many else "") + ", ".join(told)


def _few(names: list[str], what: str) -> list[str]:
    return names if len(names) <= _NAMED else [f"{len(names)} {what}"]


def _shows(plan: Plan, point: WeakPoint, *, many: bool) -> Iterator[str]:
    """Tell how it shows: for a moment, and while it lasts."""
    down = point.down
    if point.moments > 0:
        yield f"for a moment: {_moment(plan, point)}"
    dark = f"{_few_words(down.dark)} dark" if not many or len(down.dark) > 1 else "it is dark"
    out_of_reach = "radio lit, no link" if down.vital and not set(down.vital) & set(down.dark) else ""
    if down.dark or out_of_reach:
        yield f"for good: {'; '.join(word for word in (dark if down.dark else '', out_of_reach) if word)}"
    elif down.missing:
        yield "for good: lit, but not on the program's list"
    else:
        yield "for good: its controller lit, the motor still"


def _few_words(names: tuple[str, ...]) -> str:
    return ", ".join(names) if len(names) <= _NAMED else f"{names[0]} and all behind it"


def _moment(plan: Plan, point: WeakPoint) -> str:
    back_s = point.cost.back_after_s
    if point.down.vital and back_s >= _SEEN_S:
        halt = next(one for one in halts(plan) if one.to_s is None or back_s < one.to_s)
        if halt.to_s is None:
            return f"stands still {halt.from_s:g} s and more"
        return f"stands still {f'{halt.from_s:g} to' if halt.from_s else 'up to'} {halt.to_s:g} s"
    if point.down.missing:
        return "devices come and go on the program's list"
    return "it stutters" if point.down.motors else "it flickers"


def _do(plan: Plan, held: list[WeakPoint]) -> str:
    loads = _loads(plan, held[0])
    return _table()[_of(plan, held[0])][1].format(load=loads[0] if len(held) == 1 else "it")


@lru_cache(maxsize=1)
def _table() -> dict[str, tuple[str, str]]:
    return {row["of"]: (row["name"], row["words"]) for row in table("failure_do")}
