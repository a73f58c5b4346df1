"""One plan with routes, bundles, slots and a cut list made by hand, every number of which is known."""

from __future__ import annotations

from dataclasses import replace

from loomwright.cutting.result import CutPlan, Piece, Purchase, SpoolCut
from loomwright.layout.result import Copper, Course, Edge, Grommet, Layout, Net, Node, Route, Run, Section
from loomwright.layout.slot_problem import Clash, SlotAnswer
from loomwright.model.stock import Offer, Spool, Stock
from loomwright.plan.result import Plan
from loomwright.search import Certificate
from loomwright.units import Gauge
from tests.documents_plan.factories import branch, plan, robot

PROVED = Certificate(cost=100.0, bound=100.0, unit="mm", baseline=120.0)
SLOTS = Certificate(cost=21074, bound=20989.7, unit="mm", baseline=21247, breaks=4, least_breaks=4)
TRUNKS = replace(PROVED, unit="g of copper", cost=1110.94844, bound=1110.94844, baseline=1232.4422)
SCRAP = Certificate(cost=36, bound=30, unit="mm", baseline=170, breaks=2, least_breaks=2)

CLASH = Clash(
    items=("left front", "intake"),
    spots=(("block", "H3"),),
    wishes=("heavy: intake", "heavy: left front"),
    drops=("heavy: intake",),
    counting=True,
)
_COPPER = Copper(Gauge(12), 58.8, (3.9, 3.9))
NODES = (
    Node("H3", (0.3, 0.1, 0.0)),
    Node("H10", (0.34, 0.1, 0.0)),
    Node("n1", (0.32, 0.12, 0.0)),
    Node("n2", (0.32, 0.42, 0.0)),
    Node("n3", (0.32, 0.42, 0.3)),
    Node("left front", (0.1, 0.42, 0.0)),
    Node("right front", (0.34, 0.44, 0.3)),
)
_AT = {node.name: node.at for node in NODES}


def _edge(name: str, a: str, b: str, course: Course, length_m: float, *, trunk: str = "", slack_m: float = 0.0) -> Edge:
    return Edge(name, a, b, (_AT[a], _AT[b]), length_m, course, trunk, slack_m=slack_m, moving=bool(slack_m))


EDGES = (
    _edge("drop H3", "H3", "n1", Course.DROP, 0.04),
    _edge("drop H10", "H10", "n1", Course.DROP, 0.05),
    _edge("centre 1", "n1", "n2", Course.TRUNK, 0.3, trunk="centre"),
    _edge("lift 1", "n2", "n3", Course.TRUNK, 0.3, trunk="lift", slack_m=0.12),
    _edge("link 2", "n2", "left front", Course.LINK, 0.22, trunk="link 2"),
    _edge("drop right front", "n3", "right front", Course.DROP, 0.06),
)
RUNS = (
    Run(
        "left front",
        "H3",
        "left front",
        (("left front", "plus"), ("left front", "minus")),
        power=True,
        options=(_COPPER,),
    ),
    Run(
        "right front",
        "H10",
        "right front",
        (("right front", "plus"), ("right front", "minus")),
        power=True,
        options=(_COPPER,),
    ),
)
ROUTES = (
    Route(
        "right front", ("drop H10", "centre 1", "lift 1", "drop right front"), ("H10", "n1", "n2", "n3", "right front")
    ),
    Route("left front", ("drop H3", "centre 1", "link 2"), ("H3", "n1", "n2", "left front")),
)
CENTRE = Section(
    "centre",
    "centre",
    ("centre 1",),
    (_AT["n1"], _AT["n2"]),
    ("left front", "right front"),
    4,
    diameter_m=0.00941,
    bend_m=0.039,
    length_m=0.3,
    ties=((0.32, 0.14, 0.0), (0.32, 0.22, 0.0), (0.32, 0.32, 0.0), (0.32, 0.4, 0.0)),
    fill=0.376,
)
LIFT = Section(
    "lift",
    "lift",
    ("lift 1",),
    (_AT["n2"], _AT["n3"]),
    ("right front",),
    2,
    diameter_m=0.0078,
    bend_m=0.039,
    length_m=0.3,
    ties=((0.32, 0.42, 0.02), (0.32, 0.42, 0.28)),
    moving=True,
)
LINK = replace(
    LIFT,
    name="link 2",
    trunk="link 2",
    edges=("link 2",),
    path=(_AT["n2"], _AT["left front"]),
    order=("left front",),
    length_m=0.22,
    ties=((0.2, 0.42, 0.0),),
    moving=False,
    proposed=True,
)
LAYOUT = Layout(
    Net(NODES, EDGES),
    RUNS,
    ROUTES,
    EDGES,
    sections=(LINK, LIFT, CENTRE),
    grommets=(Grommet((0.32, 0.3, 0.0), "sharp edge"),),
    crossings=3,
    forced=2,
    certificate=TRUNKS,
    unrouted={"intake": "intake controller has no place"},
)

_RED_BLACK = ("RD", "BK")
LEFT = Piece(("W1", "W2"), Gauge(12), _RED_BLACK, 0.61)
RIGHT = Piece(("W3",), Gauge(12), ("RD",), 0.853)
RIGHT_MINUS = Piece(("W4",), Gauge(12), ("BK",), 0.853)
OFFER = Offer(Gauge(12), ("RD",), 7.62, 12.5)
CUT = CutPlan(
    cuts=(
        SpoolCut(
            Spool("12 AWG red/black, off-cut 1", Gauge(12), _RED_BLACK, 0.646, offcut=True), (LEFT,), 0.036, kept=False
        ),
        SpoolCut(
            Spool("12 AWG red, new spool 1", Gauge(12), ("RD",), 7.62),
            (RIGHT, replace(RIGHT, wires=("W9",), length_m=0.5)),
            6.257,
            kept=True,
            bought=OFFER,
        ),
    ),
    buys=(Purchase(OFFER, 1, 12.5),),
    freely=(Piece(("W10",), Gauge(22), ("YE",), 0.2),),
    missing=(RIGHT_MINUS,),
    certificate=SCRAP,
    metres=(
        (Gauge(22), ("YE",), 0.2),
        (Gauge(12), ("BK",), 0.853),
        (Gauge(12), ("RD",), 1.353),
        (Gauge(12), _RED_BLACK, 0.61),
    ),
)


def laid_out(held: Plan | None = None) -> Plan:
    """Give a plan all of this: left front runs along the centre and a link, right front up the lift."""
    held = held or plan()
    ways = {"left front": ("centre", "link 2"), "right front": ("centre", "lift")}
    circuits = tuple(
        replace(c, wires=tuple(replace(w, path=ways.get(c.id, ())) for w in c.wires)) for c in held.circuits
    )
    return replace(
        held,
        robot=replace(held.robot, stock=Stock((Gauge(12),), "stock.yaml")),
        circuits=circuits,
        layout=LAYOUT,
        slots=SlotAnswer(seats=(("left front", ("block", "H3")),), certificate=SLOTS, crossings=1, clashes=(CLASH,)),
        cut=CUT,
        chains={"main chain": replace(PROVED, cost=1500.0, bound=1200.0)},
    )


def undecided() -> Plan:
    """Give a plan in which nothing was there to choose, to route or to cut."""
    return plan((branch("left front", 1),), robot=robot())
