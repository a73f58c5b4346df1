"""The rows that people fill in when they pull: every fitted end once, and every sample of a set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.documents.tables.cells import NOT_APPLICABLE, Cell, amount, text
from loomwright.proof.pulls import fitted_ends, pull_samples

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.plan.result import Plan
    from loomwright.proof.pulls import FittedEnd


def pull_rows(plan: Plan) -> tuple[dict[str, Cell], ...]:
    """Tell every end that somebody makes or plugs in, in the order of building, both ends of a wire together."""
    gauges = {wire.id: wire.gauge for wire in plan.wires}
    return tuple(
        {
            "wire": end.wire,
            "end": end.end,
            "where": text(end.where),
            "gauge": text(str(gauges[end.wire] or "")),
            "terminal": text(end.terminal),
            "card": NOT_APPLICABLE if end.card is None else float(end.card),
            "by_hand": str(end.by_hand),
            "revision": plan.revision,
        }
        for end in _wire_by_wire(plan)
    )


def sample_rows(plan: Plan) -> tuple[dict[str, Cell], ...]:
    """Tell every sample that this plan's ends ask for, tool by tool, each of a set in a row of its own."""
    return tuple(
        {
            "cards": ", ".join(map(str, sample.cards)),
            "crimping_tool": text(sample.tool),
            "terminal": text(sample.terminal),
            "gauge": text(str(sample.gauge or ""), applies=False),
            "must_hold_n": amount(sample.force_n, places=0),
            "must_hold_kg": amount(sample.scale_kg, places=1),
            "hold_s": amount(sample.hold_s, places=0),
            "sample": f"{number} of {sample.count}",
            "revision": plan.revision,
        }
        for sample in pull_samples(plan)
        for number in range(1, sample.count + 1)
    )


def _wire_by_wire(plan: Plan) -> Iterator[FittedEnd]:
    for group in fitted_ends(plan):
        wires = dict.fromkeys(end.wire for end in group.ends)
        for wire in wires:
            yield from sorted((end for end in group.ends if end.wire == wire), key=lambda end: end.end)
