"""The shortest chain of many devices, by CP-SAT: a circuit through all of them and one place outside."""

from __future__ import annotations

from typing import Any

from loomwright.layout.engine.chain_first import Distance, Order, length_of
from loomwright.search import Effort, Watch
from loomwright.search.cpsat import run
from loomwright.search.lean import cp_model

#: The work of a usual search, in CP-SAT's unit (about a second); 24 devices need less than one.
_USUAL_WORK = 2.0
_SETTINGS = {"linearization_level": 2}


def prove(
    distance_mm: Distance, ends: Order, order: Order, bound: int, *, effort: Effort, watch: Watch
) -> tuple[Order, int]:
    """Return a chain at least as short as `order`, and a bound at least as high as `bound` [mm]."""
    outside = len(distance_mm)
    model = cp_model.CpModel()
    hops: dict[tuple[int, int], Any] = {}
    for one in range(outside + 1):
        for two in range(outside + 1):
            if one != two and _may(one, two, outside, ends):
                hops[one, two] = model.new_bool_var(f"{one} to {two}")
    model.add_circuit([(one, two, literal) for (one, two), literal in hops.items()])
    length = sum(distance_mm[one][two] * literal for (one, two), literal in hops.items() if outside not in {one, two})
    model.add(length <= length_of(distance_mm, order))
    model.add(length >= bound)
    model.minimize(length)
    known = set(zip((outside, *order), (*order, outside), strict=True))
    for hop, literal in hops.items():
        model.add_hint(literal, hop in known)
    work = None if effort is Effort.PROVE else _USUAL_WORK
    found = run(model, list(hops.values()), work=work, watch=watch, stage="chain", settings=_SETTINGS)
    if found.impossible:
        raise RuntimeError("internal error: the chain model refuses a chain that is known")
    if found.values is not None:
        after = dict(hop for hop, value in zip(hops, found.values, strict=True) if value)
        shorter = [after[outside]]
        while after[shorter[-1]] != outside:
            shorter.append(after[shorter[-1]])
        if length_of(distance_mm, tuple(shorter)) < length_of(distance_mm, order):
            order = tuple(shorter)
    return order, max(bound, found.bound or 0)


def _may(one: int, two: int, outside: int, ends: Order) -> bool:
    """Tell whether a hop is open: from outside only to a pinned first device, and back only from a pinned last one."""
    if one == outside and ends:
        return two == ends[0]
    return not (two == outside and len(ends) > 1) or one == ends[1]
