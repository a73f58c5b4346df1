"""Where things go: which slot each circuit stands on, which way its wires take, how long they are."""

from loomwright.layout.chain import chain_order
from loomwright.layout.choice import Choice
from loomwright.layout.lanes import lanes_of, terminals_of
from loomwright.layout.lengths import Lengths
from loomwright.layout.net import build_net
from loomwright.layout.routing import (
    KnownRoutes,
    Posed,
    Routed,
    known_routes,
    lay_out,
    loaded_beside,
    pose_routes,
    search_routes,
    ways_of,
)
from loomwright.layout.seating import Before
from loomwright.layout.slots import KnownSlots, Seated, assign_slots

__all__ = [
    "Before",
    "Choice",
    "KnownRoutes",
    "KnownSlots",
    "Lengths",
    "Posed",
    "Routed",
    "Seated",
    "assign_slots",
    "build_net",
    "chain_order",
    "known_routes",
    "lanes_of",
    "lay_out",
    "loaded_beside",
    "pose_routes",
    "search_routes",
    "terminals_of",
    "ways_of",
]
