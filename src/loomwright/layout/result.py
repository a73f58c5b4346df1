"""Where everything goes: the net of trunks, each run's route over it, the bundles, and the slots.

Points are (right, forward, up) in metres from the left rear corner of the base plate.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.findings import Finding
    from loomwright.search import Certificate
    from loomwright.units.gauge import Gauge

Point = tuple[float, float, float]
Terminal = tuple[str, str]
"""A device's id and the name of one of its sockets."""


class Course(StrEnum):
    """What an edge of the net is.

    A `trunk` is drawn by the team. A `link` is a stretch of trunk that the tool proposes: it joins trunks that do not
    meet, or stands for trunks where none are drawn. A `drop` leads from a terminal to a trunk, a `loose` run from
    terminal to terminal off every trunk.
    """

    TRUNK = "trunk"
    LINK = "link"
    DROP = "drop"
    LOOSE = "loose"


@dataclass(frozen=True, slots=True)
class Node:
    """A place where edges of the net meet: a corner, a breakout, or a terminal."""

    name: str
    at: Point


@dataclass(frozen=True, slots=True)
class Edge:
    """A stretch between two nodes, straight or along `path` (both ends included).

    `length_m` is what a wire along it needs, up and down too; `slack_m` what a moving joint asks beyond that [m].
    `trunk` names the trunk it belongs to, also for links ("link 2"). `capacity_m` is the diameter that its clips let
    through [m], None: as needed. `over` names the edges of trunks and links that a drop or loose run passes over, one
    for each crossing; an edge holds its start and not its end.
    """

    name: str
    a: str
    b: str
    path: tuple[Point, ...]
    length_m: float
    course: Course
    trunk: str = ""
    capacity_m: float | None = None
    slack_m: float = 0.0
    moving: bool = False
    signal_only: bool = False
    over: tuple[str, ...] = ()

    @property
    def shared(self) -> bool:
        """Whether it is opened once for all wires: a trunk or a link."""
        return self.course in (Course.TRUNK, Course.LINK)

    @property
    def crosses(self) -> int:
        """How many trunks and links it passes over, opened or not."""
        return len(self.over)

    @property
    def wire_m(self) -> float:
        """The wire that it takes [m], with the slack of a moving joint."""
        return self.length_m + self.slack_m

    def other(self, node: str) -> str:
        """Return the node at the other end."""
        return self.b if node == self.a else self.a


@dataclass(frozen=True, slots=True)
class Net:
    """Everything that wires may run along. `terminals` gives the node of each terminal that has a place.

    `proposed` is set where the team drew no trunk and the net is the tool's own proposal.
    """

    nodes: tuple[Node, ...] = ()
    edges: tuple[Edge, ...] = ()
    terminals: Mapping[Terminal, str] = field(default_factory=lambda: MappingProxyType({}))
    proposed: bool = False
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class KnownNet:
    """A net that was worked out before: for which terminals, and the loose ways that were taken, by their names."""

    asked: frozenset[Terminal]
    net: Net
    loose: Mapping[str, Edge] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Copper:
    """One way to make a run: the gauge of its wires, what it weighs in copper [g/m, all its wires together].

    `wire_mm` are the outside diameters of its wires [mm]. `longest_m` is the longest route on which the drop holds,
    one number for each choice of the main leads (a single one where there is no such choice), inf: any.
    """

    gauge: Gauge | None
    mass_g_per_m: float
    wire_mm: tuple[float, ...]
    longest_m: tuple[float, ...] = (float("inf"),)

    def reach_m(self, shared: int) -> float:
        """Return the longest route [m] under a choice of the main leads; a single number holds for all of them."""
        return self.longest_m[shared if len(self.longest_m) > 1 else 0]


@dataclass(frozen=True, slots=True)
class Run:
    """Wires that go together from one node to another: a pair, a data pair, a cable, a single lead.

    `wires` are their keys, circuit and role. Of `options` one is taken.
    """

    name: str
    start: str
    end: str
    wires: tuple[tuple[str, str], ...]
    power: bool
    options: tuple[Copper, ...]


@dataclass(frozen=True, slots=True)
class Route:
    """The way that a run takes: edges and nodes in order from its start, and which of its options it uses."""

    run: str
    edges: tuple[str, ...]
    nodes: tuple[str, ...]
    option: int = 0


@dataclass(frozen=True, slots=True)
class Grommet:
    """A place where a bundle needs a soft edge, and why."""

    at: Point
    why: str


@dataclass(frozen=True, slots=True)
class Section:
    """A stretch of shared trunk with the same runs all along.

    `edges` follow one another along `path`; `order` lists the runs from left to right, looking along `path`.
    `diameter_m` is that of the bundle, `bend_m` the least radius it may be bent to [m], `ties` where it is tied.
    `fill` is its diameter over the capacity of its trunk, None where the trunk takes what is needed.
    """

    name: str
    trunk: str
    edges: tuple[str, ...]
    path: tuple[Point, ...]
    order: tuple[str, ...]
    wires: int
    diameter_m: float
    bend_m: float
    length_m: float
    ties: tuple[Point, ...]
    fill: float | None = None
    proposed: bool = False
    moving: bool = False


@dataclass(frozen=True, slots=True)
class Layout:
    """The net with every run's route, and the bundles that come of it.

    `crossings` counts where wires of one bundle have to cross, `forced` those that no order could avoid. `shared` is
    the choice of the main leads that the runs' options were taken for.
    `edges` are the net's own and the loose ones that some run takes. `unrouted` names the circuits that have wires to
    route and no place to route them between, with the reason in words.
    """

    net: Net
    runs: tuple[Run, ...]
    routes: tuple[Route, ...]
    edges: tuple[Edge, ...]
    sections: tuple[Section, ...] = ()
    grommets: tuple[Grommet, ...] = ()
    crossings: int = 0
    forced: int = 0
    shared: int = 0
    certificate: Certificate | None = None
    unrouted: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    findings: tuple[Finding, ...] = ()

    @property
    def used(self) -> frozenset[str]:
        """The names of the edges that some run takes."""
        return frozenset(name for route in self.routes for name in route.edges)

    def route(self, run: str) -> Route | None:
        """Return the route of a run, or None."""
        return next((route for route in self.routes if route.run == run), None)

    def edge(self, name: str) -> Edge:
        """Return the edge of this name; KeyError where there is none."""
        found = next((edge for edge in self.edges if edge.name == name), None)
        if found is None:
            raise KeyError(name)
        return found
