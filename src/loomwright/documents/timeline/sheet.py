"""What the timeline of a day shows, and nothing else."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.rack.day.problem import Day
from loomwright.rack.day.result import DayPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class TimelineSheet:
    """A planned day to hang up: `of` is the build, the revision or the date in words, `headline` what the plan says.

    `cautions` are those of charging. `now_min` draws a line at this minute. Raises ValueError where there is no match
    to show, or a use of a battery or a match that the day does not have.
    """

    robot: str
    of: str
    headline: str
    day: Day
    plan: DayPlan
    cautions: tuple[str, ...]
    now_min: int | None = None

    def __post_init__(self) -> None:
        """Check that plan and day are of one day."""
        if not self.plan.uses:
            raise ValueError("a timeline needs a match")
        batteries = {battery.label for battery in self.day.batteries}
        chargers = {charger.label for charger in self.day.chargers}
        matches = {match.name for match in self.day.matches}
        strange = [use.battery for use in self.plan.uses if use.battery not in batteries]
        strange += [use.match for use in self.plan.uses if use.match not in matches]
        strange += [stint.battery for stint in self.plan.stints if stint.battery not in batteries]
        strange += [stint.charger for stint in self.plan.stints if stint.charger not in chargers]
        if strange:
            raise ValueError(f"the plan speaks of {strange[0]}, and the day does not")
