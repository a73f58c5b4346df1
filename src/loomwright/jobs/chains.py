"""Choose the order of data chains that the team leaves to the tool: the one with the least wire."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from loomwright.findings import Finding, Place, Severity
from loomwright.layout import chain_order
from loomwright.layout.places import place_of
from loomwright.model.fact import Fact
from loomwright.search import Effort
from loomwright.wording import listed, natural

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from loomwright.model.robot import Bus, Robot
    from loomwright.plan.memory import Memory
    from loomwright.search import Certificate, Watch

_SHOWN = 3
_ENDS = 2
_BUILT_IN = "built in"


@dataclass(frozen=True, slots=True)
class Chained:
    """The robot with every chain in order, what is proved of each order by the name of its bus, and questions."""

    robot: Robot
    certificates: Mapping[str, Certificate]
    findings: tuple[Finding, ...] = ()


def chained(robot: Robot, memory: Memory, *, current: bool, effort: Effort, watch: Watch) -> Chained:
    """Give an order to every chain that the file leaves to the tool.

    Distances are those along the plate's edges from place to place, up and down too. `current` tells that nothing has
    changed since the plan of `memory`, so that its orders stand.
    """
    buses: list[Bus] = []
    certificates: dict[str, Certificate] = {}
    findings: list[Finding] = []
    for bus in robot.buses:
        if not bus.shortest or bus.order.said:
            buses.append(bus)
            continue
        names = sorted((n for n in bus.members if _there(robot, n)), key=natural)
        lost = [n for n in names if _place(robot, n) is None]
        if lost or len(names) < 2:  # noqa: PLR2004  a chain joins two things
            findings += [_no_place(bus, [_called(robot, name) for name in lost])] if lost else []
            buses.append(bus)
            continue
        known = memory.certificates.get(f"chain {bus.name}") if current else None
        kept = _kept_order(bus, names, memory) if known is not None else None
        if kept is not None and known is not None and (known.proved or effort is not Effort.PROVE):
            order, certificate = kept, known
        else:
            order, certificate = _shortest(robot, bus, names, effort, watch)
        certificates[bus.name] = certificate
        buses.append(replace(bus, order=Fact.of(tuple(order), bus.mark)))
    return Chained(replace(robot, buses=tuple(buses)), certificates, tuple(findings))


def _shortest(
    robot: Robot, bus: Bus, names: Sequence[str], effort: Effort, watch: Watch
) -> tuple[tuple[str, ...], Certificate]:
    places = [_place(robot, name) or (0.0, 0.0, 0.0) for name in names]
    ends = tuple(names.index(name) for name in _ends(robot, bus, names))
    order, certificate = chain_order(places, ends=ends, effort=effort, watch=watch)
    return tuple(names[i] for i in order), certificate


def _ends(robot: Robot, bus: Bus, names: Sequence[str]) -> list[str]:
    """Return who has to stand at an end: as said, and whoever has a terminator that can't be switched off."""
    said = [name for name in bus.ends if name in names]
    always = [name for name in names if _ends_by_itself(robot, name)]
    both = list(dict.fromkeys([*said, *always]))
    # Where that is more than two, no order is right, and the rule book says so.
    return both if len(both) <= _ENDS else said


def _ends_by_itself(robot: Robot, name: str) -> bool:
    device = robot.device(name)
    return device is not None and any(socket.terminator == _BUILT_IN for socket in device.part.sockets)


def _kept_order(bus: Bus, names: Sequence[str], memory: Memory) -> tuple[str, ...] | None:
    """Read the order of the last plan out of its hops; None where they are not one chain of these devices."""
    after = {
        wire.a.device: wire.b.device
        for (circuit, _), wire in memory.kept_wires.items()
        if circuit.startswith(f"{bus.name}: ")
    }
    starts = [name for name in after if name not in after.values()]
    if len(starts) != 1:
        return None
    order = [starts[0]]
    while order[-1] in after and len(order) <= len(names):
        order.append(after[order[-1]])
    return tuple(order) if sorted(order, key=natural) == list(names) else None


def _there(robot: Robot, name: str) -> bool:
    device = robot.device(name)
    return device is not None and not device.absent


def _place(robot: Robot, name: str) -> tuple[float, float, float] | None:
    device = robot.device(name)
    return place_of(robot, device) if device is not None else None


def _called(robot: Robot, name: str) -> str:
    device = robot.device(name)
    return device.called if device is not None else name


def _no_place(bus: Bus, lost: Sequence[str]) -> Finding:
    shown = [*lost[:_SHOWN], *([f"{len(lost) - _SHOWN} more"] if len(lost) > _SHOWN else [])]
    return Finding(
        "chain-without-places",
        Severity.SHOULD,
        Place(bus.mark.file, bus.mark.line, bus.mark.column, bus.path),
        f"The shortest order of {bus.name} can't be found: {listed(shown, 'and')} "
        f"{'has' if len(lost) == 1 else 'have'} no place.",
        "Give them a place with `at:`, or write the `order:` of the chain yourself.",
        asks=True,
    )
