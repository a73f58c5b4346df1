"""Where each wire runs on the page: side by side in the order of its bundle, turning where the bundle turns.

A bundle keeps, past a breakout, as many wires as it can on the line that they have; so a drop leaves and the rest goes
straight on.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from statistics import median_low

from loomwright.documents.plate.frame import Frame
from loomwright.documents.plate.geometry import along, beside, left_of, rounded, shifted, turn_deg
from loomwright.documents.plate.nudge import nudges
from loomwright.documents.plate.sheet import PlateLeg, PlateRun, PlateSheet, PlateStretch, Spot
from loomwright.documents.scene import Point
from loomwright.layout.result import Course

THINNEST_MM = 0.3
_GOOD_MM = 0.55  # so thick a wire is drawn at least where there is room
_THICKEST_MM = 2.4
_WIDEST_MM = 12.0  # wires get thinner until the widest bundle is no wider than this, or they are at their thinnest
_TOO_WIDE_MM = 15.0  # a bundle that is wider still is drawn as one tube
_BREAKOUT_MM = 1.4
_APART_MM = 0.3
_ON_DEG = 30.0


@dataclass(frozen=True, slots=True)
class Strand:
    """One wire on the page: its colour code, its line, and its thickness [mm]."""

    colour: str
    points: tuple[Point, ...]
    width_mm: float


@dataclass(frozen=True, slots=True)
class Ribbon:
    """A run on the page: the line of its middle, its whole thickness [mm], and its wires from left to right."""

    run: PlateRun
    points: tuple[Point, ...]
    width_mm: float
    strands: tuple[Strand, ...]
    loose: bool
    plate: int = 0


@dataclass(frozen=True, slots=True)
class Lanes:
    """How wide wires and stretches are drawn, and how far each run of a stretch is to the left of its path [mm].

    `nudge_mm` moves single straight pieces of drops and loose runs further to the left.
    """

    paths: Mapping[str, tuple[Point, ...]]
    wire_mm: Mapping[str, float]
    width_mm: Mapping[str, float]
    middle_mm: Mapping[str, float]
    offset_mm: Mapping[tuple[str, str], float]
    tubes: frozenset[str]
    nudge_mm: Mapping[tuple[str, int], float]

    def run_mm(self, run: PlateRun) -> float:
        """Return how thick a run is drawn [mm]."""
        return sum(self.wire_mm[wire.id] for wire in run.wires)


def lanes(sheet: PlateSheet, frames: Mapping[int, Frame]) -> Lanes:
    """Give each run its place beside the path of every stretch that it takes."""
    paths = {s.name: frames[s.plate].points(s.path) for s in sheet.stretches}
    wire_mm = _wire_widths(sheet, frames)
    runs = {run.name: run for run in sheet.runs}
    width = {name: sum(wire_mm[wire.id] for wire in run.wires) for name, run in runs.items()}
    whole = {s.name: sum(width[name] for name in s.order) for s in sheet.stretches}
    tubes = frozenset(name for name, wide in whole.items() if wide > _TOO_WIDE_MM)
    drawn = {name: min(wide, _WIDEST_MM) if name in tubes else wide for name, wide in whole.items()}
    centred = {
        (s.name, name): off * drawn[s.name] / max(whole[s.name], THINNEST_MM)
        for s in sheet.stretches
        for name, off in _centred(s, width).items()
    }
    middle = _middles(sheet, paths, centred, drawn)
    offset = {key: off + middle[key[0]] for key, off in centred.items()}
    nudge: dict[tuple[str, int], float] = {}
    for plate in frames:
        lone = {s.name: paths[s.name] for s in sheet.stretches if s.plate == plate and s.bundle is None}
        wide = {name: mm + _APART_MM for name, mm in drawn.items()}
        nudge |= nudges(lone, wide, _bodies(sheet, plate, frames[plate]))
    return Lanes(paths, wire_mm, drawn, middle, offset, tubes, nudge)


def _bodies(sheet: PlateSheet, plate: int, frame: Frame) -> dict[Point, Point]:
    """Return the middle of the device for each terminal on a plate, both on the page."""
    corners = {device.id: device.corners for device in sheet.devices}
    return {
        frame.point(terminal.at): frame.point(middle_of(corners[terminal.device]))
        for terminal in sheet.terminals
        if terminal.plate == plate and terminal.device in corners
    }


def middle_of(corners: Sequence[Spot]) -> Spot:
    """Return the middle of some corners."""
    return (sum(x for x, _ in corners) / len(corners), sum(y for _, y in corners) / len(corners))


def _wire_widths(sheet: PlateSheet, frames: Mapping[int, Frame]) -> dict[str, float]:
    """Return how thick each wire is drawn: to scale, but all thinner where the widest bundle would get too wide."""
    scale = frames[0].scale if frames else 1.0
    outside = {wire.id: wire.outside_mm / scale for run in sheet.runs for wire in run.wires}
    most = max((sum(len(sheet.run(name).wires) for name in s.order) for s in sheet.stretches), default=1)
    thinnest = max(THINNEST_MM, min(_GOOD_MM, _WIDEST_MM / max(1, most)))

    def widths(squeeze: float) -> dict[str, float]:
        return {name: min(max(mm * squeeze, thinnest), _THICKEST_MM) for name, mm in outside.items()}

    def widest(squeeze: float) -> float:
        size = widths(squeeze)
        by_run = {run.name: sum(size[wire.id] for wire in run.wires) for run in sheet.runs}
        return max((sum(by_run[name] for name in s.order) for s in sheet.stretches), default=0.0)

    squeeze = next((step / 20 for step in range(20, 2, -1) if widest(step / 20) <= _WIDEST_MM), 0.1)
    return widths(squeeze)


def _centred(stretch: PlateStretch, width: Mapping[str, float]) -> dict[str, float]:
    """Return how far each run is to the left of the middle of its bundle [mm]."""
    left = sum(width[name] for name in stretch.order) / 2
    found = {}
    for name in stretch.order:
        found[name] = left - width[name] / 2
        left -= width[name]
    return found


def _middles(
    sheet: PlateSheet,
    paths: Mapping[str, tuple[Point, ...]],
    centred: Mapping[tuple[str, str], float],
    drawn: Mapping[str, float],
) -> dict[str, float]:
    """Return how far the middle of each stretch is moved to the left of its path, so that wires go straight on."""
    middle: dict[str, float] = {}
    neighbours = _straight_on(sheet, paths)
    room: dict[str, float] = {}
    for s in sheet.stretches:
        if s.bundle is not None:
            room[s.trunk] = max(room.get(s.trunk, 0.0), drawn[s.name])
    for first in sorted(sheet.bundles, key=lambda s: (-drawn[s.name], s.name)):
        waiting = [first]
        while waiting:
            stretch = waiting.pop(0)
            if stretch.name in middle:
                continue
            wanted = [
                sign * (centred[other, run] + middle[other]) - centred[stretch.name, run]
                for other, run, sign in neighbours.get(stretch.name, ())
                if other in middle
            ]
            most = max(0.0, (room[stretch.trunk] - drawn[stretch.name]) / 2)
            middle[stretch.name] = min(max(median_low(wanted), -most), most) if wanted else 0.0
            waiting += [
                sheet.stretch(name) for name in sorted({other for other, *_ in neighbours.get(stretch.name, ())})
            ]
    return {stretch.name: middle.get(stretch.name, 0.0) for stretch in sheet.stretches}


def _straight_on(sheet: PlateSheet, paths: Mapping[str, tuple[Point, ...]]) -> dict[str, list[tuple[str, str, float]]]:
    """Return, for each stretch of trunk, what goes straight on from it: (stretch, shared run, 1 same way or -1)."""
    bundles = {stretch.name for stretch in sheet.bundles}
    found: dict[str, list[tuple[str, str, float]]] = {}
    for run in sheet.runs:
        for one, two in pairwise(run.legs):
            ways = [walked(paths, leg) for leg in (one, two)]
            if not {one.stretch, two.stretch} <= bundles or min(map(len, ways)) < 2:  # noqa: PLR2004 two points make a line
                continue
            if turn_deg(along(*ways[0][-2:]), along(*ways[1][:2])) < _ON_DEG:
                sign = 1.0 if one.against == two.against else -1.0
                found.setdefault(one.stretch, []).append((two.stretch, run.name, sign))
                found.setdefault(two.stretch, []).append((one.stretch, run.name, sign))
    return found


def walked(paths: Mapping[str, tuple[Point, ...]], leg: PlateLeg) -> tuple[Point, ...]:
    """Return the path of a leg in the direction of its run."""
    path = paths[leg.stretch]
    return path[::-1] if leg.against else path


def ribbons(sheet: PlateSheet, held: Lanes, frames: Mapping[int, Frame]) -> tuple[Ribbon, ...]:
    """Return every run as it is drawn on each plate that it comes to, those with the longest way first."""
    plates = {stretch.name: stretch.plate for stretch in sheet.stretches}
    found: list[Ribbon] = []
    for run in sheet.runs:
        for plate, legs in groupby(run.legs, key=lambda leg: plates[leg.stretch]):
            ribbon = _ribbon(sheet, run, tuple(legs), held, frames[plate].scale)
            found += [replace(ribbon, plate=plate)] if ribbon is not None else []
    return tuple(sorted(found, key=lambda ribbon: -len(ribbon.run.legs)))


def _ribbon(sheet: PlateSheet, run: PlateRun, legs: tuple[PlateLeg, ...], held: Lanes, scale: float) -> Ribbon | None:
    """Return one run as it is drawn on one plate; nothing where it goes straight up."""
    stretches = [sheet.stretch(leg.stretch) for leg in legs]
    courses = {stretch.course for stretch in stretches}
    bends = [stretch.bundle.bend_m for stretch in stretches if stretch.bundle is not None]
    lone = (stretches[0].bundle is None, stretches[-1].bundle is None)
    radius = max([_BREAKOUT_MM, *(bend * 1000 / scale for bend in bends)])
    middle = rounded(_line(run.name, legs, held, lone, 0.0), radius)
    if len(middle) < 2:  # noqa: PLR2004 two points make a line
        return None
    whole = held.run_mm(run)
    strands, left = [], whole / 2
    for wire in run.wires:
        thick = held.wire_mm[wire.id]
        line = rounded(_line(run.name, legs, held, lone, left - thick / 2), radius)
        strands.append(Strand(wire.colour, tuple(line), thick))
        left -= thick
    return Ribbon(run, tuple(middle), whole, tuple(strands), courses == {Course.LOOSE})


def _line(run: str, legs: tuple[PlateLeg, ...], held: Lanes, lone: tuple[bool, bool], left_mm: float) -> list[Point]:
    """Return the line that keeps to the left of the middle of a run, all along its way; `lone` ends are terminals."""
    pieces: list[tuple[Point, Point, float]] = []
    for leg in legs:
        path = held.paths[leg.stretch]
        along_it = [
            (a, b, held.offset_mm[leg.stretch, run] + held.nudge_mm.get((leg.stretch, i), 0.0))
            for i, (a, b) in enumerate(pairwise(path))
        ]
        pieces += [(b, a, -off) for a, b, off in reversed(along_it)] if leg.against else along_it
    return beside([(a, b, off + left_mm) for a, b, off in _to_the_ends(pieces, lone)])


def _to_the_ends(pieces: list[tuple[Point, Point, float]], lone: tuple[bool, bool]) -> list[tuple[Point, Point, float]]:
    """Lead a line that keeps beside its path from and to the very ends of the path, where these are terminals."""
    if not pieces:
        return pieces
    (a, b, off), (c, d, last_off) = pieces[0], pieces[-1]
    first = [(a, shifted(a, left_of(along(a, b)), off), 0.0)] if lone[0] and abs(off) > _APART_MM else []
    last = [(shifted(d, left_of(along(c, d)), last_off), d, 0.0)] if lone[1] and abs(last_off) > _APART_MM else []
    return [*first, *pieces, *last]
