"""Which rows of a table of wires stay on one page: those of wires that lead the same way and are made together."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable

    from loomwright.plan.result import Plan

#: A pair, or the three phases of a motor; a longer run may be parted.
_MOST: Final = 3


def runs_of(plan: Plan, wires: Iterable[str]) -> tuple[int, ...]:
    """Return how many rows stay together, from the top, for rows of these wires."""
    ways = {wire.id: (wire.circuit, wire.a.device, wire.a.socket, wire.b.device, wire.b.socket) for wire in plan.wires}
    together = (len(list(same)) for _, same in groupby(wires, key=ways.__getitem__))
    return tuple(run for many in together for run in ((many,) if many <= _MOST else (1,) * many))
