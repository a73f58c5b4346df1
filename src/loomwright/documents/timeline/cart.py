"""What whoever stands at the cart does next, in order, as lines of text."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.documents.timeline.clock import amps, clock, percent, trouble
from loomwright.rack.day.problem import Day
from loomwright.rack.day.result import DayPlan, Stint, Use
from loomwright.wording import natural

_Step = tuple[int, int, tuple[tuple[int, int, str], ...], str]


def cart_lines(plan: DayPlan, day: Day, now_min: int) -> list[str]:
    """Return what is to do from a minute on, each with its time: off chargers, out of the robot, in, onto chargers.

    `10:40 take B3 off C1 (fast, 6 A), let it cool until 10:55`, then `10:55 B3 into the robot for Q12 (11:05)`.
    """
    return [f"{clock(at_min, beside_min=now_min)} {words}" for at_min, words in cart_steps(plan, day, now_min)]


def cart_steps(plan: DayPlan, day: Day, from_min: int) -> list[tuple[int, str]]:
    """Return what is to do from a minute on, as the minute and the words, in the order of doing."""
    steps: list[_Step] = []
    for stint in plan.stints:
        steps += _of_stint(stint, day)
    for use in plan.uses:
        steps += _of_use(use, plan, day)
    return [(at_min, words) for at_min, _, _, words in sorted(step for step in steps if step[0] >= from_min)]


def _of_stint(stint: Stint, day: Day) -> Iterator[_Step]:
    """Tell when a battery goes on a charger and when off it; what sat there as the day began only comes off."""
    kind = f"{'fast' if stint.fast else 'gentle'}, {amps(stint)}"
    order = natural(stint.charger)
    if stint.from_min >= day.begins_min:
        yield stint.from_min, 3, order, f"put {stint.battery} on {stint.charger} ({kind})"
    cooling = f", let it cool until {clock(stint.to_min + day.practice.cool_after_fast_min)}" if stint.fast else ""
    yield stint.to_min, 0, order, f"take {stint.battery} off {stint.charger} ({kind}){cooling}"


def _of_use(use: Use, plan: DayPlan, day: Day) -> Iterator[_Step]:
    """Tell when a battery goes into the robot, or stays there, and when it comes out and cools."""
    at_min = next(match.at_min for match in day.matches if match.name == use.match)
    order = natural(use.battery)
    wrong = f"; {trouble(use)}" if trouble(use) else ""
    match = f"{use.match} ({clock(at_min)}{', if it is played' if use.may else ''})"
    goes = f"{use.battery} stays in the robot for" if use.stays else f"{use.battery} into the robot for"
    yield use.due_min + use.late_min, 2, order, f"{goes} {match}, {percent(use.charge)}{wrong}"
    if not any(
        after.stays and after.battery == use.battery and after.due_min == _next_due(use, plan) for after in plan.uses
    ):
        cool = clock(use.out_min + day.practice.cool_before_min)
        yield use.out_min, 1, order, f"take {use.battery} out of the robot, let it cool until {cool}"


def _next_due(use: Use, plan: DayPlan) -> int | None:
    """Return when the match after that of a use wants its battery, None after the last one."""
    return min((after.due_min for after in plan.uses if after.due_min > use.due_min), default=None)
