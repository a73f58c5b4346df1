"""Know a thing of the robot file again when it has a new name.

One thing is gone from the file and one is new. They are the same when they are made of the same part classes, nothing
told on both sides speaks against it (another place on the plate, another slot), and something speaks for it:

- they hold the same slot, the same port, or the same place in the battery path; or the same place on the plate;
- failing that, both are called fitted: what is new in the file and wired already was there under another name.

Where one that is gone may be two that came, or the other way round, neither is taken.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from loomwright.model.part import Polarity
from loomwright.plan.fitted import said_fitted
from loomwright.plan.remembering import place_in_words

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterable, Iterator, Mapping

    from loomwright.model.device import Device
    from loomwright.model.robot import Robot
    from loomwright.plan.memory import KeptEnd, Key, Memory
    from loomwright.wiring.result import EndAt, Wiring

    N = TypeVar("N", bound=Hashable)

Spot = tuple[str, str]
"""A device's id and a slot or socket there."""

_BY_NAME = (Polarity.BUS_HIGH, Polarity.BUS_LOW, Polarity.CABLE)
"""Data lines go from name to name in the file, so they say nothing about what stands behind a name."""


@dataclass(frozen=True, slots=True)
class _Thing:
    """What the file calls by one id: its devices by part class, and what it can be known by."""

    devices: Mapping[str, str]
    at: str
    slots: frozenset[Spot]
    ports: frozenset[Spot]
    fitted: bool

    def may_be(self, other: _Thing) -> bool:
        """Tell whether nothing speaks against the two being one."""
        elsewhere = bool(self.at and other.at and self.at != other.at)
        other_slot = bool(self.slots and other.slots and not self.slots & other.slots)
        return self.devices.keys() == other.devices.keys() and not elsewhere and not other_slot

    def held_by(self, other: _Thing) -> bool:
        """Tell whether a slot, a port or a place is the same."""
        return bool(self.slots & other.slots or self.ports & other.ports or (self.at and self.at == other.at))


def renamed_devices(memory: Memory, wiring: Wiring, robot: Robot) -> dict[str, str]:
    """Return new ids of devices by old ones, motor and controller together."""
    old, new = _gone(memory, robot), _come(memory, wiring, robot)
    if not old or not new:
        return {}
    possible = [(one, other) for one in old for other in new if old[one].may_be(new[other])]
    sure = alone(pair for pair in possible if old[pair[0]].held_by(new[pair[1]]))
    wired = alone(pair for pair in possible if old[pair[0]].fitted and new[pair[1]].fitted)
    return {
        device: new[other].devices[part] for one, other in sure or wired for part, device in old[one].devices.items()
    }


def alone(pairs: Iterable[tuple[N, N]]) -> list[tuple[N, N]]:
    """Return the pairs whose two members are in no other pair."""
    held = list(dict.fromkeys(pairs))
    first, second = Counter(one for one, _ in held), Counter(other for _, other in held)
    return [(one, other) for one, other in held if first[one] == 1 == second[other]]


def _gone(memory: Memory, robot: Robot) -> dict[str, _Thing]:
    """Describe what the last plan had and the file has no more."""
    present = {device.id for device in robot}
    gone = {name: held for name, held in memory.devices.items() if name not in present}
    groups = _grouped({name: held.called for name, held in gone.items()})
    return {called: _old_thing(memory, names) for called, names in groups.items()}


def _come(memory: Memory, wiring: Wiring, robot: Robot) -> dict[str, _Thing]:
    """Describe what the file has and the last plan had not."""
    new = {device.id: device for device in robot if device.id not in memory.devices}
    groups = _grouped({name: device.called for name, device in new.items()})
    made = said_fitted(robot, wiring)
    return {called: _new_thing([new[name] for name in names], wiring, made) for called, names in groups.items()}


def _grouped(called: Mapping[str, str]) -> dict[str, list[str]]:
    groups: dict[str, list[str]] = {}
    for name in sorted(called):
        groups.setdefault(called[name], []).append(name)
    return groups


def _old_thing(memory: Memory, names: list[str]) -> _Thing:
    wires = {key: wire for key, wire in memory.kept_wires.items() if {wire.a.device, wire.b.device} & {*names}}
    fed = {circuit for (circuit, _), wire in wires.items() if circuit in memory.slots and wire.b.device in names}
    others = [(wire.a, wire.b) for (circuit, _), wire in wires.items() if circuit not in memory.slots]
    return _Thing(
        devices={memory.devices[name].part: name for name in names},
        at=next((memory.devices[name].at for name in names if memory.devices[name].at), ""),
        slots=frozenset((memory.sources[circuit], memory.slots[circuit]) for circuit in fed),
        ports=frozenset(_far_ends(others, names)),
        fitted=not memory.fitted.isdisjoint(wires),
    )


def _new_thing(devices: list[Device], wiring: Wiring, made: frozenset[Key]) -> _Thing:
    names = [device.id for device in devices]
    fed = [circuit for circuit in wiring.circuits if circuit.load in names]
    ends = [(wire.a, wire.b) for wire in wiring.wires]
    return _Thing(
        devices={device.part.id: device.id for device in devices},
        at=next((at for device in devices if (at := place_in_words(device))), ""),
        slots=frozenset((source, c.slot.value) for c in fed if c.slot.value is not None for source in c.sources),
        ports=frozenset(_far_ends(ends, names)),
        fitted=any(wire.key in made for circuit in fed for wire in circuit.wires),
    )


def _far_ends(wires: Iterable[tuple[EndAt | KeptEnd, EndAt | KeptEnd]], names: list[str]) -> Iterator[Spot]:
    """Give where the wires of a thing go to, as far as that is known."""
    for one, other in wires:
        for far, near in ((one, other), (other, one)):
            known = near.device in names and far.device not in names and far.device and far.socket
            if known and far.polarity not in _BY_NAME:
                yield (far.device, far.socket)
