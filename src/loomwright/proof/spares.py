"""The pit kit: the spares that this plan makes worth carrying, each with its reason."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Final, TypeAlias

from loomwright.catalogue.tables import table
from loomwright.model.part import Polarity
from loomwright.proof.ends import all_ends
from loomwright.proof.pieces import piece_key, pieces
from loomwright.proof.protection_words import protection_kind, protection_of, protection_words
from loomwright.proof.steps import Work, steps_of
from loomwright.rulebook.lookup import is_a, named_by

if TYPE_CHECKING:
    from loomwright.plan.result import Plan, PlannedWire
    from loomwright.units import Gauge


@dataclass(frozen=True, slots=True)
class Spare:
    """One thing for the pit kit: how much of it, what the plan holds of it, why it is worth carrying.

    `in_plan` counts in the same unit, None where the plan does not count it. `mends` names the seats of a hunt at which
    it is put in: "W12 A", "W12", "protection of lift", a device.
    """

    what: str
    count: float
    unit: str
    in_plan: float | None
    reason: str
    source: str
    mends: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Habit:
    """How many of a kind of thing are carried: at least so many, and a share of those in use.

    `part` is the part that is meant, by its kind or class, "" for what is no part. `unasked` is the reason where no
    rule in force asks for such a part, "" where that makes no difference.
    """

    part: str
    least: float
    share: float
    unit: str
    reason: str
    source: str
    unasked: str = ""

    def count(self, used: float) -> int:
        """Return how many are carried where so many are in use."""
        return math.ceil(max(self.least, used * self.share) - 1e-9)


#: The check of a rule that asks for something to be on the robot.
REQUIRED: Final = "required device"

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
            row["of"],
            float(row["least"]),
            float(row["share"]),
            row["unit"],
            row["reason"],
            row["source"],
            row["reason_if_not_asked"],
        )
        for row in table("spare_kit")
    }


def _terminals(plan: Plan, _what: str, habit: Habit) -> Iterator[Spare]:
    ends = all_ends(plan)
    mends: dict[tuple[str, str], set[str]] = defaultdict(set)
    for one in ends:
        if one.end.treatment is not None:
            mends[piece_key(one.end.treatment.terminal, one.wire.gauge)].add(" ".join(one.name))
    for piece in pieces(ends):
        yield _spare(f"{piece.item} ({', '.join(piece.gauges)})", habit, piece.count, mends[piece.key])


def _protection(plan: Plan, what: str, habit: Habit) -> Iterator[Spare]:
    """Give breakers or fuses by their rating; one whose slot is not known is told with breakers, as either."""
    used: dict[tuple[str, float], list[str]] = defaultdict(list)
    for circuit in plan.circuits:
        one = protection_of(plan, circuit)
        if one is not None and protection_kind(one[0]) == what:
            used[one].append(f"protection of {circuit.id}")
    for (family, rating_a), seats in sorted(used.items()):
        yield _spare(protection_words(family, rating_a), habit, len(seats), seats)


def _wires(plan: Plan, _what: str, habit: Habit) -> Iterator[Spare]:
    """Give each gauge with its colours, the thickest first."""
    metres: dict[Gauge, float] = defaultdict(float)
    mends: dict[Gauge, list[str]] = defaultdict(list)
    colours = wire_colours(plan)
    for wire, gauge in _cut(plan):
        metres[gauge] += wire.length_m or 0.0
        mends[gauge].append(wire.id)
    for gauge in sorted(metres, key=lambda held: held.number):
        told = ", ".join(sorted(colours[gauge]))
        what = f"wire {gauge}{f', each of {told}' if told else ''}"
        yield _spare(what, habit, round(metres[gauge], 3), mends[gauge])


def wire_colours(plan: Plan) -> Mapping[Gauge, frozenset[str]]:
    """Return the colours of the wires that are cut, gauge by gauge."""
    colours: dict[Gauge, set[str]] = defaultdict(set)
    for wire, gauge in _cut(plan):
        colours[gauge] |= {wire.colour} - {""}
    return {gauge: frozenset(held) for gauge, held in colours.items()}


def _cut(plan: Plan) -> Iterator[tuple[PlannedWire, Gauge]]:
    for wire in plan.wires:
        if not wire.captive and wire.gauge is not None and wire.a.polarity is not Polarity.CABLE:
            yield wire, wire.gauge


def _cables(plan: Plan, _what: str, habit: Habit) -> Iterator[Spare]:
    cables = [
        wires[0]
        for circuit in plan.circuits
        for step, wires in steps_of(plan, circuit)
        if step.work is Work.PLUG and wires[0].a.polarity is Polarity.CABLE
    ]
    known = [cable.length_m for cable in cables if cable.length_m is not None]
    if cables:
        how_long = f"{max(known):g} m or longer" if len(known) == len(cables) else "as long as the longest"
        mends = [f"{cable.id}{end}" for cable in cables for end in ("", " A", " B")]
        yield _spare(f"ready-made network cable, {how_long}", habit, len(cables), mends)


def _ties(_plan: Plan, what: str, habit: Habit) -> Iterator[Spare]:
    yield Spare(what, habit.count(0), habit.unit, None, habit.reason, habit.source)


def _parts(plan: Plan, what: str, habit: Habit) -> Iterator[Spare]:
    """Give the parts of one kind by their class."""
    titles = {device.part.id: device.part.title for device in plan.robot if is_a(device.part, habit.part)}
    used: dict[str, list[str]] = defaultdict(list)
    for device in plan.robot:
        if device.part.id in titles:
            used[device.part.id].append(device.id)
    for part_id, names in sorted(used.items()):
        title = titles[part_id]
        what_it_is = title if title.casefold().startswith(what) else f"{what}: {title}"
        held = replace(habit, reason=habit.unasked) if habit.unasked and not _asked(plan, names) else habit
        yield _spare(what_it_is, held, len(names), names)


def _asked(plan: Plan, names: Iterable[str]) -> bool:
    """Tell whether a rule in force asks for one of these devices to be there."""
    devices = [device for device in plan.robot if device.id in names]
    asking = [rule for rule in plan.rules.rules if rule.check == REQUIRED]
    return any(named_by(rule, device) for rule in asking for device in devices)


def _spare(what: str, habit: Habit, used: float, mends: Iterable[str] = ()) -> Spare:
    return Spare(what, habit.count(used), habit.unit, used, habit.reason, habit.source, frozenset(mends))
