"""A small robot with places and a layout made by hand, from the real types."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from loomwright.layout.result import Copper, Course, Edge, Grommet, Layout, Net, Node, Point, Route, Run, Section
from loomwright.model.device import Device, Spot
from loomwright.model.fact import Fact, State
from loomwright.model.part import Part, Polarity, Port, PortKind, Role, Socket
from loomwright.model.robot import KeepOut, Plate, Robot, Trunk
from loomwright.plan.result import Plan
from loomwright.search import Certificate
from loomwright.units import Gauge
from tests.documents_plan import factories
from tests.documents_plan.factories import MARK, branch, device, end, plan, wire


def socket(name: str, role: Role, face: str) -> Socket:
    """Make a socket for two wires on a face."""
    ports = tuple(Port(f"{name} {p}", PortKind.LEVER, p) for p in (Polarity.PLUS, Polarity.MINUS))
    return Socket(name, role, ports, face=face)


BLOCK = Part(
    "block/two", "block", tuple(socket(name, Role.OUTLET, "front") for name in ("H1", "H2")), size_m=(0.1, 0.06)
)
CONTROLLER = Part("controller/small", "controller", (socket("supply", Role.SUPPLY, "back"),), size_m=(0.08, 0.04))
CAMERA = Part("camera/odd", "camera", (socket("supply", Role.SUPPLY, ""),))

OUTLINE = ((0.0, 0.0), (0.5, 0.0), (0.5, 0.5), (0.0, 0.5))
BLOCK_AT, LEFT_AT, ARM_AT = (0.25, 0.1), (0.1, 0.4), (0.4, 0.4)
H1: Point = (0.225, 0.13, 0.0)
H2: Point = (0.275, 0.13, 0.0)
LEFT: Point = (0.1, 0.38, 0.0)
ARM: Point = (0.4, 0.38, 0.3)
LOW: Point = (0.25, 0.2, 0.0)
HIGH: Point = (0.25, 0.38, 0.0)


def placed(name: str, part: Part, at: tuple[float, float], height_m: float = 0.0, **also: Any) -> Device:  # noqa: ANN401
    """Make a device with a place."""
    spot = Spot(Fact.of(at, MARK), Fact.of(height_m, MARK) if height_m else Fact())
    return device(name, part, spot=spot, **also)


def robot(**said: Any) -> Robot:  # noqa: ANN401  any field of a robot
    """Make a robot with a block, a controller, an arm 30 cm up, and a camera without a place."""
    plain: dict[str, Any] = {
        "devices": (
            placed("block", BLOCK, BLOCK_AT),
            replace(placed("left front controller", CONTROLLER, LEFT_AT), called="left front"),
            replace(placed("arm controller", CONTROLLER, ARM_AT, 0.3), called="arm"),
            device("camera", CAMERA),
        ),
        "plate": Plate(
            OUTLINE,
            (Trunk("centre", (LOW, HIGH), ("sharp edge",), MARK), Trunk("unused", (H1, LOW), ("moving",), MARK)),
            (KeepOut("wheel", ((0.0, 0.0), (0.05, 0.0), (0.05, 0.1))),),
        ),
    }
    return factories.robot(**(plain | said))


def edge(name: str, a: str, b: str, *path: Point, course: Course = Course.DROP, **also: Any) -> Edge:  # noqa: ANN401
    """Make an edge along a path."""
    return Edge(name, a, b, path, 0.1, course, **also)


MIDDLE: Point = (0.25, 0.3, 0.0)
NODES = {
    "block H1": H1,
    "block H2": H2,
    "left supply": LEFT,
    "arm supply": ARM,
    "low": LOW,
    "mid": MIDDLE,
    "high": HIGH,
}
EDGES = (
    edge("drop H1", "block H1", "low", H1, LOW),
    edge("drop H2", "block H2", "low", H2, LOW),
    edge("centre 1", "low", "mid", LOW, MIDDLE, course=Course.TRUNK, trunk="centre", slack_m=0.4, moving=True),
    edge("centre 2", "high", "mid", HIGH, MIDDLE, course=Course.TRUNK, trunk="centre", slack_m=0.2, moving=True),
    edge("drop left", "high", "left supply", HIGH, LEFT),
    edge("drop arm", "high", "arm supply", HIGH, (0.4, 0.38, 0.0), ARM),
)


def layout(**said: Any) -> Layout:  # noqa: ANN401  any field of a layout
    """Make a layout: one section of two edges, taken by one run along its path and by one against it."""
    thick = (Copper(Gauge(12), 60.0, (3.9, 3.9)), Copper(Gauge(10), 90.0, (4.6, 4.6)))
    runs = (
        Run(
            "left front",
            "block H1",
            "left supply",
            (("left front", "plus"), ("left front", "minus")),
            power=True,
            options=thick,
        ),
        Run("arm", "arm supply", "block H2", (("arm", "plus"), ("arm", "minus")), power=True, options=thick),
    )
    section = Section(
        name="centre",
        trunk="centre",
        edges=("centre 1", "centre 2"),
        path=(LOW, MIDDLE, HIGH),
        order=("left front", "arm"),
        wires=4,
        diameter_m=0.0094,
        bend_m=0.039,
        length_m=0.18,
        ties=((0.25, 0.22, 0.0), (0.25, 0.36, 0.0)),
        fill=0.5,
        moving=True,
    )
    plain: dict[str, Any] = {
        "net": Net(
            tuple(Node(name, at) for name, at in NODES.items()),
            EDGES,
            {
                ("block", "H1"): "block H1",
                ("block", "H2"): "block H2",
                ("left front controller", "supply"): "left supply",
                ("arm controller", "supply"): "arm supply",
            },
        ),
        "runs": runs,
        "routes": (
            Route("left front", ("drop H1", "centre 1", "centre 2", "drop left"), ("block H1", "low", "mid", "high")),
            Route("arm", ("drop arm", "centre 2", "centre 1", "drop H2"), ("arm supply", "high", "mid", "low"), 1),
        ),
        "edges": EDGES,
        "sections": (section,),
        "grommets": (Grommet((0.25, 0.36, 0.0), "sharp edge"),),
        "crossings": 2,
        "forced": 1,
        "certificate": Certificate(cost=100.0, bound=99.6, unit="g"),
        "unrouted": {"horn": "no way leads there", "camera": "has no place"},
    }
    return Layout(**(plain | said))


def planned(**said: Any) -> Plan:  # noqa: ANN401  any field of a plan
    """Make the plan of that robot with that layout."""
    pairs = []
    for name, first, slot in (("left front", 1, "H1"), ("arm", 3, "H2")):
        wires = tuple(
            wire(
                f"W{first + i}",
                name,
                str(polarity),
                a=end("A", "block", polarity, socket=slot),
                b=end("B", f"{name} controller", polarity, socket="supply"),
            )
            for i, polarity in enumerate((Polarity.PLUS, Polarity.MINUS))
        )
        pairs.append(branch(name, first, wires=wires))
    return plan(tuple(pairs), **({"robot": robot(), "layout": layout()} | said))


GUESSED = Fact.of(LEFT_AT, MARK, State.GUESSED)
