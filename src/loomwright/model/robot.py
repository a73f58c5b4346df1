"""The whole robot as one file describes it, for one build."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from loomwright.model.fact import Fact

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from loomwright.findings import Finding
    from loomwright.model.device import Device
    from loomwright.model.mark import Mark
    from loomwright.units.gauge import Gauge


@dataclass(frozen=True, slots=True)
class Bus:
    """A data chain or a network.

    `kind` is "bus" (a chain in order, two ends terminated) or "network" (cables between pairs).
    `order` holds the device ids in chain order, or is unknown while `members` are known.
    """

    name: str
    kind: str
    members: tuple[str, ...]
    order: Fact[tuple[str, ...]]
    terminators: Fact[tuple[str, ...]]
    links: tuple[tuple[str, str], ...]
    mark: Mark
    path: str


@dataclass(frozen=True, slots=True)
class Mechanism:
    """Motors that do one thing; `does` holds its load in SI for the match study, by field name."""

    name: str
    kind: Fact[str]
    does: Mapping[str, Fact[float]]
    mark: Mark
    path: str
    part_of: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Trunk:
    """A shared route: a line of points on the plate [m] with its flags."""

    name: str
    points: tuple[tuple[float, float], ...]
    flags: tuple[str, ...]
    mark: Mark


@dataclass(frozen=True, slots=True)
class Plate:
    """The robot's base: an outline, the trunks drawn on it and the areas wires stay out of [m]."""

    outline: tuple[tuple[float, float], ...] = ()
    trunks: tuple[Trunk, ...] = ()
    keep_outs: tuple[tuple[tuple[float, float], ...], ...] = ()
    step_m: float | None = None


@dataclass(frozen=True, slots=True)
class House:
    """What holds for every wire unless a thing says otherwise.

    Drop is a share of the supply voltage; temperatures in degC; `bundle` counts wires that lie
    together, `loading` is the share of them that carries its full current at once.
    """

    supply: Fact[float] = field(default_factory=Fact)
    drop: Fact[float] = field(default_factory=Fact)
    ambient: Fact[float] = field(default_factory=Fact)
    insulation: Fact[float] = field(default_factory=Fact)
    conductor_temperature: Fact[float] = field(default_factory=Fact)
    bundle: Fact[int] = field(default_factory=Fact)
    loading: Fact[float] = field(default_factory=Fact)
    planning_current: Fact[float] = field(default_factory=Fact)


@dataclass(frozen=True, slots=True)
class Doubt:
    """Two or more things of which one statement may be swapped ("ids of the two rollers")."""

    which: tuple[str, ...]
    what: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class Remark:
    """Something kept as written: removed things, stale labels, notes, conventions."""

    topic: str
    subject: str
    text: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class Stock:
    """Wire on hand: the gauges that may be chosen, thinnest first, and where that was said."""

    gauges: tuple[Gauge, ...]
    source: str = ""


@dataclass(frozen=True, slots=True)
class Robot:
    """One robot, one build. `asks` is set where the file says `unsaid: ask`: nothing absent is decided."""

    name: str
    rules: str
    build: str
    builds: tuple[str, ...]
    asks: bool
    devices: tuple[Device, ...]
    mechanisms: tuple[Mechanism, ...]
    buses: tuple[Bus, ...]
    plate: Plate
    house: House
    stock: Stock
    doubts: tuple[Doubt, ...] = ()
    remarks: tuple[Remark, ...] = ()
    noticed: tuple[Finding, ...] = ()
    file: str = "robot.yaml"

    def __iter__(self) -> Iterator[Device]:
        """Give the devices that are on the robot, in file order."""
        return (device for device in self.devices if not device.absent)

    def device(self, name: str) -> Device | None:
        """Return the device with this id, or None."""
        return next((device for device in self.devices if device.id == name), None)

    def called(self, name: str) -> tuple[Device, ...]:
        """Return the devices that the file calls by this id: one thing, or a motor and its controller."""
        return tuple(device for device in self.devices if device.called == name)

    def of_kind(self, *kinds: str) -> tuple[Device, ...]:
        """Return the devices on the robot whose part is of one of these kinds."""
        return tuple(device for device in self if device.kind in kinds)
