"""What asks for a look at the bundles: tight bends, full trunks, thick bundles, swarf, power beside data."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from loomwright.catalogue.bundle_practice import practice, practice_source
from loomwright.findings import Finding, Place, Severity, by_weight
from loomwright.layout.ties import bends
from loomwright.units import Dimension, show
from loomwright.wording import listed, natural

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from loomwright.layout.result import Edge, Point, Run, Section
    from loomwright.layout.ties import Bend
    from loomwright.model.robot import Robot

Strand = tuple[str, tuple["Edge", ...], tuple["Point", ...]]
"""A trunk as far as wires use it: its name, edges and path."""

_HAIR_M = 1e-6


def bundle_findings(
    robot: Robot, strands: Sequence[Strand], sections: Sequence[Section], runs: Iterable[Run]
) -> tuple[Finding, ...]:
    """Return what asks for a look, each with its trunk's place in the file; at most one of a kind for each trunk."""
    return by_weight(
        (
            *_tight(robot, strands, sections),
            *_full(robot, sections),
            *_thick(robot, sections),
            *_swarf(robot, sections),
            *_mixed(robot, sections, runs),
        )
    )


def _tight(robot: Robot, strands: Sequence[Strand], sections: Sequence[Section]) -> Iterator[Finding]:
    """Look at every corner of a trunk: the legs have to hold the curve that its bundle needs."""
    on_edge = {edge: section for section in sections for edge in section.edges}
    tight: dict[str, list[str]] = defaultdict(list)
    for trunk, edges, path in strands:
        corners = bends(path)
        needs = [_needs_m(bend, [on_edge[edge.name] for edge in edges]) for bend in corners]
        for n, bend in enumerate(corners):
            back_m = needs[n] + (needs[n - 1] if bend.back_shared else 0.0)
            ahead_m = needs[n] + (needs[n + 1] if bend.ahead_shared else 0.0)
            short = [
                (need, leg) for need, leg in ((back_m, bend.back_m), (ahead_m, bend.ahead_m)) if leg < need - _HAIR_M
            ]
            if short:
                need, leg = max(short, key=lambda pair: pair[0] - pair[1])
                tight[trunk].append(
                    f"the corner at {_at(bend.at)} has {_long(leg)} of straight and needs {_long(need)}"
                )
    for trunk, corners_told in tight.items():
        thickest = max((s.bend_m for s in sections if s.trunk == trunk), default=0.0)
        yield Finding(
            "bend-tight",
            Severity.SHOULD,
            _place(robot, trunk),
            f"{trunk} bends too tightly for its wires, which ask for a radius of {_long(thickest)}: "
            f"{listed(corners_told, 'and')}.",
            "Draw the corner as two gentler ones or with longer legs, or move thick wires to another trunk.",
            practice_source("bend over thickest wire"),
        )


def _needs_m(bend: Bend, sections: Sequence[Section]) -> float:
    """Return the straight that a corner takes from each of its legs [m], for the bundles that pass it."""
    here = [section for section in sections if bend.at in section.path]
    return max((bend.needs_m(section.bend_m + section.diameter_m / 2) for section in here), default=0.0)


def _full(robot: Robot, sections: Sequence[Section]) -> Iterator[Finding]:
    for section in _worst(sections, lambda section: section.fill or 0.0, practice("full trunk")):
        fill = section.fill or 0.0
        yield Finding(
            "trunk-full",
            Severity.CONSIDER if fill <= 1 else Severity.SHOULD,
            _place(robot, section.trunk),
            f"{section.name} holds a bundle of {_long(section.diameter_m)} in clips for "
            f"{_long(section.diameter_m / fill)}.",
            "Give it wider clips and say so in `capacity`, or draw a second trunk beside it.",
            practice_source("full trunk"),
        )


def _thick(robot: Robot, sections: Sequence[Section]) -> Iterator[Finding]:
    most, thick_m = practice("many wires"), practice("thick bundle")
    for section in _worst(sections, lambda s: max(s.diameter_m / thick_m, s.wires / most), 1.0):
        yield Finding(
            "bundle-thick",
            Severity.SHOULD,
            _place(robot, section.trunk),
            f"{section.name} is a bundle of {section.wires} wires, {_long(section.diameter_m)} thick; "
            f"{most:g} wires or {_long(thick_m)} are the most that one bundle should have.",
            "Draw a second trunk and let some of them take it: a thick bundle is hot inside and hard to repair.",
            practice_source("thick bundle"),
        )


def _swarf(robot: Robot, sections: Sequence[Section]) -> Iterator[Finding]:
    used = {section.trunk for section in sections if not section.proposed}
    for trunk in robot.trunks:
        if "near swarf" in trunk.flags and trunk.name in used:
            yield Finding(
                "near-swarf",
                Severity.CONSIDER,
                _place(robot, trunk.name),
                f"Metal swarf can get to {trunk.name}; a splinter that works through insulation makes a short.",
                "Put a sleeve over the bundle, closed at its ends, and clean up after every drilling.",
                "common practice",
            )


def _mixed(robot: Robot, sections: Sequence[Section], runs: Iterable[Run]) -> Iterator[Finding]:
    """Tell once which data runs lie beside power for long, and along which trunks."""
    power = {run.name: run.power for run in runs}
    beside_m: dict[str, float] = defaultdict(float)
    for section in sections:
        if any(power[name] for name in section.order):
            for name in section.order:
                if not power[name]:
                    beside_m[name] += section.length_m
    long = [name for name, length_m in beside_m.items() if length_m > practice("power beside data")]
    if not long:
        return
    worst = max(long, key=lambda name: (beside_m[name], natural(name)))
    trunks = sorted(
        {s.trunk for s in sections if set(long) & set(s.order) and any(power[n] for n in s.order)}, key=natural
    )
    count = "1 data run lies" if len(long) == 1 else f"{len(long)} data runs lie"
    yield Finding(
        "power-with-data",
        Severity.CONSIDER,
        _place(robot, trunks[0]),
        f"{count} beside power wires for more than {_long(practice('power beside data'))}, along "
        f"{listed(trunks, 'and')}; the longest is {worst} with {_long(beside_m[worst])}.",
        "Twist data pairs all the way, or draw a trunk with `signal only: yes` on the other side of the robot.",
        practice_source("power beside data"),
    )


def _worst(sections: Sequence[Section], measure: Callable[[Section], float], limit: float) -> Iterator[Section]:
    """Give of every trunk the section that measures most, where that is over the limit."""
    by_trunk: dict[str, list[Section]] = defaultdict(list)
    for section in sections:
        by_trunk[section.trunk].append(section)
    for parts in by_trunk.values():
        worst = max(parts, key=measure)
        if measure(worst) > limit:
            yield worst


def _place(robot: Robot, trunk: str) -> Place:
    drawn = next((t for t in robot.trunks if t.name == trunk), None)
    if drawn is None:
        return Place(thing=f"plate.trunks.{trunk}")
    return Place(drawn.mark.file, drawn.mark.line, drawn.mark.column, drawn.path or f"plate.trunks.{trunk}")


def _at(point: Point) -> str:
    return f"[{_long(point[0])}, {_long(point[1])}]"


def _long(length_m: float) -> str:
    return show(round(length_m, 4), Dimension.LENGTH, digits=2)
