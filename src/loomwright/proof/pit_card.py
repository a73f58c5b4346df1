"""What stands on the pit card: the two minutes before a match, and what one wants to know beside the field."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.catalogue.tables import table
from loomwright.model.part import Polarity
from loomwright.proof.data_map import Chain, NetworkCable, chains, network_cables
from loomwright.proof.halts import Halt, halts
from loomwright.proof.slot_map import SlotMap, slot_maps, without_slot
from loomwright.proof.whereabouts import whereabouts
from loomwright.rulebook.lookup import drives, is_a
from loomwright.units import Dimension, show
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.model.device import Device
    from loomwright.plan.result import Plan

#: Comes before everything that the signal light may tell.
LIGHT_CARE: Final = "Your season's rule book says what the light has to show. A light is no proof that nothing moves."
_CABLE: Final = "cable"
_CONTROLLERS: Final = ("controller", "motor")
#: Supply voltages at which a device gives something up, by the words of its part.
_FALLS: Final = ("rails sag below", "outputs off below", "outputs on above", "stops below", "starts above")


@dataclass(frozen=True, slots=True)
class Check:
    """One line of the two-minute list: what to look at, how, and where each such thing is."""

    look: str
    how: str
    where: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Recheck:
    """Ends that have to be gone over again and again: what, how often, how, and how many there are at each device."""

    what: str
    every: str
    how: str
    where: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class LightSign:
    """What a signal light may show, and what that usually means."""

    shows: str
    means: str


@dataclass(frozen=True, slots=True)
class BatteryNumber:
    """A number to write in, its unit, and what to expect of it ("" where it is only recorded)."""

    what: str
    unit: str
    expect: str


@dataclass(frozen=True, slots=True)
class Threshold:
    """A supply voltage at which a device of this robot gives something up or takes it up again."""

    device: str
    what: str
    voltage: str


@dataclass(frozen=True, slots=True)
class PitCard:
    """Everything on the card; `waiting` names loads whose slot nobody knows."""

    checks: tuple[Check, ...]
    rechecks: tuple[Recheck, ...]
    slots: tuple[SlotMap, ...]
    waiting: tuple[str, ...]
    chains: tuple[Chain, ...]
    cables: tuple[NetworkCable, ...]
    halts: tuple[Halt, ...]
    light: tuple[LightSign, ...]
    battery: tuple[BatteryNumber, ...]
    thresholds: tuple[Threshold, ...]


def pit_card(plan: Plan) -> PitCard:
    """Return what stands on the pit card of this robot; what it has not got is left out."""
    return PitCard(
        checks=tuple(_checks(plan)),
        rechecks=tuple(_rechecks(plan)),
        slots=slot_maps(plan),
        waiting=without_slot(plan),
        chains=chains(plan),
        cables=network_cables(plan),
        halts=halts(plan),
        light=tuple(_light(plan)),
        battery=tuple(_battery(plan)),
        thresholds=tuple(_thresholds(plan)),
    )


def _checks(plan: Plan) -> Iterator[Check]:
    for row in table("pit_check"):
        of = row["of"]
        if of == _CABLE:
            if any(wire.a.polarity is Polarity.CABLE for wire in plan.wires):
                yield Check(row["look"], row["how"], ())
            continue
        devices = [d for d in _in_order(plan) if is_a(d.part, of) and (of not in _CONTROLLERS or drives(d))]
        if devices or not of:
            yield Check(row["look"], row["how"], tuple(_where(plan, device) for device in devices))


def _where(plan: Plan, device: Device) -> str:
    return whereabouts(plan, device).told


def _rechecks(plan: Plan) -> Iterator[Recheck]:
    for row in table("recheck"):
        kinds = row["ports"].split(";")
        many = Counter(
            end.device
            for wire in plan.wires
            for end in (wire.a, wire.b)
            if end.device and end.port is not None and str(end.port.kind) in kinds
        )
        if many:
            where = tuple(sorted(many.items(), key=lambda item: (natural(item[0]), item[0])))
            yield Recheck(row["what"], row["every"], row["how"], where)


def _light(plan: Plan) -> Iterator[LightSign]:
    if any(is_a(device.part, "light/signal") for device in plan.robot):
        yield from (LightSign(row["shows"], row["means"]) for row in table("signal_light"))


def _battery(plan: Plan) -> Iterator[BatteryNumber]:
    battery = next(iter(plan.robot.of_kind("battery")), None)
    told = {"rested": _rested(battery) if battery is not None else ""}
    return (BatteryNumber(row["what"], row["unit"], row["expect"].format_map(told)) for row in table("battery_number"))


def _rested(battery: Device) -> str:
    """Tell between which voltages a charged and rested battery of this class is."""
    low, high = battery.part.number("rested from"), battery.part.number("rested to")
    return f"{low:g} to {high:g}, charged and rested" if low is not None and high is not None else ""


def _thresholds(plan: Plan) -> Iterator[Threshold]:
    for device in _in_order(plan):
        for what in _FALLS:
            said = device.settings.get(what)
            from_part = device.part.number(what)
            if said is not None and said.said:
                yield Threshold(device.id, what, said.describe(lambda volts: show(volts, Dimension.VOLTAGE)))
            elif from_part is not None:
                yield Threshold(device.id, what, show(from_part, Dimension.VOLTAGE))


def _in_order(plan: Plan) -> list[Device]:
    return sorted(plan.robot, key=lambda device: (natural(device.id), device.id))
