"""What is worth a word when a robot file is read, and belongs to no device: builds, chains, buses, the whole robot."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

from loomwright.findings import Finding, Place, Severity
from loomwright.model.fact import Saying, State
from loomwright.model.part import Role
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.device import Device
    from loomwright.model.fact import Fact
    from loomwright.model.mark import Mark
    from loomwright.model.robot import Robot

_SORTED_BY_CHANCE = 5
_SHOWN = 6
_BUS = (Role.BUS_IN, Role.BUS_OUT)


def notice(robot: Robot) -> tuple[Finding, ...]:
    """Return the questions that a robot file raises by itself."""
    return (*_differs(robot), *_sorted_chains(robot), *_on_no_bus(robot), *_unsettled(robot))


def _differs(robot: Robot) -> Iterator[Finding]:
    for remark in robot.remarks:
        if remark.topic == "build differs":
            yield Finding(
                "build-differs",
                Severity.SHOULD,
                _at(remark.mark, f"builds.{remark.subject}.differs"),
                f"How the build {remark.subject} differs from the design is not written down: {remark.text}.",
                "Compare the two, write what differs under `change`, `without` and `add`, and take `differs` out.",
            )


def _sorted_chains(robot: Robot) -> Iterator[Finding]:
    """Ask about a chain in which every number is above the one before: it may be sorted by id."""
    for bus in robot.buses:
        if bus.order.value is None or bus.order.state in (State.FITTED, State.TRACED):
            continue
        chain = [d for name in bus.order.value if (d := robot.device(name)) is not None]
        numbers = [d.key.number.value for d in chain if d.key.number.value is not None]
        if len(numbers) >= _SORTED_BY_CHANCE and all(one < other for one, other in pairwise(numbers)):
            yield Finding(
                "chain-sorted-by-id",
                Severity.CONSIDER,
                _at(bus.order.mark or bus.mark, f"{bus.path}.order"),
                f"{bus.name} lists its devices by their numbers, from {numbers[0]} to {numbers[-1]}.",
                "List them in the order in which the cable runs from one to the next. If it really runs so, write "
                "`order: {value: [...], state: traced}`.",
            )


def _on_no_bus(robot: Robot) -> Iterator[Finding]:
    """Ask about things that are on no data bus although they have a number there, or nothing else to say."""
    on_one = {name for bus in robot.buses for name in bus.members}
    lost = [
        d
        for d in robot
        if d.id not in on_one and d.key.bus.open_to_decide and (d.key.number.said or _talks_on_bus_only(d))
    ]
    if not lost:
        return
    buses = [bus.name for bus in robot.buses if bus.kind == "bus"]
    told = [d.called for d in lost]
    shown = listed(told if len(told) <= _SHOWN else [*told[:_SHOWN], f"{len(told) - _SHOWN} more"], "and")
    where = f"put it into the list of {listed(buses)}" if buses else "write the chain, `data: {main chain: [...]}`"
    yield Finding(
        "on-no-bus",
        Severity.SHOULD,
        _at(lost[0].key.number.mark or lost[0].mark, lost[0].path),
        f"The file does not say which data bus {shown} {'is' if len(told) == 1 else 'are'} on.",
        f"Follow the data wires and {where}; where the order is not known, write `bus: ...` at the thing.",
    )


def _talks_on_bus_only(device: Device) -> bool:
    """Tell whether a sensor has a bus and no other way to say what it senses."""
    roles = {socket.role for socket in device.part.sockets}
    return device.kind == "sensor" and not device.part.family and bool(roles & set(_BUS)) and not device.hookup.on.mark


def _unsettled(robot: Robot) -> Iterator[Finding]:
    """Ask for what is open about all wires, a chain's list, or a mechanism's work; the rule book asks about devices."""
    for path, what, fact in _loose_facts(robot):
        if not (fact.asks or fact.state is State.GUESSED):
            continue
        told = fact.describe() if fact.said else f"said to be {fact.saying}"
        yield Finding(
            str(fact.saying).replace(" ", "-") if fact.asks else "guessed",
            Severity.SHOULD,
            _at(fact.mark, path),
            f"{what} is {_doubt(fact, told)}.",
            "Find out and write it down; until then the plan goes on without it.",
        )


def _doubt(fact: Fact[Any], told: str) -> str:
    if fact.saying is Saying.CLAIMS:
        return f"said to be {listed([claim.written for claim in fact.said])}"
    return "only guessed" if fact.saying is Saying.VALUE else told


def _loose_facts(robot: Robot) -> Iterator[tuple[str, str, Fact[Any]]]:
    house = robot.house
    for name in type(house).__dataclass_fields__:
        words = name.replace("_", " ")
        yield f"wires.{words}", f"The {words} of all wires", getattr(house, name)
    for mechanism in robot.mechanisms:
        does: dict[str, Fact[Any]] = {"kind": mechanism.kind, **mechanism.does}
        for name, fact in does.items():
            yield f"{mechanism.path}.does.{name}", f"The {name} of {mechanism.name}", fact
    for bus in robot.buses:
        if bus.order.saying in (Saying.CLAIMS, Saying.VALUE):
            yield f"{bus.path}.order", f"The order of {bus.name}", bus.order
        yield f"{bus.path}.terminators", f"Where {bus.name} is terminated", bus.terminators


def _at(mark: Mark | None, thing: str) -> Place:
    return Place(mark.file, mark.line, mark.column, thing) if mark else Place(thing=thing)
