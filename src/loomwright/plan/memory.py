"""What the tool remembers of its last plan, so that the next one changes as little as it can."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from loomwright.layout.slot_problem import Clash
    from loomwright.search import Certificate
    from loomwright.units.gauge import Gauge

#: The newest form of the plan file that this program writes and reads.
PLAN_FORMAT: Final = 2

Key = tuple[str, str]
"""A circuit and a role: what keeps a wire's id for life."""


@dataclass(frozen=True, slots=True)
class KeptEnd:
    """Where an end was put, and with which terminal ("" where nobody makes that end)."""

    device: str
    socket: str
    polarity: str
    terminal: str = ""


@dataclass(frozen=True, slots=True)
class KeptWire:
    """A wire as it was last planned: its length [m] to the millimetre, None: not known; the trunks it runs along."""

    id: str
    gauge: Gauge | None
    colour: str
    length_m: float | None
    a: KeptEnd
    b: KeptEnd
    path: tuple[str, ...] = ()
    captive: bool = False


@dataclass(frozen=True, slots=True)
class KeptRoute:
    """The way of a run: its edges in order, and the gauge that it was routed with (None: a cable, or a data line)."""

    edges: tuple[str, ...]
    gauge: Gauge | None = None


@dataclass(frozen=True, slots=True)
class KeptCut:
    """What was cut from one spool: the wires of each piece in order, what is left, how long the spool was [m]."""

    spool: str
    bought: bool
    wires: tuple[tuple[str, ...], ...]
    left_m: float
    length_m: float


@dataclass(frozen=True, slots=True)
class KeptDevice:
    """A device as it was last planned: the id that the file used, its part class, its place in words ("": not said)."""

    called: str
    part: str
    at: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Memory:
    """The last plan's decisions that bind the next one; the defaults are those of a robot never planned.

    `format` is that of the file it was read from. `wires` gives each wire's id by circuit and role, `kept_wires`
    everything that was decided of it. `next_wire` is the first number that no wire of this robot ever had. `slots`
    gives each circuit's slot, `sources` the device that this slot is on, `slot_reasons` how it came about, `gauges`
    the gauge of its wires (None: undecided). `routes` are by run, `shared` is the choice of the main leads, `bundles`
    holds the diameter of each bundle [m].
    `certificates` has the keys "slots", "trunks", "cut", and "chain NAME" for a data bus. `fitted` are the wires that
    the robot file called made, `made` those that the plan took for made. `renamed` gives old names by new ones, see
    `plan.renaming`; `signed` are the ids of wires with an end that somebody signed at the bench. Both are never
    written.
    """

    format: int = PLAN_FORMAT
    robot: str = ""
    build: str = ""
    revision: str = ""
    inputs: str = ""
    next_wire: int = 1
    wires: Mapping[Key, str] = field(default_factory=lambda: MappingProxyType({}))
    slots: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    sources: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    slot_reasons: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    gauges: Mapping[str, Gauge | None] = field(default_factory=lambda: MappingProxyType({}))
    kept_wires: Mapping[Key, KeptWire] = field(default_factory=lambda: MappingProxyType({}))
    fitted: frozenset[Key] = frozenset()
    made: frozenset[Key] = frozenset()
    devices: Mapping[str, KeptDevice] = field(default_factory=lambda: MappingProxyType({}))
    routes: Mapping[str, KeptRoute] = field(default_factory=lambda: MappingProxyType({}))
    shared: int = 0
    bundles: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    cuts: tuple[KeptCut, ...] = ()
    crossings: int = 0
    clashes: tuple[Clash, ...] = ()
    certificates: Mapping[str, Certificate] = field(default_factory=lambda: MappingProxyType({}))
    renamed: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    signed: frozenset[str] = frozenset()

    def slot_on(self, source: str, circuit: str) -> str:
        """Return the slot that this circuit had on this device, "" where it had none there."""
        return self.slots.get(circuit, "") if self.sources.get(circuit) == source else ""
