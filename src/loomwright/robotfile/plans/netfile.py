"""The net of trunks as it was worked out, kept beside the sheets: the geometry of a plan that is still current.

It is worked out again where the file is missing, damaged, or from other inputs or another program, so nothing is lost
where it is deleted.
"""

from __future__ import annotations

import json
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from loomwright.findings import Finding, Place, Severity
from loomwright.layout.result import Course, Edge, KnownNet, Net, Node

if TYPE_CHECKING:
    from pathlib import Path

#: The file that keeps it, beside the sheets.
NAME: Final = ".net.json"
_LARGEST: Final = 20_000_000


def read_net(path: Path, source: str) -> KnownNet | None:
    """Return the net that was worked out from this source, None where none is kept."""
    try:
        held = json.loads(path.read_bytes()) if path.stat().st_size <= _LARGEST else {}
        return _net(held) if held["source"] == source else None
    except (OSError, ValueError, KeyError, TypeError, IndexError, AttributeError, RecursionError):
        return None  # what can't be read is not there


def write_net(known: KnownNet, source: str) -> bytes:
    """Return what to keep of a net that was worked out from this source, for `NAME`."""
    net = known.net
    held = {
        "source": source,
        "asked": sorted(known.asked),
        "nodes": [[node.name, node.at] for node in net.nodes],
        "edges": [_edge_row(edge) for edge in net.edges],
        "terminals": [[*terminal, node] for terminal, node in net.terminals.items()],
        "proposed": net.proposed,
        "findings": [finding.as_dict() for finding in net.findings],
        "loose": [_edge_row(known.loose[name]) for name in sorted(known.loose)],
    }
    return (json.dumps(held, ensure_ascii=True, separators=(",", ":")) + "\n").encode("ascii")


def _edge_row(edge: Edge) -> list[object]:
    told = [edge.name, edge.a, edge.b, edge.path, edge.length_m, str(edge.course), edge.trunk, edge.capacity_m]
    return [*told, edge.slack_m, edge.moving, edge.signal_only, edge.over]


def _net(held: dict[str, Any]) -> KnownNet:
    net = Net(
        nodes=tuple(Node(name, _point(at)) for name, at in held["nodes"]),
        edges=tuple(_edge(row) for row in held["edges"]),
        terminals=MappingProxyType({(device, socket): node for device, socket, node in held["terminals"]}),
        proposed=held["proposed"],
        findings=tuple(_finding(each) for each in held["findings"]),
    )
    asked = frozenset((device, socket) for device, socket in held["asked"])
    return KnownNet(asked, net, MappingProxyType({row[0]: _edge(row) for row in held["loose"]}))


def _point(at: list[float]) -> tuple[float, float, float]:
    right, forward, up = at
    return right, forward, up


def _edge(row: list[Any]) -> Edge:
    name, a, b, path, length_m, course, trunk, capacity_m, slack_m, moving, signal_only, over = row
    points = tuple(_point(at) for at in path)
    told = (name, a, b, points, length_m, Course(course), trunk, capacity_m, slack_m, moving, signal_only, tuple(over))
    return Edge(*told)


def _finding(held: dict[str, Any]) -> Finding:
    place = Place(held["file"], held["line"], held["column"], held["thing"])
    told = (held["code"], Severity(held["severity"]), place, held["what"], held["fix"], held["source"])
    return Finding(*told, rests_on=tuple(held["rests_on"]), asks=held["asks"])
