"""The two kinds of pulls: samples that are pulled to destruction on the bench, and fitted ends that get a hand's pull.

A force belongs to a sample that was made for it. An end that goes into the robot is never loaded with it.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Final

from loomwright.catalogue.pull_force import NEWTON_PER_LBF, pull_force_n
from loomwright.catalogue.sources import sources
from loomwright.catalogue.tables import number, table
from loomwright.plan.result import Plan
from loomwright.proof.build_order import build_order
from loomwright.proof.ends import Card, MadeEnd, all_ends, cards
from loomwright.units import Gauge

#: A joint that a clamp holds, as a table of holds calls it; the other kind is crimped.
CLAMPED: Final = "clamp"

NEWTON_PER_KGF: Final = 9.80665
"""Exact: standard gravity."""

#: What to mind when a sample is pulled, and when a hand pulls at the robot.
SAMPLE_CARE: Final = (
    "Safety glasses on. Fix the terminal in a vice, pull in line with the wire, slowly, without a jerk.",
    "Stand beside the wire, never behind the scale: it lets go at once. Nobody's hands, face or feet in line.",
    "A sample holds if nothing has slipped when the time is over. If one fails, put the tool right and make a new set.",
    "A sample is scrap after its pull, whether it held or not.",
)
HAND_CARE: Final = (
    "Battery out, main breaker open. One firm pull in line with the wire, while the other hand holds the device.",
    "Never pull at a device's board or at a battery post: look there instead.",
    "An end that moves is cut off and made again with a new terminal, then pulled again.",
)


@dataclass(frozen=True, slots=True)
class PullSample:
    """One set of samples: a tool, a terminal and a gauge of this plan, with the force each has to stand.

    `joint` is "crimp", "clamp", or "" where no standard speaks of it. `force_n` [N] is None where no standard has a
    figure, `hold_s` [s] where the standard's time is not known. `cards` are the numbers of the kinds of ends it speaks
    for, `ends` counts those; `notes` say what is special about it.
    """

    tool: str
    terminal: str
    gauge: Gauge | None
    joint: str
    standard: str
    force_n: float | None
    hold_s: float | None
    count: int
    cards: tuple[int, ...]
    ends: int
    notes: tuple[str, ...]

    @property
    def force_lbf(self) -> float | None:
        """The force in pounds."""
        return None if self.force_n is None else self.force_n / NEWTON_PER_LBF

    @property
    def scale_kg(self) -> float | None:
        """What a luggage scale has to show, rounded up to its next tenth [kg]."""
        return None if self.force_n is None else math.ceil(self.force_n / NEWTON_PER_KGF * 10 - 1e-9) / 10


class ByHand(StrEnum):
    """What hands do at a fitted end."""

    PULL = "pull"
    LOOK = "look, don't pull"
    WAITS = "waits for an answer"


@dataclass(frozen=True, slots=True)
class FittedEnd:
    """One end on the robot: its wire and letter, where it is, its card (None: not known), and what hands do there."""

    wire: str
    end: str
    where: str
    terminal: str
    card: int | None
    by_hand: ByHand
    how: str


@dataclass(frozen=True, slots=True)
class FittedGroup:
    """The ends of one group of the order of building."""

    title: str
    ends: tuple[FittedEnd, ...]


def why_so_many() -> str:
    """Say in a sentence how many samples make a set, and why."""
    return f"{_set_size()} samples make a set: {_practice()['samples in a set'][1]}."


def pull_samples(plan: Plan) -> tuple[PullSample, ...]:
    """Return the sets of samples that this plan's ends ask for, crimps first, tool by tool.

    What is bought finished needs none.
    """
    sets: dict[tuple[str, str, Gauge | None, float | None], list[Card]] = defaultdict(list)
    for card in cards(plan):
        made = card.treatment
        if made.strip_m is not None:
            sets[made.tool, made.terminal, card.gauge, made.pull_n].append(card)
    found = (_sample(held) for held in sets.values())
    return tuple(sorted(found, key=_by_tool))


def fitted_ends(plan: Plan) -> tuple[FittedGroup, ...]:
    """Return every end that somebody makes or plugs in once, in the order of building, with what hands do there."""
    ends: dict[str, list[MadeEnd]] = defaultdict(list)
    for end in all_ends(plan):
        ends[end.wire.id].append(end)
    return tuple(
        FittedGroup(
            group.title,
            tuple(
                _fitted(plan, end)
                for step in group.steps
                for second in (False, True)
                for wire in step.wires
                for end in ends[wire]
                if (end.end.letter == step.second) is second
            ),
        )
        for group in build_order(plan)
    )


def _by_tool(one: PullSample) -> tuple[bool, str, str, int, float]:
    return one.joint != "crimp", one.tool, one.terminal, _thickness(one.gauge), one.force_n or 0.0


def _sample(held: list[Card]) -> PullSample:
    made, gauge = held[0].treatment, held[0].gauge
    joint, hold_s = _holds().get(made.pull_standard, ("", None))
    return PullSample(
        tool=made.tool,
        terminal=made.terminal,
        gauge=gauge,
        joint=joint,
        standard=made.pull_standard,
        force_n=made.pull_n,
        hold_s=hold_s,
        count=_set_size(),
        cards=tuple(card.number for card in held),
        ends=sum(card.ends for card in held),
        notes=tuple(_notes(held[0])),
    )


def _notes(card: Card) -> Iterator[str]:
    made, gauge = card.treatment, card.gauge
    if made.pull_n is None:
        title = sources()[made.pull_standard].title if made.pull_standard in sources() else ""
        yield f"{title} has no force for {gauge}." if title else "No standard here has a force for this end."
        yield "Make the samples, look at them, pull by hand, and ask your mentor."
        return
    own_n = pull_force_n(made.pull_standard, gauge) if gauge is not None else None
    if own_n is not None and made.pull_n < own_n:
        yield "The thinner side of the joint decides the force: make the sample with a piece of that lead."
    if _holds().get(made.pull_standard, ("", None))[0] == CLAMPED:
        yield "Only in a loose clamp of this kind on the bench, never in a block or a device."
    if made.pull_n / NEWTON_PER_KGF > _practice()["luggage scale"][0]:
        yield "More than a usual luggage scale shows: take a stronger one, and have your mentor there."


def _fitted(plan: Plan, one: MadeEnd) -> FittedEnd:
    by_hand, how = _by_hand(plan, one)
    end = one.end
    terminal = end.treatment.terminal if end.treatment is not None else ""
    return FittedEnd(one.wire.id, end.letter, end.where, terminal, one.card, by_hand, how)


def _by_hand(plan: Plan, one: MadeEnd) -> tuple[ByHand, str]:
    end, made = one.end, one.end.treatment
    device = plan.robot.device(end.device)
    if made is None:
        return ByHand.WAITS, "Nobody knows its terminal yet."
    if made.hand_pull:
        return ByHand.PULL, "Hold the terminal, pull at the wire." if made.friction_only else ""
    if device is not None and device.kind == "battery":
        return ByHand.LOOK, "A battery post: nobody pulls there."
    if made.strip_m is None:
        return ByHand.LOOK, "A ready-made plug: in to the stop, latch closed."
    return ByHand.LOOK, "On a device's board: nobody pulls there."


def _thickness(gauge: Gauge | None) -> int:
    return gauge.number if gauge is not None else 0


def sample_wire_m() -> float:
    """Return how much wire a sample takes [m]."""
    return _practice()["wire for a sample"][0]


def _set_size() -> int:
    return int(_practice()["samples in a set"][0])


@lru_cache(maxsize=1)
def _practice() -> dict[str, tuple[float, str]]:
    return {row["name"]: (float(row["value"]), row["note"]) for row in table("pull_practice")}


@lru_cache(maxsize=1)
def _holds() -> dict[str, tuple[str, float | None]]:
    """Return the kind of joint and the time of each standard that states one."""
    return {row["standard"]: (row["joint"], number(row, "hold_s")) for row in table("pull_hold")}
