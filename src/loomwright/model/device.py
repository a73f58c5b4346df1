"""One physical thing on the robot, with what the file says of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from loomwright.model.fact import Fact

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.model.mark import Mark
    from loomwright.model.part import Part
    from loomwright.units.gauge import Gauge


@dataclass(frozen=True, slots=True)
class Limit:
    """A current limit [A]: what is held, and a peak allowed for a time [s] where one is stated."""

    hold_a: float
    peak_a: float | None = None
    peak_s: float | None = None

    @property
    def highest_a(self) -> float:
        """The largest current the limit lets through [A]."""
        return max(self.hold_a, self.peak_a or 0.0)


@dataclass(frozen=True, slots=True)
class Limits:
    """Supply-side and motor-side limits are two facts; `enabled` is whether they are switched on."""

    supply: Fact[Limit] = field(default_factory=Fact)
    motor: Fact[Limit] = field(default_factory=Fact)
    enabled: Fact[bool] = field(default_factory=Fact)


@dataclass(frozen=True, slots=True)
class Feed:
    """Where a thing gets its power.

    `source` is the id of what feeds it, `slot` a pinned outlet there, `group` the kind of outlet
    ("heavy", "light", "fused"), `over` is "wires" or "network cable".
    """

    source: Fact[str] = field(default_factory=Fact)
    slot: Fact[str] = field(default_factory=Fact)
    group: Fact[str] = field(default_factory=Fact)
    over: Fact[str] = field(default_factory=Fact)


@dataclass(frozen=True, slots=True)
class BusKey:
    """Who a thing is on a data bus; `maker` is a group of makers, never a brand."""

    bus: Fact[str] = field(default_factory=Fact)
    maker: Fact[str] = field(default_factory=Fact)
    number: Fact[int] = field(default_factory=Fact)


@dataclass(frozen=True, slots=True)
class Hookup:
    """A signal connection: the device it goes to and the sockets there ("digital 2", "digital 3")."""

    on: Fact[str] = field(default_factory=Fact)
    sockets: Fact[tuple[str, ...]] = field(default_factory=Fact)


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a thing sits: a place on the plate [m], a height above it [m], the edge its ports face."""

    at: Fact[tuple[float, float]] = field(default_factory=Fact)
    height: Fact[float] = field(default_factory=Fact)
    facing: Fact[str] = field(default_factory=Fact)
    rides_on: Fact[str] = field(default_factory=Fact)


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the robot's own wires must be where that differs from what follows."""

    gauge: Fact[Gauge] = field(default_factory=Fact)
    protection: Fact[float] = field(default_factory=Fact)
    length: Fact[float] = field(default_factory=Fact)
    motor_length: Fact[float] = field(default_factory=Fact)
    signal_length: Fact[float] = field(default_factory=Fact)
    joint: Fact[str] = field(default_factory=Fact)
    plus_colour: Fact[str] = field(default_factory=Fact)
    minus_colour: Fact[str] = field(default_factory=Fact)
    bundle: Fact[int] = field(default_factory=Fact)
    drop: Fact[float] = field(default_factory=Fact)


@dataclass(frozen=True, slots=True)
class Device:
    """One thing with a part, a feed, a place, and what is said of it.

    `called` is the id that the file uses: a motor circuit "left front" has the devices "left front" (the
    motor) and "left front controller", both called "left front". `driven_by` is the id of the controller
    that drives this motor. `settings` are named quantities (SI) such as "outputs off below"; `checks` are
    yes-or-no facts that people answer by looking ("reachable", "guarded", "nuts visible"). `draw` is a
    measured or known current [A].
    """

    id: str
    part: Part
    part_said: Fact[str]
    mark: Mark
    path: str
    called: str = ""
    mechanism: str = ""
    driven_by: str = ""
    follows: Fact[str] = field(default_factory=Fact)
    present: Fact[bool] = field(default_factory=Fact)
    feed: Feed = field(default_factory=Feed)
    limits: Limits = field(default_factory=Limits)
    ramp: Fact[tuple[float, float]] = field(default_factory=Fact)
    reversed: Fact[bool] = field(default_factory=Fact)
    key: BusKey = field(default_factory=BusKey)
    hookup: Hookup = field(default_factory=Hookup)
    module: Fact[str] = field(default_factory=Fact)
    channels: Fact[tuple[int, ...]] = field(default_factory=Fact)
    spot: Spot = field(default_factory=Spot)
    wishes: Wishes = field(default_factory=Wishes)
    draw: Fact[float] = field(default_factory=Fact)
    settings: Mapping[str, Fact[float]] = field(default_factory=dict)
    checks: Mapping[str, Fact[bool]] = field(default_factory=dict)
    labels: Mapping[str, Fact[str]] = field(default_factory=dict)
    reserved: Mapping[str, Fact[str]] = field(default_factory=dict)
    also_called: Mapping[str, str] = field(default_factory=dict)
    note: str = ""

    @property
    def kind(self) -> str:
        """The kind of part: "motor", "controller", "block"."""
        return self.part.kind

    @property
    def absent(self) -> bool:
        """Tell whether the file says that this thing is not on the robot."""
        return self.present.value is False
