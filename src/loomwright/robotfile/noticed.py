"""What is worth a word about the data lines, plates and trunks of a robot file, where the rule book has none."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

from loomwright.findings import Finding, Place, Severity
from loomwright.model.fact import Saying, State
from loomwright.model.part import Role
from loomwright.robotfile.plates import TRUNK_FLAGS, plate_forms
from loomwright.wording import listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.model.device import Device
    from loomwright.model.fact import Claim, Fact
    from loomwright.model.mark import Mark
    from loomwright.model.robot import Robot
    from loomwright.robotfile.forms.form import RobotForm
    from loomwright.robotfile.forms.form_plates import TrunkForm

_FLAG_WORDS = {"sharp edge": "at a sharp edge", "signal only": "kept for signals"}
_SORTED_BY_CHANCE = 5
_SHOWN = 6
_BUS = (Role.BUS_IN, Role.BUS_OUT)


def notice(robot: Robot, form: RobotForm) -> tuple[Finding, ...]:
    """Return the questions that the data lines, plates and trunks of a robot file raise."""
    return (*_sorted_chains(robot), *_on_no_bus(robot), *_unsettled(robot), *_plates(form))


def _sorted_chains(robot: Robot) -> Iterator[Finding]:
    """Ask about a chain in which every number is above the one before: it may be sorted by id."""
    devices = {device.id: device for device in robot.devices}
    for bus in robot.buses:
        if bus.order.value is None or bus.order.state in (State.FITTED, State.TRACED):
            continue
        chain = [d for name in bus.order.value if (d := devices.get(name)) is not None]
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
    """Ask for what is open about a data line itself; the rule book asks about everything else."""
    for bus in robot.buses:
        facts = [(f"Where {bus.name} is terminated", "terminators", bus.terminators)]
        if bus.order.saying is not Saying.UNKNOWN:  # asked for with its ends
            facts.append((f"The order of {bus.name}", "order", bus.order))
        for what, key, fact in facts:
            if fact.asks or fact.state is State.GUESSED:
                yield _question(
                    fact,
                    _at(fact.mark or bus.mark, f"{bus.path}.{key}"),
                    f"{what} is {_doubt(fact)}.",
                    "Follow the data wires from device to device, and write what is really there.",
                )


def _plates(form: RobotForm) -> Iterator[Finding]:
    """Ask for what is open about plates and trunks; nothing is routed along a plate whose height is not known."""
    for name, plate in form.plates.items():
        fact = plate.height
        if fact.value is None or fact.state is State.GUESSED:
            lost = "; its trunks are left out till then" if fact.value is None else ""
            at = _at(fact.mark, f"{plate.branch.path}.height")
            what = f"How high {name} is above the base plate is {_doubt(fact)}{lost}."
            yield _question(fact, at, what, "Measure it, and write `height: ...`.")
    for _, any_plate in plate_forms(form):
        for name, trunk in any_plate.trunks.items():
            yield from _trunk(name, trunk)


def _trunk(name: str, trunk: TrunkForm) -> Iterator[Finding]:
    path = trunk.branch.path
    for flag in TRUNK_FLAGS:
        said: Fact[bool] = getattr(trunk, flag.replace(" ", "_"))
        if said.asks:
            yield Finding(
                "unknown",
                Severity.SHOULD,
                _at(said.mark, f"{path}.{flag}"),
                f"The file does not say whether {name} is {_FLAG_WORDS.get(flag, flag)}.",
                f"Look at it, and write `{flag}: yes` or `{flag}: no`.",
            )
    amounts = (
        ("capacity", trunk.capacity, "The bundle that {} lets through"),
        ("travel", trunk.travel, "How far {} travels"),
    )
    for key, fact, what in amounts:
        if (fact.said or fact.asks) and (fact.value is None or fact.state is State.GUESSED):
            at, fix = _at(fact.mark, f"{path}.{key}"), f"Measure it, and write `{key}: ...`."
            yield _question(fact, at, f"{what.format(name)} is {_doubt(fact)}.", fix)


def _question(fact: Fact[Any], place: Place, what: str, fix: str) -> Finding:
    code = "claims-disagree" if fact.saying is Saying.CLAIMS else "guessed" if fact.value is not None else "unknown"
    return Finding(code, Severity.SHOULD, place, what, fix)


def _doubt(fact: Fact[Any]) -> str:
    if fact.value is None and fact.said:
        return f"said to be {listed([_claimed(claim) for claim in fact.said])}"
    if fact.saying is Saying.NONE_FOUND:
        return "not known, although somebody looked"
    return "only guessed" if fact.said else f"{fact.saying} in the file"


def _claimed(claim: Claim[Any]) -> str:
    return f"{claim.written} ({claim.source})" if claim.source else claim.written


def _at(mark: Mark | None, thing: str) -> Place:
    return Place(mark.file, mark.line, mark.column, thing) if mark else Place(thing=thing)
