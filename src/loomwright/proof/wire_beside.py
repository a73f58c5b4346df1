"""The wire that no cut list counts: for the samples that are pulled, and for the pit kit's repairs."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from loomwright.proof.pulls import pull_samples, sample_wire_m
from loomwright.proof.spares import habits, wire_colours

if TYPE_CHECKING:
    from loomwright.plan.result import Plan
    from loomwright.units import Gauge


@dataclass(frozen=True, slots=True)
class WireBeside:
    """Wire of one gauge beside the robot's own: for its samples, whatever colour, and for the pit kit [m].

    The pit kit carries so much of each of `colours`. `left_m` is what the cut list leaves worth keeping on counted
    spools, None where no spool of this gauge is counted.
    """

    gauge: Gauge
    samples_m: float
    kit_m: float
    colours: tuple[str, ...]
    left_m: float | None

    @property
    def needed_m(self) -> float:
        """How much of it is needed in all [m]."""
        return round(self.samples_m + self.kit_m, 3)


def wire_beside(plan: Plan) -> tuple[WireBeside, ...]:
    """Return the wire for samples and pit kit, the thickest first."""
    samples_m: dict[Gauge, float] = defaultdict(float)
    for one in pull_samples(plan):
        if one.gauge is not None:
            samples_m[one.gauge] += one.count * sample_wire_m()
    colours = wire_colours(plan)
    return tuple(
        WireBeside(
            gauge,
            round(samples_m[gauge], 3),
            habits()["wire"].least * max(1, len(colours[gauge])) if gauge in colours else 0.0,
            tuple(sorted(colours.get(gauge, ()))),
            _left_m(plan, gauge),
        )
        for gauge in sorted({*samples_m, *colours}, key=lambda held: held.number)
    )


def _left_m(plan: Plan, gauge: Gauge) -> float | None:
    cuts = [
        one for one in (plan.cut.cuts if plan.cut is not None else ()) if one.pieces and one.pieces[0].gauge == gauge
    ]
    return round(sum(one.left_m for one in cuts if one.kept), 3) if cuts else None
