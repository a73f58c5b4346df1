"""What one loss takes down, in every case: devices that go dark, that a program no longer sees, motors that stop."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, TypeAlias

import numpy as np

from loomwright.hunting.robot.motors import driven
from loomwright.hunting.robot.shows import motors
from loomwright.model.part import Polarity
from loomwright.rulebook.lookup import feeds, is_fed
from loomwright.wiring.battery_path import top_blocks
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy.typing as npt

    from loomwright.hunting.robot.chain import Programs
    from loomwright.model.device import Device
    from loomwright.plan.result import Plan

    Floats: TypeAlias = npt.NDArray[np.float64]
    Lost: TypeAlias = tuple[str, npt.NDArray[np.bool_]]

#: What is likelier than this counts as so.
_RATHER: Final = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Down:
    """What is down: devices that are dark, devices that have power and that nothing reaches, motors that stop.

    `vital` are those among them without which all of the robot stands still: its controller, its radio.
    """

    dark: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    motors: tuple[str, ...] = ()
    vital: tuple[str, ...] = ()

    @property
    def nothing(self) -> bool:
        """Tell whether nothing is down."""
        return not (self.dark or self.missing or self.motors)


def taken_down(programs: Programs) -> tuple[Down, ...]:
    """Return what is down in every case, in the order of their names."""
    dark, missing, stopped = (dict(found(programs)) for found in (_dark, _missing, _stopped))
    host = programs.host
    vital = [d.id for d in _devices(programs.plan) if d.kind == "radio"] + ([host.id] if host is not None else [])
    found = []
    for place in range(len(programs.table.cases)):
        off = tuple(name for name, lost in dark.items() if lost[place])
        away = tuple(name for name, lost in missing.items() if lost[place] and name not in off)
        still = tuple(name for name, lost in stopped.items() if lost[place])
        needed = tuple(name for name in vital if name in off or name in away)
        found.append(Down(dark=off, missing=away, motors=still, vital=needed))
    return tuple(found)


def _dark(programs: Programs) -> Iterator[Lost]:
    plan = programs.plan
    fed = {c.circuit.load for c in plan.circuits if is_fed(c)} | {block.id for block in top_blocks(plan.robot)}
    for device in (device for device in _devices(plan) if device.id in fed):
        works = programs.lit.of(device).works
        if works[0] < _RATHER:
            works = _when_on(programs, device)
        yield device.id, (works < _RATHER) & (works[0] >= _RATHER)


def _devices(plan: Plan) -> list[Device]:
    return sorted(plan.robot, key=lambda device: (natural(device.id), device.id))


def _when_on(programs: Programs, device: Device) -> Floats:
    """Return the chance that a device works once a program switches it on: its feed works, its wires are whole."""
    works = programs.table.flat(1.0)
    for circuit in feeds(programs.plan, device.id):
        source = programs.plan.robot.device(circuit.source)
        if source is not None:
            works = works * programs.lit.of(source).works
        works[programs.table.broken(*(wire.id for wire in circuit.wires))] = 0.0
    return works


def _missing(programs: Programs) -> Iterator[Lost]:
    """Give what no program sees any more; without a robot controller none sees anything."""
    host = programs.host
    runs = programs.table.flat(1.0) if host is None else programs.lit.of(host).works
    for device in _devices(programs.plan):
        listed = programs.listed(_on_network(programs, device))
        if listed is not None:
            there = (listed.there + listed.unsteady) * runs
            yield device.id, (there < _RATHER) & (there[0] >= _RATHER)


def _on_network(programs: Programs, device: Device) -> Device:
    """Return the device by which a radio is on the network: itself, or what feeds it over a network cable."""
    if device.kind == "radio" and programs.listed(device) is None:
        for circuit in feeds(programs.plan, device.id):
            source = programs.plan.robot.device(circuit.source)
            if source is not None and any(wire.a.polarity is Polarity.CABLE for wire in circuit.wires):
                return source
    return device


def _stopped(programs: Programs) -> Iterator[Lost]:
    for motor, driver in sorted(motors(programs.plan), key=lambda pair: natural(pair[0].id)):
        dead = driven(programs, motor, driver).tried[:, -1]
        yield motor.id, (dead > _RATHER) & (dead[0] <= _RATHER)
