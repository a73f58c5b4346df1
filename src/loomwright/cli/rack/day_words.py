"""How a planned day is told on a terminal: whether it holds, each match's battery, what the cart does next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.documents.timeline.cart import cart_lines
from loomwright.documents.timeline.clock import clock, percent
from loomwright.search import in_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from loomwright.jobs.rack.day import PlannedDay
    from loomwright.rack.day.more import More
    from loomwright.rack.day.result import DayPlan

_CART = 8


def headline(done: PlannedDay) -> str:
    """Say in one sentence how good the day is."""
    plan = done.plan
    lowest = min(plan.uses, key=lambda use: (use.worth, use.match))
    at = f"{percent(lowest.charge)}, worth {percent(lowest.worth)} of a new one"
    words = f"Lowest: {lowest.match} with {lowest.battery} at {at}"
    if plan.holds:
        return f"{words}."
    short = [use.match for use in plan.uses if use.short or use.late_min]
    return f"It does not hold: {', '.join(short)} short or late. {words}."


def wall_words(done: PlannedDay) -> str:
    """Say in a few words whether the day holds, as the wall's sheet does above its numbers."""
    plan, day = done.plan, done.day
    told = f"{len(plan.uses)} matches, {len(day.batteries)} batteries, {len(day.chargers)} chargers"
    if not plan.holds:
        return f"{told}: it does not hold"
    held = done.held
    return f"{told}: holds" + (f" in {held.holds.share:.0%} of days with slips" if held is not None else "")


def day_lines(done: PlannedDay, now_min: int, *, kept: bool = False) -> Iterator[str]:
    """Tell a day: uses, how good it is proved to be, how often it holds, what would do, and the next steps.

    `kept` says that it keeps to a plan before: then the best is the best with so few batteries swapped.
    """
    plan = done.plan
    yield headline(done)
    so_few = " with so few batteries swapped" if kept else ""
    yield f"The worst match's battery is {in_words(plan.proof.worst)}{so_few}; {_beside(plan)}"
    if plan.holds:
        more = " or more" if plan.spare_min >= done.day.practice.spare_enough_min else ""
        yield f"Every battery is ready {plan.spare_min} min{more} before it is due."
    if kept:
        count = plan.score.swaps
        swapped = "no match gets" if not count else "one match gets" if count == 1 else f"{count} matches get"
        yield f"It keeps to the plan that hangs on the wall: {swapped} another battery. --anew plans without it."
    yield ""
    at = {match.name: match.at_min for match in done.day.matches}
    for use in plan.uses:
        odd = f", {use.late_min} min late" if use.late_min else ""
        odd += f", {use.short:.1%} short of the least charge" if use.short else ""
        may = ", perhaps not played" if use.may else ""
        yield f"  {clock(at[use.match])}  {use.match}: {use.battery}, {percent(use.charge)}{may}{odd}"
    yield ""
    if done.held is not None:
        low, high = done.held.holds.span
        odd = f"; a battery is late in {done.held.late.count}, short in {done.held.short.count}"
        told = f"{done.held.holds.share:.0%} of {done.held.holds.of} days ({low:.0%} to {high:.0%})"
        yield f"Where matches slip, it holds in {told}{odd if done.held.holds.count < done.held.holds.of else ''}."
    if done.more is not None:
        yield _more(done.more)
    yield "At the cart next:"
    yield from (f"  {line}" for line in cart_lines(plan, done.day, now_min)[:_CART])


def _beside(plan: DayPlan) -> str:
    best = max(plan.rules, key=lambda one: tuple(-number for number in one.score.key))
    ours, theirs = plan.score.worst, best.score.worst
    if best.score.late_min or best.score.short_mah:
        return f"the best plain rule, {best.rule}, would leave a match late or short."
    return f"the best plain rule, {best.rule}, gives {theirs / 10:.1f} % where this gives {ours / 10:.1f} %."


def _more(more: More) -> str:
    told = []
    if more.batteries is not None:
        told.append(
            f"{more.batteries} more batter{'y' if more.batteries == 1 else 'ies'} like the best one, charged full"
        )
    if more.chargers is not None:
        told.append(f"{more.chargers} more charger{'' if more.chargers == 1 else 's'}")
    if not told:
        return f"Not even {more.tried} more batteries or chargers would do. Play less, or charge before the day."
    return f"It would hold with {' or '.join(told)}."
