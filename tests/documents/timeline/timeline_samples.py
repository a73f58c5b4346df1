"""Days to draw: a long one, a short one, one with too few batteries, one over two days."""

from __future__ import annotations

from dataclasses import replace

from loomwright.documents.timeline.sheet import TimelineSheet
from loomwright.rack.cautions import cautions
from loomwright.rack.day.board import board_of
from loomwright.rack.day.practice import usual_practice
from loomwright.rack.day.problem import Day, DayBattery, DayCharger, Match, OnCharger
from loomwright.rack.day.replay import replay
from loomwright.rack.day.result import DayPlan, Proof
from loomwright.rack.day.rules import play, rules
from loomwright.rack.day.write import stints_of, uses_of
from loomwright.search import Certificate


def planned(day: Day, rule: str = "charge times health") -> DayPlan:
    """Plan a day by a plain rule, which takes no search."""
    board = board_of(day)
    schedule = play(board, rules()[rule])
    played = replay(board, schedule)
    none = Certificate(cost=0, bound=0, unit="")
    proof = Proof(late=none, short=none, swaps=none, worst=none, spare=none, gentle=none)
    uses, stints = uses_of(board, schedule, played), stints_of(board, schedule, played)
    return DayPlan(uses=uses, stints=stints, score=played.score, proof=proof, rules=())


def day(
    *, matches: int, batteries: int, chargers: int, every_min: int = 27, begins_min: int = 480, fast: bool = True
) -> Day:
    """Make a day: batteries nearly full, of falling health, matches at nearly even times."""
    return Day(
        matches=tuple(
            Match(name=f"Q{4 + 3 * n}", at_min=begins_min + 60 + every_min * n + n % 3) for n in range(matches)
        ),
        batteries=tuple(
            DayBattery(label=f"B{n + 1}", health=1.0 - 0.02 * (n % 5), capacity_ah=18.0, charge=0.97 - 0.03 * (n % 4))
            for n in range(batteries)
        ),
        chargers=tuple(
            DayCharger(label=f"C{n + 1}", gentle_a=2.0, fast_a=6.0 if fast and n % 2 == 0 else None)
            for n in range(chargers)
        ),
        practice=usual_practice(),
        begins_min=begins_min,
    )


def sheet(of: Day, *, rule: str = "charge times health", now_min: int | None = None) -> TimelineSheet:
    """Make a sheet of a day."""
    return TimelineSheet(
        robot="Tidepool",
        of="Saturday, 2026-02-07",
        headline="Every match has a battery in time.",
        day=of,
        plan=planned(of, rule),
        cautions=cautions("charging"),
        now_min=now_min,
    )


def long_day() -> TimelineSheet:
    """Make twenty matches, twelve batteries, four chargers, the last two perhaps not played, and it is 11:20."""
    made = day(matches=20, batteries=12, chargers=4)
    last = tuple(replace(match, name=f"F{n}", may=True) for n, match in enumerate(made.matches[-2:], 1))
    first = replace(made.batteries[7], charge=0.6, on=OnCharger(charger="C2", amps=2.0, from_min=-300))
    batteries = (*made.batteries[:7], first, *made.batteries[8:])
    return sheet(replace(made, matches=(*made.matches[:-2], *last), batteries=batteries), now_min=680)


def short_day() -> TimelineSheet:
    """Make three matches, two batteries, one charger."""
    return sheet(day(matches=3, batteries=2, chargers=1, every_min=45))


def hard_day() -> TimelineSheet:
    """Make twenty matches close together with two batteries that sit on slow chargers: low ones, and one that stays."""
    made = day(matches=20, batteries=2, chargers=2, every_min=19, fast=False)
    return replace(sheet(made), headline="Some matches have no battery that is charged enough.")


def two_days() -> TimelineSheet:
    """Make a Saturday and a Sunday morning with six batteries."""
    made = day(matches=18, batteries=6, chargers=3)
    sunday = tuple(replace(match, at_min=match.at_min + 1440 - 600) for match in made.matches[14:])
    return sheet(replace(made, matches=(*made.matches[:14], *(replace(m, at_min=m.at_min + 200) for m in sunday))))
