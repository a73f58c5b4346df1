"""Days of the rack for tests: usual ones, and small ones whose minutes and charges are few enough to try them all."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from loomwright.rack.day.practice import usual_practice
from loomwright.rack.day.problem import Day, DayBattery, DayCharger, DayPractice, Match, OnCharger
from loomwright.rack.day.result import DayPlan


def usual_day(
    matches: int, healths: tuple[float, ...], *, gap_min: int = 40, fast: int = 1, slow: int = 1, charge: float = 0.95
) -> Day:
    """Give a day of matches from 9:00 on, with batteries of 18 Ah, from 8:00 on the rack."""
    return Day(
        matches=tuple(Match(name=f"match {n + 1}", at_min=540 + n * gap_min) for n in range(matches)),
        batteries=tuple(
            DayBattery(label=f"B{n + 1}", health=health, capacity_ah=18.0, charge=charge)
            for n, health in enumerate(healths)
        ),
        chargers=(
            *(DayCharger(label=f"fast {n + 1}", gentle_a=2.0, fast_a=6.0) for n in range(fast)),
            *(DayCharger(label=f"slow {n + 1}", gentle_a=2.0) for n in range(slow)),
        ),
        practice=usual_practice(),
        begins_min=480,
    )


@st.composite
def small_practices(draw: st.DrawFn) -> DayPractice:
    """Draw a practice in which everything takes a minute or two."""
    minutes = st.integers(0, 2)
    return DayPractice(
        lead_min=draw(minutes),
        back_min=draw(minutes),
        cool_before_min=draw(minutes),
        cool_after_fast_min=draw(minutes),
        match_ah=draw(st.sampled_from((0.01, 0.02, 0.05))),
        least_charge=draw(st.sampled_from((0.5, 0.8))),
        fast_from_a=0.4,
        most_a=1.0,
        efficiency=0.9,
        taper_min=draw(st.integers(0, 4)),
        taper_slow=draw(st.integers(1, 3)),
        spare_enough_min=draw(st.integers(0, 3)),
        worth_step=draw(st.sampled_from((1, 5, 30))),
    )


@st.composite
def small_days(draw: st.DrawFn, most_matches: int = 4) -> Day:
    """Draw a day of up to four matches within half an hour, up to three batteries and two chargers."""
    gaps = draw(st.lists(st.integers(1, 7), min_size=1, max_size=most_matches - 1))
    at_min, matches = draw(st.integers(1, 6)), []
    for number, gap in enumerate([0, *gaps]):
        at_min += gap
        matches.append(Match(name=f"m{number}", at_min=at_min))
    chargers = tuple(
        DayCharger(label=f"C{n}", gentle_a=0.2, fast_a=draw(st.sampled_from((None, 0.6))))
        for n in range(draw(st.sampled_from((1, 2, 1, 0))))
    )
    batteries = [
        DayBattery(
            label=f"B{n}",
            health=draw(st.sampled_from((0.6, 0.8, 1.0))),
            capacity_ah=draw(st.sampled_from((0.06, 0.06, 0.1))),
            charge=draw(st.sampled_from((0.1, 0.5, 0.8, 1.0))),
            free_min=draw(st.sampled_from((0, 0, 4))),
            ready_min=draw(st.sampled_from((0, 0, 0, 5))),
        )
        for n in range(draw(st.integers(1, 3)))
    ]
    if draw(st.booleans()):  # all alike, as far as a label goes
        batteries = [replace(batteries[0], label=battery.label) for battery in batteries]
    begins_min = draw(st.integers(0, 2))
    one_sits = draw(st.booleans())
    if chargers and one_sits:
        amps = draw(st.sampled_from(chargers[0].currents_a))
        batteries[0] = replace(batteries[0], on=OnCharger(charger="C0", amps=amps, from_min=begins_min - 2))
    in_robot = batteries[-1].label if batteries[-1].on is None and draw(st.booleans()) else ""
    return Day(
        matches=tuple(matches),
        batteries=tuple(batteries),
        chargers=chargers,
        practice=draw(small_practices()),
        begins_min=begins_min,
        in_robot=in_robot,
    )


def decided(plan: DayPlan) -> tuple[object, ...]:
    """Give what a plan says people should do."""
    return plan.uses, plan.stints, plan.score
