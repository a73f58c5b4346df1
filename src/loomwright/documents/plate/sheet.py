"""What the Plate shows, and nothing else: plates, devices, stretches that wires share, and the wires that run on them.

Places are (right, forward) from the left rear corner of the base plate [m].
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from itertools import pairwise

from loomwright.layout.result import Course

Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PlateArea:
    """An area of a plate that no wire may cross: its name and corners [m]."""

    name: str
    corners: tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class PlatePanel:
    """One plate seen from above. The base plate has no name; an outline that nobody told is empty."""

    name: str = ""
    height_m: float = 0.0
    outline: tuple[Spot, ...] = ()
    keep_outs: tuple[PlateArea, ...] = ()


@dataclass(frozen=True, slots=True)
class PlateDevice:
    """One device: its id, its outline from above [m], its plate (by number) and how high it sits above that [m].

    `called` is the id that the file uses; a motor and its controller share one. `kind` is the kind of its part.
    `doubt` is one word where its place is not simply planned ("guessed"). `shock_mounted` is whether it sits on
    something soft.
    """

    id: str
    corners: tuple[Spot, ...]
    called: str = ""
    kind: str = ""
    plate: int = 0
    above_m: float = 0.0
    doubt: str = ""
    shock_mounted: bool = False


@dataclass(frozen=True, slots=True)
class PlateTerminal:
    """Where wires end on a device: the place [m], the socket's name, and which letter the wires have there.

    `letter` is "A", "B", or empty where wires with both letters end. `slot` is whether the name is worth writing: the
    slots of a block are, the one supply of a motor is not.
    """

    device: str
    name: str
    at: Spot
    letter: str = ""
    slot: bool = False
    plate: int = 0


@dataclass(frozen=True, slots=True)
class PlateWire:
    """One wire: its id, its colour ("RD", "RDBK", empty: not known) and the diameter over its insulation [mm]."""

    id: str
    colour: str = ""
    outside_mm: float = 2.0


@dataclass(frozen=True, slots=True)
class PlateLeg:
    """A stretch that a run takes, along its path or `against` it."""

    stretch: str
    against: bool = False


@dataclass(frozen=True, slots=True)
class PlateRun:
    """Wires that go together, and the stretches they take from end A to end B."""

    name: str
    wires: tuple[PlateWire, ...]
    legs: tuple[PlateLeg, ...]


@dataclass(frozen=True, slots=True)
class PlateBundle:
    """What is told of a stretch of trunk: how thick its bundle is [m], where it is tied, and how its joint moves.

    `bend_m` is the least radius it may be bent to [m], `slack_m` what a moving joint asks beyond its length [m],
    `fill` its diameter over what its trunk lets through (None: as needed).
    """

    wires: int
    diameter_m: float
    length_m: float
    bend_m: float = 0.0
    ties: tuple[Spot, ...] = ()
    fill: float | None = None
    moving: bool = False
    slack_m: float = 0.0


@dataclass(frozen=True, slots=True)
class PlateStretch:
    """A stretch with the same runs all along: a section of a trunk, a drop, or a loose run.

    `order` names its runs from left to right, looking along `path` [m]. `trunk` is the trunk it belongs to, and
    `bundle` what is told of it; a drop has neither.
    """

    name: str
    path: tuple[Spot, ...]
    order: tuple[str, ...]
    course: Course = Course.DROP
    trunk: str = ""
    plate: int = 0
    bundle: PlateBundle | None = None

    @property
    def proposed(self) -> bool:
        """Whether it is the tool's own proposal, for a person to correct."""
        return self.course is Course.LINK


@dataclass(frozen=True, slots=True)
class PlateTrunk:
    """A trunk as it is drawn in the file or proposed: its name and line [m], whether or not wires take it."""

    name: str
    path: tuple[Spot, ...]
    plate: int = 0
    proposed: bool = False
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlateGrommet:
    """A soft edge that a bundle needs, where [m] and why."""

    at: Spot
    why: str
    plate: int = 0


@dataclass(frozen=True, slots=True)
class PlateSheet:
    """Everything that the Plate shows.

    `missing` are the things that are not on it, each with the reason in words; `undrawn` are the ids of wires that have
    no line on it, by the reason. `tie_every_m` is how far
    ties may be apart [m], `proof` says how good the routes are
    proved to be. Raises ValueError where a plate, a stretch or a run is named that is not there, or a name
    stands twice.
    """

    robot: str
    build: str
    revision: str
    panels: tuple[PlatePanel, ...] = ()
    devices: tuple[PlateDevice, ...] = ()
    terminals: tuple[PlateTerminal, ...] = ()
    trunks: tuple[PlateTrunk, ...] = ()
    stretches: tuple[PlateStretch, ...] = ()
    runs: tuple[PlateRun, ...] = ()
    grommets: tuple[PlateGrommet, ...] = ()
    missing: tuple[tuple[str, str], ...] = ()
    undrawn: tuple[tuple[str, tuple[str, ...]], ...] = ()
    proof: str = ""
    crossings: int = 0
    forced: int = 0
    tie_every_m: float | None = None

    def __post_init__(self) -> None:
        """Check that every name leads somewhere."""
        for what, names in (
            ("stretches", [stretch.name for stretch in self.stretches]),
            ("runs", [run.name for run in self.runs]),
            ("devices", [device.id for device in self.devices]),
        ):
            twice = [name for name, times in Counter(names).items() if times > 1]
            if twice:
                raise ValueError(f"two {what} are called {twice[0]!r}")
        on = {leg.stretch for run in self.runs for leg in run.legs}
        if lost := sorted(on - {stretch.name for stretch in self.stretches}):
            raise ValueError(f"a run takes {lost[0]!r}, which is not among the stretches")
        listed = {name for stretch in self.stretches for name in stretch.order}
        if lost := sorted(listed - {run.name for run in self.runs}):
            raise ValueError(f"a stretch lists {lost[0]!r}, which is not among the runs")
        plates = {device.plate for device in self.devices} | {terminal.plate for terminal in self.terminals}
        plates |= {trunk.plate for trunk in self.trunks} | {stretch.plate for stretch in self.stretches}
        plates |= {grommet.plate for grommet in self.grommets}
        if lost_plates := sorted(plates - set(range(len(self.panels)))):
            raise ValueError(f"something stands on plate {lost_plates[0]}, which is not there")

    @property
    def bundles(self) -> tuple[PlateStretch, ...]:
        """The stretches of trunks, in order."""
        return tuple(stretch for stretch in self.stretches if stretch.bundle is not None)

    def run(self, name: str) -> PlateRun:
        """Return the run of this name."""
        return next(run for run in self.runs if run.name == name)

    def stretch(self, name: str) -> PlateStretch:
        """Return the stretch of this name."""
        return next(stretch for stretch in self.stretches if stretch.name == name)


@dataclass(frozen=True, slots=True)
class Passage:
    """A place on one plate where wires go to another one."""

    plate: int
    at: Spot
    to: int


def passages(sheet: PlateSheet) -> tuple[Passage, ...]:
    """Return where wires go from one plate to another, on both plates, each place once."""
    held = {stretch.name: stretch for stretch in sheet.stretches}
    found: dict[Passage, None] = {}
    for run in sheet.runs:
        for before, after in pairwise(run.legs):
            one, two = held[before.stretch], held[after.stretch]
            if one.plate != two.plate:
                found[Passage(one.plate, one.path[0 if before.against else -1], two.plate)] = None
                found[Passage(two.plate, two.path[-1 if after.against else 0], one.plate)] = None
    return tuple(found)
