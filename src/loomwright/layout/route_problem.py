"""Routing as a problem on its own: a net, runs, prices; and what an answer is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.layout.result import Edge, Node, Route, Run
    from loomwright.search import Certificate


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """What the parts of a layout cost, in grams of copper [g], metres and counts.

    Every run pays its copper and `handling_g_per_m` for each of its wires on every metre of wire (`Edge.wire_m`), and
    more on each metre off the trunks: `drop_g_per_m` on a drop, `loose_g_per_m` on a loose edge. A run that takes a
    loose edge, and so lies alone all the way, pays `loose_run_g` for it. A trunk or link is opened once, for all runs,
    at `trunk_g_per_m` or `link_g_per_m` of its length (`length_m`). Where power and data share an opened edge,
    `mixing_g_per_m` of its length is added. A run pays `bend_g` at every node where it turns by more than 30 degrees
    from one edge into the next, and `crossing_g` each time that a drop or loose run of its passes over a trunk or link
    (`Edge.over`) that is opened, by whomever.
    """

    handling_g_per_m: float
    drop_g_per_m: float
    loose_g_per_m: float
    loose_run_g: float
    trunk_g_per_m: float
    link_g_per_m: float
    mixing_g_per_m: float
    bend_g: float
    crossing_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteProblem:
    """Runs to route over a net. `edges` hold the shared net, the drops and every run's loose edge.

    `shared_g` prices each choice of the main leads [g]; `Copper.longest_m` has one entry for each. A run may use drop
    and loose edges only at its own two nodes: nobody passes through a terminal. Signal-only edges take no power run.
    The wires on an edge with a capacity form a bundle no thicker than that. `fixed` gives the edges of runs that lie
    already, in order from their start: they stay there.
    """

    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]
    runs: tuple[Run, ...]
    prices: Prices
    shared_g: tuple[float, ...] = (0.0,)
    fixed: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteAnswer:
    """A route for every run, which of the main leads' choices was taken, and how good that is proved to be.

    `unroutable` names the runs that have no way at all (with their reason); they have no route.
    """

    routes: tuple[Route, ...]
    shared: int
    certificate: Certificate
    unroutable: tuple[tuple[str, str], ...] = ()
