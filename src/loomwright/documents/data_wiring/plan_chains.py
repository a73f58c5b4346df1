"""Tell the Data drawing of the chains of a plan: who follows whom, with which id, and how the two ends are closed."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from loomwright.documents.data_wiring.plan_wires import data_wire
from loomwright.documents.data_wiring.sheet import DataChain, DataPlace, DataTerminator, Ending
from loomwright.model.fact import Saying, State
from loomwright.proof.on_paper import on_paper
from loomwright.units import Dimension, show
from loomwright.wiring.result import CircuitKind
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.robot import Bus
    from loomwright.plan.result import Plan, PlannedCircuit

_OHMS: Final = "terminator resistance"
_BUILT_IN: Final = "built in"
_SWITCH: Final = "switch"
#: Kinds that have no number on a bus unless the file gives them one.
_NUMBERLESS: Final = ("computer", "terminator")
#: Kinds that have one even where the part does not name its type on the bus: families known only by their ports.
_NUMBERED: Final = ("controller", "motor", "sensor", "pneumatics")
_TWICE: Final = "bus-id-used-twice"
_FACTORY: Final = "factory-id"


def chains(plan: Plan) -> Iterator[DataChain]:
    """Give every chain by name, with its devices in order or, where the order is not known, by name."""
    for bus in sorted(plan.robot.buses, key=lambda bus: natural(bus.name)):
        if bus.kind != "bus":
            continue
        names = bus.order.value if bus.order.value is not None else _members(plan, bus)
        devices = [d for name in names if (d := plan.robot.device(name)) is not None and not d.absent]
        yield _unordered(plan, bus, devices) if bus.order.value is None else _ordered(plan, bus, devices)


def _members(plan: Plan, bus: Bus) -> list[str]:
    """Return by name who is on a chain without an order: its members, and who is said to have a terminator on it."""
    told = dict.fromkeys((*bus.members, *(bus.terminators.value or ())))
    return sorted(told, key=lambda name: _by_name(plan, name))


def _by_name(plan: Plan, name: str) -> tuple[tuple[tuple[int, int, str], ...], str]:
    device = plan.robot.device(name)
    return natural(device.called if device is not None else name), name


def _ordered(plan: Plan, bus: Bus, devices: list[Device]) -> DataChain:
    hops = tuple(_hop(plan, bus, one, other) for one, other in pairwise(devices))
    held = [_ends_of(hop) for hop in hops]
    last = len(devices) - 1
    places = tuple(
        _place(
            plan,
            bus,
            device,
            devices,
            inside=0 < i < last,
            inlet=held[i - 1][1] if i else "",
            outlet=held[i][0] if i < last else "",
        )
        for i, device in enumerate(devices)
    )
    start = _terminator(bus, devices[0]) if devices else None
    end = _terminator(bus, devices[-1]) if last > 0 else None
    return DataChain(
        name=bus.name,
        places=places,
        hops=tuple(tuple(data_wire(wire) for wire in hop.wires) if hop is not None else () for hop in hops),
        start=start,
        end=end,
        order=_order_words(plan, bus),
        expect=_expected(bus, devices),
        seen_from=next((i for i, d in enumerate(devices, 1) if d.kind == "computer"), 0),
        notes=tuple(_notes(plan, bus, devices)),
    )


def _unordered(plan: Plan, bus: Bus, devices: list[Device]) -> DataChain:
    """Tell who is on a chain whose order nobody knows: then nobody knows its ends either."""
    return DataChain(
        name=bus.name,
        places=tuple(_place(plan, bus, device, devices, inside=False, inlet="", outlet="") for device in devices),
        ordered=False,
        order=_order_words(plan, bus),
        notes=tuple(_notes(plan, bus, devices)),
    )


def _hop(plan: Plan, bus: Bus, one: Device, other: Device) -> PlannedCircuit | None:
    """Return the circuit from one device to the next, None where their ports don't allow any."""
    name = f"{bus.name}: {one.called} to {other.called}"
    return next(
        (
            c
            for c in plan.circuits
            if c.id == name
            and c.circuit.kind is CircuitKind.BUS
            and (c.circuit.sources, c.circuit.load) == ((one.id,), other.id)
        ),
        None,
    )


def _ends_of(hop: PlannedCircuit | None) -> tuple[str, str]:
    """Return the sockets that a hop joins."""
    return (hop.wires[0].a.socket, hop.wires[0].b.socket) if hop is not None and hop.wires else ("", "")


def _order_words(plan: Plan, bus: Bus) -> str:
    """Say where the order comes from, or why there is none."""
    if bus.order.saying is Saying.CLAIMS:
        return f"{len(bus.order.said)} statements about its order disagree"
    if bus.order.value is None:
        return "its order can't be chosen yet" if bus.shortest else "nobody knows its order"
    if bus.name in plan.chains:
        return "the order with the least wire" if plan.chains[bus.name].proved else "an order with little wire"
    state = bus.order.state or State.PLANNED
    return {State.PLANNED: "order as planned", State.GUESSED: "order only guessed"}.get(state, f"order {state}")


