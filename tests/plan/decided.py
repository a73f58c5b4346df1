"""What is decided for a robot as a whole, made by hand: routes, slots, the cut list, each with its proof."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from loomwright.cutting.result import CutPlan, Piece, SpoolCut
from loomwright.layout.result import Copper, Layout, Net, Route, Run, Section
from loomwright.layout.slot_problem import Clash, SlotAnswer
from loomwright.model.stock import Offer, Spool
from loomwright.plan.result import Plan, PlannedWire
from loomwright.search import Certificate
from loomwright.units import Gauge

PROOF = Certificate(cost=1234.5, bound=1200.25, unit="mm", baseline=1500.0, breaks=1, least_breaks=1, baseline_breaks=2)
ROUTES = (
    Route("right front", ("drop of H10", "centre 2", "drop of right front"), ("H10", "n1", "n2", "right front"), 1),
    Route("left front", ("drop of H3", "centre 2", "centre 3"), ("H3", "n1", "n2", "left front")),
)
CLASH = Clash(
    items=("left front", "intake"), spots=(("block", "H3"),), wishes=("heavy: intake",), drops=("x",), counting=True
)
_WAYS = (Copper(None, 15.0, (6.0,)), Copper(Gauge(12), 29.4, (3.6, 3.6)))


def decided(held: Plan) -> Plan:
    """Give a plan routes over the centre trunk, slots with a clash, and a cut list of two spools."""
    wires = {wire.key: wire for wire in held.wires}
    runs = tuple(Run(r.run, r.nodes[0], r.nodes[-1], ((r.run, "plus"),), power=True, options=_WAYS) for r in ROUTES)
    pair = [piece(wires["left front", "plus"], wires["left front", "minus"])]
    singles = [piece(wires["right front", "plus"]), piece(wires["right front", "minus"])]
    offer = Offer(Gauge(12), ("RD",), 7.62)
    cuts = (
        SpoolCut(Spool("shelf 2", Gauge(12), ("RD", "BK"), 3.0), tuple(pair), 2.137, kept=True),
        SpoolCut(Spool("new 1", Gauge(12), ("RD",), 7.62), tuple(singles), 5.904, kept=True, bought=offer),
    )
    return replace(
        held,
        circuits=tuple(
            replace(c, wires=tuple(replace(w, path=("centre",)) for w in c.wires)) if c.id == "left front" else c
            for c in held.circuits
        ),
        layout=Layout(
            Net(),
            runs,
            ROUTES,
            (),
            sections=(bundle("centre part 10", 0.01421), bundle("centre part 2", 0.0061)),
            shared=2,
            certificate=replace(PROOF, unit="g of copper"),
        ),
        slots=SlotAnswer(seats=(("left front", ("block", "H3")),), certificate=PROOF, crossings=3, clashes=(CLASH,)),
        cut=CutPlan(cuts=cuts, certificate=replace(PROOF, baseline=None, cost=17.0)),
        chains={"main chain": replace(PROOF, cost=0.1, unit="mm")},
    )


def bundle(name: str, diameter_m: float) -> Section:
    """Make a bundle of two runs."""
    return Section(name, "centre", ("centre 2",), (), ("left front", "right front"), 4, diameter_m, 0.03, 0.2, ())


def piece(*wires: PlannedWire) -> Piece:
    """Make the piece that becomes these wires."""
    first = wires[0]
    assert first.gauge is not None
    return Piece(tuple(w.id for w in wires), first.gauge, tuple(w.colour for w in wires), first.length_m or 0.0)


def certificates() -> st.SearchStrategy[Certificate]:
    """Draw proofs with any finite numbers, and units with spaces."""
    number = st.floats(allow_nan=False)
    return st.builds(
        Certificate,
        cost=number,
        bound=number,
        unit=st.sampled_from(["mm", "g", "g of copper", ""]),
        baseline=st.none() | number,
        breaks=st.integers(0, 9).map(float),
        least_breaks=st.floats(0, 9),
        baseline_breaks=st.none() | st.integers(0, 9).map(float),
    )


@st.composite
def decisions(draw: st.DrawFn, held: Plan) -> Plan:
    """Draw routes, slots and a cut list for a plan, with names and numbers as odd as they come; each may be missing."""
    names = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
    word = st.lists(names, max_size=4).map(tuple)
    routes = draw(
        st.lists(st.builds(Route, names, word, word, st.integers(0, 1)), unique_by=lambda r: r.run, max_size=6)
    )
    runs = tuple(Run(r.run, "a", "b", (), power=True, options=_WAYS) for r in routes)
    thick = draw(st.dictionaries(names, st.integers(1, 9999), max_size=3))
    layout = Layout(
        Net(),
        runs,
        tuple(routes),
        (),
        sections=tuple(bundle(name, round(hundredths / 100_000, 5)) for name, hundredths in thick.items()),
        shared=draw(st.integers(0, 4)),
        certificate=draw(certificates()),
    )
    spots = st.lists(st.tuples(names, names), max_size=2).map(tuple)
    clash = st.builds(Clash, items=word, spots=spots, wishes=word, drops=word, counting=st.booleans())
    answer = SlotAnswer(
        seats=(),
        certificate=draw(certificates()),
        crossings=draw(st.integers(0, 9)),
        clashes=tuple(draw(st.lists(clash, max_size=2))),
    )
    return replace(
        held,
        circuits=tuple(replace(c, wires=tuple(replace(w, path=draw(word)) for w in c.wires)) for c in held.circuits),
        layout=draw(st.sampled_from([layout, None])),
        slots=draw(st.sampled_from([answer, None])),
        cut=draw(st.none() | _cut_plans(held, names)),
        chains=draw(st.dictionaries(names, certificates(), max_size=2)),
    )


@st.composite
def _cut_plans(draw: st.DrawFn, held: Plan, names: st.SearchStrategy[str]) -> CutPlan:
    """Share some of the wires out to spools, alone and in pairs."""
    wires = list(draw(st.permutations([w for w in held.wires if w.gauge is not None])))
    cuts = []
    while wires:
        pieces = []
        for count in draw(st.lists(st.sampled_from([1, 2]), max_size=4)):
            taken, wires = wires[:count], wires[count:]
            pieces += [piece(*taken)] if taken else []
        length_m = draw(st.integers(1, 99_999)) / 1000
        spool = Spool(draw(names), Gauge(12), ("RD",), length_m)
        bought = draw(st.sampled_from([None, Offer(Gauge(12), ("RD",), length_m)]))
        cuts.append(SpoolCut(spool, tuple(pieces), draw(st.integers(0, 99_999)) / 1000, kept=True, bought=bought))
        if draw(st.booleans()):
            break
    return CutPlan(cuts=tuple(cuts), certificate=draw(certificates()))
