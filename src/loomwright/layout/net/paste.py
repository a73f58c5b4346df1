"""What the tool proposes, as lines to paste into the robot file."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.layout.result import Course
from loomwright.wording import natural

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from loomwright.layout.result import Edge, Net, Point

_STRAIGHT_M = 0.001


def trunk_text(net: Net, used: Collection[str] | None) -> str:
    """Write proposed trunks and links as YAML; see `loomwright.layout.net.as_trunk_lines`."""
    edges: dict[str, list[Edge]] = {}
    for edge in net.edges:
        if edge.course is Course.LINK:
            edges.setdefault(edge.trunk, []).append(edge)
    if used is not None:
        edges = {name: held for name, held in edges.items() if any(edge.name in used for edge in held)}
    lines = [
        _line(_called(name, i), path, signal_only=edges[name][0].signal_only)
        for name in sorted(edges, key=natural)
        for i, path in enumerate(_chains(edges[name]))
    ]
    return "\n".join(["trunks:", *lines, ""]) if lines else ""


def _called(name: str, part: int) -> str:
    """Return the name that a stretch has once the team owns it: "link 2" is a word of the tool's own."""
    own = name if name.startswith("proposed ") else f"proposed {name}"
    return own if part == 0 else f"{own} part {part + 1}"


def _chains(edges: Iterable[Edge]) -> list[list[Point]]:
    """Put edges that follow one another into lines."""
    chains: list[list[Point]] = []
    for edge in edges:
        if chains and chains[-1][-1] == edge.path[0]:
            chains[-1] += edge.path[1:]
        else:
            chains.append(list(edge.path))
    return [_straightened(chain) for chain in chains]


def _straightened(points: list[Point]) -> list[Point]:
    kept = [points[0]]
    for point, after in pairwise(points[1:]):
        around = math.dist(kept[-1], point) + math.dist(point, after) - math.dist(kept[-1], after)
        if around > _STRAIGHT_M / 10:
            kept.append(point)
    return [*kept, points[-1]]


def _line(name: str, path: list[Point], *, signal_only: bool) -> str:
    raised = any(point[2] for point in path)
    places = ", ".join(f"[{', '.join(f'{round(c * 1000)} mm' for c in (p if raised else p[:2]))}]" for p in path)
    return f"  {name}: {{along: [{places}], signal only: yes}}" if signal_only else f"  {name}: [{places}]"
