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
    from loomwright.model.stock import Stock


@dataclass(frozen=True, slots=True)
class Bus:
    """A data chain or a network.

    `kind` is "bus" (a chain in order, two ends terminated) or "network" (cables between pairs).
    `order` holds the device ids in chain order, or is unknown while `members` are known. With `shortest` the tool
    chooses the order with the least wire; `ends` are the devices (at most two) that then have to stand at an end.
    """

    name: str
    kind: str
    members: tuple[str, ...]
    order: Fact[tuple[str, ...]]
    terminators: Fact[tuple[str, ...]]
    links: tuple[tuple[str, str], ...]
    mark: Mark
    path: str
    shortest: bool = False
    ends: tuple[str, ...] = ()


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
    """A shared route: a line of points (right, forward, up) [m] with its flags.

    `capacity_m` is the diameter that its clips and holes let through [m], absent: as needed. `travel` is how far a
    moving joint's far end goes [m].
    """

    name: str
    points: tuple[tuple[float, float, float], ...]
    flags: tuple[str, ...]
    mark: Mark
    capacity: Fact[float] = field(default_factory=Fact)
    travel: Fact[float] = field(default_factory=Fact)
    path: str = ""

    @property
    def moving(self) -> bool:
        """Whether it bends while the robot works."""
        return "moving" in self.flags

    @property
    def signal_only(self) -> bool:
        """Whether it is kept for data and signals."""
        return "signal only" in self.flags


@dataclass(frozen=True, slots=True)
class KeepOut:
    """An area of a plate that no wire may cross: its corners [m], one after the other."""

    name: str
    corners: tuple[tuple[float, float], ...]
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class Plate:
    """One plate of the robot: an outline, the trunks drawn on it and the areas wires stay out of [m].

    The base plate has no name and height 0; `height_m` is that of the plate above it.
    """

    outline: tuple[tuple[float, float], ...] = ()
    trunks: tuple[Trunk, ...] = ()
    keep_outs: tuple[KeepOut, ...] = ()
    name: str = ""
    height_m: float = 0.0
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class House:
    """What holds for every wire unless a thing says otherwise.

    Drop is a share of the supply voltage, on a circuit's own wires and from the battery on (`path_drop`);
    temperatures in degC; `bundle` counts wires that lie together, `loading` is the share of them that carries its
    full current at once. Wires are cut to whole steps [m], with a service loop [m] at each end and a slack as a share
    of the length.
    """

    supply: Fact[float] = field(default_factory=Fact)
    drop: Fact[float] = field(default_factory=Fact)
    ambient: Fact[float] = field(default_factory=Fact)
    insulation: Fact[float] = field(default_factory=Fact)
    conductor_temperature: Fact[float] = field(default_factory=Fact)
    bundle: Fact[int] = field(default_factory=Fact)
    loading: Fact[float] = field(default_factory=Fact)
    planning_current: Fact[float] = field(default_factory=Fact)
    step: Fact[float] = field(default_factory=Fact)
    service_loop: Fact[float] = field(default_factory=Fact)
    slack: Fact[float] = field(default_factory=Fact)
    path_drop: Fact[float] = field(default_factory=Fact)


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
    upper_plates: tuple[Plate, ...] = ()
    _by_id: Mapping[str, Device] = field(init=False, repr=False, compare=False)
    _by_name: Mapping[str, tuple[Device, ...]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Keep the devices by their names too: they are asked for thousands of times."""
        by_id = {device.id: device for device in reversed(self.devices)}
        by_name: dict[str, tuple[Device, ...]] = {}
        for device in self.devices:
            for name in {device.id, device.called}:
                by_name[name] = (*by_name.get(name, ()), device)
        object.__setattr__(self, "_by_id", by_id)
        object.__setattr__(self, "_by_name", by_name)

    @property
    def plates(self) -> tuple[Plate, ...]:
        """The base plate and those above it."""
        return (self.plate, *self.upper_plates)

    @property
    def trunks(self) -> tuple[Trunk, ...]:
        """The trunks of all plates."""
        return tuple(trunk for plate in self.plates for trunk in plate.trunks)

    def __iter__(self) -> Iterator[Device]:
        """Give the devices that are on the robot, in file order."""
        return (device for device in self.devices if not device.absent)

    def device(self, name: str) -> Device | None:
        """Return the device with this id, or None."""
        return self._by_id.get(name)

    def called(self, name: str) -> tuple[Device, ...]:
        """Return the devices that the file calls by this id: one thing, or a motor and its controller."""
        return tuple(device for device in self._by_name.get(name, ()) if device.called == name)

    def named(self, name: str) -> tuple[Device, ...]:
        """Return the devices on the robot that have this id, or that the file calls by it."""
        return tuple(device for device in self._by_name.get(name, ()) if not device.absent)

    def of_kind(self, *kinds: str) -> tuple[Device, ...]:
        """Return the devices on the robot whose part is of one of these kinds."""
        return tuple(device for device in self if device.kind in kinds)
