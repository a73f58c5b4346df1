"""What to buy by the bag: terminals, what covers them, breakers and fuses, clamps for samples, ties, grommets."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.catalogue.tables import table
from loomwright.proof.ends import MadeEnd, all_ends
from loomwright.proof.pieces import piece_key, pieces, sold
from loomwright.proof.protection_words import protection_kind, protection_of, protection_words
from loomwright.proof.pulls import CLAMPED, pull_samples
from loomwright.proof.spares import habits
from loomwright.proof.steps import CLAMPS, steps_of
from loomwright.units import Gauge
from loomwright.wording import natural

if TYPE_CHECKING:
    from loomwright.plan.result import Plan

_TIES_A_STEP: Final = 2
_FOR_SAMPLES: Final = "one for each gauge"
_HEAT_SHRINK: Final = "heat-shrink"
_MM = 1e-3


@dataclass(frozen=True, slots=True)
class BagLine:
    """One thing that is bought by the bag or the stick: for what it is needed, together, and how many bags that is.

    `gauges` are the wires it goes on, empty where that does not matter. `built` goes into the robot, `samples` are
    pulled to destruction, `spare` goes into the pit kit; `bag` is what a usual bag holds, all in `unit`. `also` says
    what belongs to it.
    """

    what: str
    gauges: str
    built: float
    samples: float
    spare: float
    unit: str
    bag: float
    also: str
    source: str

    @property
    def needed(self) -> float:
        """How much of it is needed in all."""
        return round(self.built + self.samples + self.spare, 3)

    @property
    def bags(self) -> int:
        """How many usual bags hold that."""
        return math.ceil(self.needed / self.bag - 1e-9)


@dataclass(frozen=True, slots=True)
class BagList:
    """Everything by the bag, and how many ends are not in it, since nobody knows their terminal yet."""

    lines: tuple[BagLine, ...]
    ends_not_counted: int


def bag_list(plan: Plan) -> BagList:
    """Return what has to be at hand to build this plan, with its samples and the pit kit's spares."""
    unknown = sum(end.card is None for end in all_ends(plan))
    lines = (
        *_terminals(plan),
        *_tubes(plan),
        *_covers(plan),
        *_protection(plan),
        *_sample_clamps(plan),
        *_fixings(plan),
    )
    return BagList(lines, unknown)


def _terminals(plan: Plan) -> Iterator[BagLine]:
    """Give the pieces that ends are made with, for the robot, for the samples and for the pit kit."""
    samples: Counter[tuple[str, str]] = Counter()
    for one in pull_samples(plan):
        samples[piece_key(one.terminal, one.gauge)] += one.count * sold(one.terminal).pieces
    for piece in pieces(all_ends(plan)):
        yield BagLine(
            what=piece.item,
            gauges=", ".join(piece.gauges),
            built=piece.count,
            samples=samples[piece.key],
            spare=habits()["terminal"].count(piece.count),
            unit="pieces",
            bag=piece.bag,
            also=piece.also,
            source=piece.source,
        )


def _tubes(plan: Plan) -> Iterator[BagLine]:
    """Give heat-shrink by its width, for each end whose insulation it is; samples do without."""
    length_m: dict[float, float] = defaultdict(float)
    gauges: dict[float, set[str]] = defaultdict(set)
    rows: dict[float, Mapping[str, str]] = {}
    for end in all_ends(plan):
        made, gauge = end.end.treatment, end.wire.gauge
        row = _tube(gauge) if made is not None and gauge is not None and _HEAT_SHRINK in made.insulation else None
        if row is not None:
            width_mm = float(row["tube_mm"])
            length_m[width_mm] += float(row["per_end_mm"]) * _MM
            gauges[width_mm].add(str(gauge))
            rows[width_mm] = row
    for width_mm, row in sorted(rows.items()):
        yield BagLine(
            what=f"{_HEAT_SHRINK}, {width_mm:g} mm before it shrinks",
            gauges=", ".join(sorted(gauges[width_mm], key=natural)),
            built=round(length_m[width_mm], 3),
            samples=0.0,
            spare=float(row["per_end_mm"]) * _MM * habits()["terminal"].least,
            unit="m",
            bag=float(row["stick_m"]),
            also="",
            source=row["source"],
        )


def _tube(gauge: Gauge) -> Mapping[str, str] | None:
    return next(
        (
            row
            for row in table("heat_shrink_tube")
            if Gauge.parse(row["thickest_awg"]).number <= gauge.number <= Gauge.parse(row["thinnest_awg"]).number
        ),
        None,
    )


def _covers(plan: Plan) -> Iterator[BagLine]:
    """Give what covers an end and comes in pieces; the rest is heat-shrink, or belongs to the terminal."""
    for row in table("cover_bag"):
        covered = [
            end
            for end in all_ends(plan)
            if end.end.treatment is not None and row["insulation"] in end.end.treatment.insulation
        ]
        if covered:
            yield BagLine(
                what=row["item"],
                gauges=_gauges(covered),
                built=len(covered) * float(row["per_end"]),
                samples=0,
                spare=0,
                unit=row["unit"],
                bag=float(row["bag"]),
                also="",
                source=row["source"],
            )


def _protection(plan: Plan) -> Iterator[BagLine]:
    """Give breakers and fuses for the slots, by family and rating, with those of the pit kit."""
    used = Counter(held for circuit in plan.circuits if (held := protection_of(plan, circuit)) is not None)
    for (family, rating_a), many in sorted(used.items()):
        habit = habits()[protection_kind(family)]
        what = protection_words(family, rating_a)
        yield BagLine(what, "", many, 0, habit.count(many), habit.unit, 1, "", habit.source)


def _sample_clamps(plan: Plan) -> Iterator[BagLine]:
    """Give the loose clamps that samples are pulled in, one for each gauge: a sample never sits in a device."""
    cards = {card for one in pull_samples(plan) if one.joint == CLAMPED for card in one.cards}
    held: dict[str, list[MadeEnd]] = defaultdict(list)
    for end in all_ends(plan):
        if end.card in cards and end.end.port is not None and end.end.port.kind in CLAMPS:
            held[str(end.end.port.kind)].append(end)
    for kind, ends in sorted(held.items()):
        many = len({end.wire.gauge for end in ends})
        yield BagLine(f"{kind}, loose", _gauges(ends), 0, many, 0, "pieces", 1, _FOR_SAMPLES, "common practice")


def _gauges(ends: Iterable[MadeEnd]) -> str:
    return ", ".join(sorted({str(end.wire.gauge) for end in ends if end.wire.gauge is not None}, key=natural))


def _fixings(plan: Plan) -> Iterator[BagLine]:
    layout = plan.layout
    points = sum(len(section.ties) for section in layout.sections) if layout is not None else 0
    steps = sum(1 for circuit in plan.circuits for _ in steps_of(plan, circuit))
    built = {"ties": points + _TIES_A_STEP * steps, "grommets": len(layout.grommets) if layout is not None else 0}
    for row in table("fixing_bag"):
        many = built[row["what"]]
        kit = habits()[row["what"]].count(0) if row["what"] in habits() else 0
        if many:
            spare = math.ceil(many * float(row["spare_share"])) + kit
            yield BagLine(row["what"], "", many, 0, spare, row["unit"], float(row["bag"]), row["each"], row["source"])
