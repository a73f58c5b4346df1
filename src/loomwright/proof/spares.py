"""The pit kit: the spares that this plan makes worth carrying, each with its reason."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, TypeAlias

from loomwright.catalogue.tables import table
from loomwright.model.part import Polarity
from loomwright.proof.ends import all_ends
from loomwright.proof.pieces import pieces
from loomwright.proof.protection_words import protection_of, protection_words
from loomwright.proof.steps import Work, steps_of
from loomwright.rulebook.lookup import is_a

if TYPE_CHECKING:
    from loomwright.plan.result import Plan
    from loomwright.units import Gauge


@dataclass(frozen=True, slots=True)
class Spare:
    """One thing for the pit kit: how much of it, what the plan holds of it, why it is worth carrying.

    `in_plan` counts in the same unit, None where the plan does not count it.
    """

    what: str
    count: float
    unit: str
    in_plan: float | None
    reason: str
    source: str


@dataclass(frozen=True, slots=True)
class Habit:
    """How many of a kind of thing are carried: at least so many, and a share of those in use.

    `part` is the part that is meant, by its kind or class, "" for what is no part.
    """

    part: str
    least: float
    share: float
    unit: str
    reason: str
    source: str

    def count(self, used: float) -> int:
        """Return how many are carried where so many are in use."""
        return math.ceil(max(self.least, used * self.share) - 1e-9)


_Maker: TypeAlias = "Callable[[Plan, str, Habit], Iterator[Spare]]"


def spares(plan: Plan) -> tuple[Spare, ...]:
    """Return what the pit kit holds for this plan, in the order of the table of habits."""
    makers: dict[str, _Maker] = {
        "terminal": _terminals,
        "fuse": _protection,
        "breaker": _protection,
        "wire": _wires,
        "cable": _cables,
        "ties": _ties,
    }
    return tuple(spare for what, habit in habits().items() for spare in makers.get(what, _parts)(plan, what, habit))


@lru_cache(maxsize=1)
def habits() -> Mapping[str, Habit]:
    """Return how many of each kind of thing are carried, by its name."""
    return {
        row["what"]: Habit(
            row["of"], float(row["least"]), float(row["share"]), row["unit"], row["reason"], row["source"]
        )
        for row in table("spare_kit")
    }


def _terminals(plan: Plan, _what: str, habit: Habit) -> Iterator[Spare]:
    for piece in pieces(all_ends(plan)):
        yield _spare(f"{piece.item} ({', '.join(piece.gauges)})", habit, piece.count)


def _protection(plan: Plan, what: str, habit: Habit) -> Iterator[Spare]:
    """Give breakers or fuses by their rating; one whose slot is not known is told with breakers, as either."""
    held = (protection_of(plan, circuit) for circuit in plan.circuits)
    used = Counter(one for one in held if one is not None and (one[0].partition("/")[0] or "breaker") == what)
    for (family, rating_a), many in sorted(used.items()):
        yield _spare(protection_words(family, rating_a), habit, many)


def _wires(plan: Plan, _what: str, habit: Habit) -> Iterator[Spare]:
    """Give each gauge with its colours, the thickest first."""
    metres: dict[Gauge, float] = defaultdict(float)
    colours: dict[Gauge, set[str]] = defaultdict(set)
    for wire in plan.wires:
        if not wire.captive and wire.gauge is not None and wire.a.polarity is not Polarity.CABLE:
            metres[wire.gauge] += wire.length_m or 0.0
            colours[wire.gauge] |= {wire.colour} - {""}
    for gauge in sorted(metres, key=lambda held: held.number):
        told = ", ".join(sorted(colours[gauge]))
        yield _spare(f"wire {gauge}{f', each of {told}' if told else ''}", habit, round(metres[gauge], 3))


def _cables(plan: Plan, _what: str, habit: Habit) -> Iterator[Spare]:
    lengths_m = [
        wires[0].length_m
        for circuit in plan.circuits
        for step, wires in steps_of(plan, circuit)
        if step.work is Work.PLUG and wires[0].a.polarity is Polarity.CABLE
    ]
    known = [length_m for length_m in lengths_m if length_m is not None]
    if lengths_m:
        how_long = f"{max(known):g} m or longer" if len(known) == len(lengths_m) else "as long as the longest"
        yield _spare(f"ready-made network cable, {how_long}", habit, len(lengths_m))


def _ties(_plan: Plan, what: str, habit: Habit) -> Iterator[Spare]:
    yield Spare(what, habit.count(0), habit.unit, None, habit.reason, habit.source)


def _parts(plan: Plan, what: str, habit: Habit) -> Iterator[Spare]:
    """Give the parts of one kind by their class."""
    titles = {device.part.id: device.part.title for device in plan.robot if is_a(device.part, habit.part)}
    used = Counter(device.part.id for device in plan.robot if device.part.id in titles)
    for part_id, many in sorted(used.items()):
        title = titles[part_id]
        yield _spare(title if title.casefold().startswith(what) else f"{what}: {title}", habit, many)


def _spare(what: str, habit: Habit, used: float) -> Spare:
    return Spare(what, habit.count(used), habit.unit, used, habit.reason, habit.source)
