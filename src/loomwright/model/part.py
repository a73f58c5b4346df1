"""A part class: its sockets and ports, its sourced values, and what it asks of its feed."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from loomwright.model.mark import Mark
    from loomwright.units.gauge import Gauge


class PortKind(StrEnum):
    """How a wire is held at a port; what happens to the wire's end follows from it."""

    POST = "battery post"
    STUD = "stud"
    BARRIER = "barrier screw"
    SCREW = "screw clamp"
    LEVER = "lever clamp"
    PUSH = "push clamp"
    BLADE = "blade"
    CONTACT = "housed contact"
    LEAD = "captive lead"
    HEADER = "pin header"
    SOCKET = "network socket"
    FITTED = "fitted plug"


class Polarity(StrEnum):
    """Which conductor a port takes."""

    PLUS = "plus"
    MINUS = "minus"
    PHASE_A = "phase a"
    PHASE_B = "phase b"
    PHASE_C = "phase c"
    BUS_HIGH = "bus high"
    BUS_LOW = "bus low"
    SIGNAL = "signal"
    CABLE = "cable"


class Role(StrEnum):
    """What a socket does on a part."""

    SUPPLY = "supply"
    OUTLET = "outlet"
    MOTOR_OUT = "motor output"
    MOTOR_IN = "motor input"
    BUS_IN = "bus in"
    BUS_OUT = "bus out"
    NETWORK = "network"
    SIGNAL_OUT = "signal output"
    SIGNAL_IN = "signal input"
    JUMPER = "jumper"


OPPOSITE: Mapping[Role, Role] = MappingProxyType(
    {
        Role.SUPPLY: Role.OUTLET,
        Role.OUTLET: Role.SUPPLY,
        Role.MOTOR_OUT: Role.MOTOR_IN,
        Role.MOTOR_IN: Role.MOTOR_OUT,
        Role.BUS_IN: Role.BUS_OUT,
        Role.BUS_OUT: Role.BUS_IN,
        Role.NETWORK: Role.NETWORK,
        Role.SIGNAL_OUT: Role.SIGNAL_IN,
        Role.SIGNAL_IN: Role.SIGNAL_OUT,
        Role.JUMPER: Role.JUMPER,
    }
)


@dataclass(frozen=True, slots=True)
class Valued:
    """A number or word of a part with where it comes from; numbers in SI (charge in Ah, degC)."""

    value: float | str
    dimension: str
    source: str
    note: str = ""
    assumed: bool = False


@dataclass(frozen=True, slots=True)
class Port:
    """One place where one wire end is held.

    `thinnest` and `thickest` are the gauges it takes (None: not stated). `strip_m` is the strip length
    [m] that the port itself asks for, `stud_m` the diameter of its stud or the width of its blade [m]. A
    captive lead brings its gauge and length. `doubled_end` allows a thin end folded double;
    `friction_only` marks a connection that nothing locks; `on_board` marks a port on a device's circuit
    board, where nobody pulls.
    """

    name: str
    kind: PortKind
    polarity: Polarity
    thinnest: Gauge | None = None
    thickest: Gauge | None = None
    strip_m: float | None = None
    stud_m: float | None = None
    lead_gauge: Gauge | None = None
    lead_length_m: float | None = None
    doubled_end: bool = False
    friction_only: bool = False
    on_board: bool = False
    source: str = ""

    def takes(self, gauge: Gauge) -> bool:
        """Tell whether a wire of this gauge fits; a port that states no limits takes any."""
        too_thin = self.thinnest is not None and gauge.thinner_than(self.thinnest)
        too_thick = self.thickest is not None and self.thickest.thinner_than(gauge)
        return not too_thin and not too_thick


@dataclass(frozen=True, slots=True)
class Socket:
    """Ports that belong together: a slot, a supply input, a motor output, one side of a bus.

    `ratings_a` are the protection ratings that fit an outlet, `protection` the parts that hold them, by
    the id without its rating ("fuse/blade" for `fuse/blade-10a`); `limit_a` is an output's own current
    limit. `volts` is what an outlet gives or a supply needs, None for the battery's voltage. `use` is what a
    special socket is for ("pulse", "digital", "analog", "data", "motor sensor", "signal light", "valve",
    "compressor", "pressure switch"); only sockets of the same use fit together. Each coil of a valve is a
    supply; anything else with several supplies takes one of them, by wires unless a network cable is asked
    for. `terminator` is "built in" or "switch" on a bus socket that can end a chain. `face` is the edge of the
    part it is on.
    """

    name: str
    role: Role
    ports: tuple[Port, ...]
    group: str = ""
    use: str = ""
    ratings_a: tuple[float, ...] = ()
    protection: str = ""
    limit_a: float | None = None
    volts: float | None = None
    terminator: str = ""
    face: str = ""
    source: str = ""

    def port(self, polarity: Polarity) -> Port | None:
        """Return the port for a conductor, or None where the socket has none."""
        return next((port for port in self.ports if port.polarity is polarity), None)


@dataclass(frozen=True, slots=True)
class TripPoint:
    """One point of a protection's curve: at a multiple of its rating it opens within these times [s]."""

    multiple: float
    min_s: float | None
    max_s: float | None


@dataclass(frozen=True, slots=True)
class Part:
    """A class of parts. `kind` is the first word of the id; a `family` is known only by its ports.

    `wants_protection_a` are the ratings its feed should carry, best first; with `required_protection`
    nothing else will do. What a motor wants wins within what its controller bears. `wants_group` is the
    outlet group it belongs on (a wish: "" is any group with a wanted rating); `fed_by` are the kinds of
    parts that usually feed it, best first. `trip_curve` holds for breakers and fuses over multiples of the
    value "rating", `curve_assumed` marks one made from common-practice points. `jumper` names the two
    sockets of role "jumper" that a signal light's jumper joins. `size_m` is width and depth from above.
    `mark` is the place of a team's own part file, None for a shipped part.
    """

    id: str
    title: str
    sockets: tuple[Socket, ...] = ()
    values: Mapping[str, Valued] = field(default_factory=dict)
    family: bool = False
    wants_protection_a: tuple[float, ...] = ()
    wants_protection_source: str = ""
    wants_group: str = ""
    fed_by: tuple[str, ...] = ("block",)
    required_protection: bool = False
    trip_curve: tuple[TripPoint, ...] = ()
    curve_assumed: bool = False
    curve_source: str = ""
    jumper: tuple[str, str] | None = None
    size_m: tuple[float, float] | None = None
    notes: tuple[str, ...] = ()
    mark: Mark | None = None

    @property
    def kind(self) -> str:
        """The first word of the id: "motor" for "motor/brushed-340w"."""
        return self.id.split("/", 1)[0]

    def number(self, name: str) -> float | None:
        """Return a numeric value by its name, or None where the part does not state it."""
        held = self.values.get(name)
        return held.value if held is not None and isinstance(held.value, float) else None

    def word(self, name: str) -> str:
        """Return a value as text, empty where the part does not state it."""
        held = self.values.get(name)
        return "" if held is None else str(held.value)

    def socket(self, name: str) -> Socket | None:
        """Return the socket of this name, or None."""
        return next((socket for socket in self.sockets if socket.name == name), None)

    def with_role(self, role: Role) -> Iterator[Socket]:
        """Give the sockets of one role in the order of the part file."""
        return (socket for socket in self.sockets if socket.role is role)

    def first(self, role: Role) -> Socket | None:
        """Return the first socket of a role, or None."""
        return next(self.with_role(role), None)
