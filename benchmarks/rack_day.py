"""Time the planning of a rack's day on made-up days, and show what it gains on plain rules.

    python -m benchmarks.rack_day [COUNT]

For COUNT seeded days (8) of each size it prints the median and the longest time to the proof, how many were proved,
and the worst match's charge times health: planned, and by the best plain rule in the same simulator. Then how long
planning again takes after a slip, and on how many of 1,000 slipping days the plan holds. Aims on two cores: 12 matches,
8 batteries and 4 chargers proved in 15 s, planned again in 5 s. Times are the processor's. Nothing here fails: people
read the numbers.
"""

from __future__ import annotations

import statistics
import sys
from collections.abc import Sequence
from dataclasses import replace
from random import Random
from time import process_time

from loomwright.rack.day.practice import usual_practice
from loomwright.rack.day.problem import Day, DayBattery, DayCharger, Match
from loomwright.rack.day.result import DayPlan
from loomwright.rack.day.so_far import Charged, SoFar
from loomwright.rack.planning import plan_again, plan_day, slips_of

#: Matches, batteries, chargers with a fast setting, chargers without, and the gaps between matches [min].
_SIZES = (
    (12, 8, 1, 3, 30, 60),
    (12, 8, 1, 3, 8, 25),
    (12, 8, 4, 0, 8, 25),
    (12, 6, 1, 1, 15, 35),
    (12, 6, 1, 1, 8, 25),
    (14, 5, 1, 1, 15, 35),
)
_NAMES = "matches batteries fast slow  gaps"


def main(words: Sequence[str]) -> None:
    """Measure and print."""
    count = int(words[0]) if words else 8
    print(f"{_NAMES}   proved  median (s)  most (s)   worst planned  best rule   gain (mean, most)")
    for size in _SIZES:
        days = [_day(seed, *size) for seed in range(count)]
        _planned(size, [_timed(day) for day in days])
    print(f"{_NAMES}   again: proved  median (s)  most (s)  swaps   holds on slipping days")
    for size in _SIZES:
        days = [_day(seed, *size) for seed in range(count)]
        _again(size, days)


def _planned(size: tuple[int, ...], timed: list[tuple[DayPlan, float]]) -> None:
    worst = [plan.score.worst / 10 for plan, _ in timed]
    rule = [max(rule.score.worst for rule in plan.rules) / 10 for plan, _ in timed]
    gains = [one - other for one, other in zip(worst, rule, strict=True)]
    seconds = [took for _, took in timed]
    print(
        f"{_sized(size)}{sum(plan.proof.proved for plan, _ in timed):5}/{len(timed):<3}"
        f"{statistics.median(seconds):10.2f}{max(seconds):10.2f}{statistics.mean(worst):14.1f} %"
        f"{statistics.mean(rule):9.1f} %{statistics.mean(gains):10.1f}{max(gains):7.1f}",
        flush=True,
    )


def _again(size: tuple[int, ...], days: list[Day]) -> None:
    proved, swaps, seconds, holds = 0, 0, [], []
    for seed, day in enumerate(days):
        plan = plan_day(day)
        now_min = day.matches[len(day.matches) // 3].at_min
        slipped = replace(
            day,
            matches=tuple(
                replace(match, at_min=match.at_min + (20 if match.at_min >= now_min else 0)) for match in day.matches
            ),
        )
        begun = process_time()
        again = plan_again(slipped, _so_far(day, plan, now_min), plan)
        seconds.append(process_time() - begun)
        proved, swaps = proved + again.proof.proved, swaps + again.score.swaps
        holds.append(slips_of(day, plan, days=1000, seed=seed).holds.share)
    print(
        f"{_sized(size)}{proved:12}/{len(days):<3}{statistics.median(seconds):10.2f}{max(seconds):10.2f}{swaps:7}"
        f"   {min(holds):.1%} to {max(holds):.1%}",
        flush=True,
    )


def _so_far(day: Day, plan: DayPlan, now_min: int) -> SoFar:
    at = {match.name: match.at_min for match in day.matches}
    return SoFar(
        now_min=now_min,
        played=tuple((use.match, use.battery) for use in plan.uses if at[use.match] < now_min),
        charged=tuple(
            Charged(
                charger=one.charger,
                battery=one.battery,
                amps=one.amps,
                from_min=one.from_min,
                to_min=one.to_min if one.to_min <= now_min else None,
            )
            for one in plan.stints
            if one.from_min <= now_min
        ),
    )


def _timed(day: Day) -> tuple[DayPlan, float]:
    begun = process_time()
    plan = plan_day(day)
    return plan, process_time() - begun


def _sized(size: tuple[int, ...]) -> str:
    matches, batteries, fast, slow, shortest, longest = size
    return f"{matches:7}{batteries:10}{fast:5}{slow:5}{shortest:4}-{longest}"


def _day(seed: int, matches: int, batteries: int, fast: int, slow: int, shortest: int, longest: int) -> Day:
    random, at_min, played = Random(seed), 540, []  # noqa: S311  made-up days, not secrets
    for number in range(matches):
        played.append(Match(name=f"match {number + 1}", at_min=at_min))
        at_min += random.randint(shortest, longest)
    return Day(
        matches=tuple(played),
        batteries=tuple(
            DayBattery(
                label=f"B{number + 1}",
                health=round(random.uniform(0.7, 1.0), 2),
                capacity_ah=18.0,
                charge=round(random.uniform(0.85, 1.0), 2),
            )
            for number in range(batteries)
        ),
        chargers=(
            *(DayCharger(label=f"fast {number + 1}", gentle_a=2.0, fast_a=6.0) for number in range(fast)),
            *(DayCharger(label=f"slow {number + 1}", gentle_a=2.0) for number in range(slow)),
        ),
        practice=usual_practice(),
        begins_min=480,
    )


if __name__ == "__main__":
    main(sys.argv[1:])
