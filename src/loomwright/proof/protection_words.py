"""Breakers and fuses by the words that people use at the block."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.catalogue.protection_curve import blade_fuse_colour
from loomwright.rulebook.lookup import fed_from_slot, outlet_of

if TYPE_CHECKING:
    from loomwright.plan.result import Plan, PlannedCircuit

_BLADE_FUSE = "fuse/blade"


def protection_words(family: str, rating_a: float) -> str:
    """Name a breaker or fuse by its family and rating [A]: "blade fuse, 10 A (red)"; "" is a family nobody knows."""
    kind, _, name = family.partition("/")
    told = " ".join(word for word in (name, kind) if word) or "breaker or fuse"
    colour = blade_fuse_colour(rating_a) if family == _BLADE_FUSE else None
    return f"{told}, {rating_a:g} A{f' ({colour})' if colour else ''}"


def protection_kind(family: str) -> str:
    """Tell whether a family is "fuse" or "breaker"; one whose slot is not known counts with breakers."""
    return family.partition("/")[0] or "breaker"


def protection_of(plan: Plan, circuit: PlannedCircuit) -> tuple[str, float] | None:
    """Return the family and rating [A] of what goes into a circuit's slot; None without a slot or a rating.

    The family is "" where the slot is not known.
    """
    rating_a = circuit.protection_a.value
    if rating_a is None or not fed_from_slot(circuit):
        return None
    outlet = outlet_of(plan, circuit)
    return (outlet.protection if outlet is not None else "", rating_a)