# ------------------------------------------------------------------ devices
def _place(
    plan: Plan, bus: Bus, device: Device, chain: list[Device], *, inside: bool, inlet: str, outlet: str
) -> DataPlace:
    number, asks = _number(device)
    maker = device.key.maker.describe() if device.key.maker.said else ""
    kind = device.part.word("bus type") or device.part.title
    wrong, hint = _inside(bus, device) if inside else ("", "")
    if bus.order.value is None and _kinds(device):
        hint = _loose_terminator(bus, device)
    told = [word for word in (kind, maker) if word and word.casefold() != device.called.casefold()]
    return DataPlace(
        device=device.id,
        name=device.called or device.id,
        detail=", ".join(told),
        number=number,
        asks=asks,
        inlet=inlet,
        outlet=outlet,
        warning=_number_warning(plan, device, chain) or wrong,
        hint=hint,
    )


def _number(device: Device) -> tuple[str, bool]:
    """Return the id on the bus in words, and whether people have to be asked for it."""
    fact = device.key.number
    if fact.value is not None:
        return str(fact.value), fact.state is State.GUESSED
    if fact.said:
        return " or ".join(dict.fromkeys(map(str, fact.values))), True
    typed = bool(device.part.word("bus type")) or device.kind in _NUMBERED
    return "", fact.asks or (typed and device.kind not in _NUMBERLESS)


def _number_warning(plan: Plan, device: Device, chain: list[Device]) -> str:
    """Repeat in a few words what the rule book found about this id; the same id on another type is no fault."""
    for finding in plan.findings:
        if finding.code == _TWICE and _shares(finding, device, chain):
            return "id used twice here"
        if finding.code == _FACTORY and finding.place.thing == f"{device.path}.id":
            return "still the factory id"
    return ""


def _shares(finding: Finding, device: Device, chain: list[Device]) -> bool:
    """Tell whether a device is one of those that a finding says share an id on this chain."""
    last = next((d for d in chain if finding.place.thing == f"{d.path}.id"), None)
    if last is None or last.key.number.value != device.key.number.value:
        return False
    # A finding names its devices in its sentence alone, as a list before the verb.
    return bool(re.search(rf"(?:^|, | and ){re.escape(device.called)}(?:,| and | share | may )", finding.what))


# ------------------------------------------------------------------ terminators
def _kinds(device: Device) -> set[str]:
    return {socket.terminator for socket in device.part.sockets if socket.terminator}


def _terminator(bus: Bus, device: Device) -> DataTerminator:
    """Tell how a chain is closed at a device at its end: as the file says, or by what can't be switched off."""
    kinds, told = _kinds(device), bus.terminators.value
    ohms = _ohms(device)
    if _BUILT_IN in kinds:
        return DataTerminator(Ending.FITTED, ohms, "plug-on" if device.kind == "terminator" else "built in")
    if told is not None and device.id in told:
        return DataTerminator(Ending.FITTED, ohms, "switch on" if _SWITCH in kinds else "plug-on")
    if told is None:
        return DataTerminator(Ending.ASKED, ohms, "has a switch" if _SWITCH in kinds else "")
    return DataTerminator(Ending.MISSING, ohms, "switch it on" if _SWITCH in kinds else "fit one")


def _inside(bus: Bus, device: Device) -> tuple[str, str]:
    """Warn of a terminator that is on between the ends, or remind of the switch that has to be off."""
    kinds, told = _kinds(device), bus.terminators.value or ()
    if _BUILT_IN in kinds or device.id in told:
        return "terminator inside", ""
    return "", "terminator switch: off" if _SWITCH in kinds else ""


def _loose_terminator(bus: Bus, device: Device) -> str:
    """Tell of the terminator of a device whose place in the chain nobody knows."""
    if _BUILT_IN in _kinds(device):
        return "terminator built in: at an end"
    return "terminator on: at an end" if device.id in (bus.terminators.value or ()) else "has a terminator switch"


def _expected(bus: Bus, devices: list[Device]) -> str:
    """Return the reading that both terminators in parallel give, empty where not both are known: R1 R2 / (R1 + R2)."""
    ends = devices[:1] + devices[1:][-1:]
    fitted = [_terminator(bus, device).state is Ending.FITTED for device in ends]
    ohms = [device.part.number(_OHMS) or 0.0 for device in ends]
    if fitted != [True, True] or not all(ohms):
        return ""
    return show(ohms[0] * ohms[1] / sum(ohms), Dimension.RESISTANCE)


def _ohms(device: Device) -> str:
    resistance_ohm = device.part.number(_OHMS)
    return show(resistance_ohm, Dimension.RESISTANCE) if resistance_ohm is not None else ""


# ------------------------------------------------------------------ what else has to be said
def _notes(plan: Plan, bus: Bus, devices: list[Device]) -> Iterator[str]:
    """Give what was found about this chain, its order, its ends and the ids on it."""
    ids = {f"{device.path}.id" for device in devices}
    for finding in on_paper(plan.findings):
        about_id = finding.code in (_TWICE, _FACTORY) and finding.place.thing in ids
        if about_id or finding.place.thing == bus.path or finding.place.thing.startswith(f"{bus.path}."):
            yield f"{finding.what} {finding.fix}"
