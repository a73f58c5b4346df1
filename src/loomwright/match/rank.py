"""What helps most: single changes, each played with the same drivers, batteries and joints as the robot as it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from loomwright.match.change import changes_of
from loomwright.match.engine import layout as at
from loomwright.match.engine.study import play_study
from loomwright.match.teams import team_of
from loomwright.search import SILENT, News

if TYPE_CHECKING:
    from collections.abc import Sequence

    from loomwright.match.change import Change
    from loomwright.match.engine.outcomes import Outcomes
    from loomwright.match.engine.study import Study
    from loomwright.search import Watch


@dataclass(frozen=True, slots=True)
class Effect:
    """What a change does: to the share of matches with a brown-out, to the lowest voltage, and what it costs.

    `risk` and `risk_before` are shares; `lowest_v` is the mean gain of the lowest voltage [V], `lowest_5_v` that of its
    5th percentile; `metres` is the change of the way driven as a share, `late_s` of the time that mechanisms are not
    yet where they should be [s a match]. `wins` and `loses` count matches that brown out only without, or only with it.
    """

    words: str
    kind: str
    risk_before: float
    risk: float
    wins: int
    loses: int
    lowest_v: float
    lowest_5_v: float
    metres: float
    late_s: float
    of: int = 0

    @property
    def before(self) -> int:
        """How many of the `of` matches brown out without the change."""
        return round(self.risk_before * self.of)

    @property
    def after(self) -> int:
        """How many do with it."""
        return round(self.risk * self.of)

    @property
    def gain(self) -> tuple[float, float]:
        """What effects are ranked by: risk taken away first, then volts at the dip."""
        return (self.risk_before - self.risk, self.lowest_5_v)


def ranked(
    study: Study,
    before: Outcomes,
    *,
    states: tuple[Study, ...] = (),
    watch: Watch = SILENT,
) -> tuple[Effect, ...]:
    """Play every change for as many matches as `before` has, the one that helps most first.

    Where the watch is stopped, those that are played are returned.
    """
    changes = changes_of(study, peaks_of(study, before), states)
    effects: list[Effect] = []
    for number, change in enumerate(changes):
        words = f"change {number + 1} of {len(changes)}"
        watch.tell(News(stage="what helps most", used=number / len(changes), words=words))
        if watch.stopped:
            break
        effects.append(effect_of(change, before))
    return tuple(sorted(effects, key=lambda one: (-one.gain[0], -one.gain[1], one.words)))


def effect_of(change: Change, before: Outcomes) -> Effect:
    """Return what a change does to the matches of `before`."""
    after = play_study(change.study, len(before))
    return compared(change.words, change.kind, before.part(0, len(after)), after)


def compared(words: str, kind: str, before: Outcomes, after: Outcomes) -> Effect:
    """Return the difference between the same matches with a change and without."""
    was, now = before.browned_out, after.browned_out
    way = float(before.matches[:, at.O_METRES].mean())
    late = after.ways[:, :, at.Y_LATE].sum(1) - before.ways[:, :, at.Y_LATE].sum(1)
    return Effect(
        words=words,
        kind=kind,
        risk_before=float(was.mean()),
        risk=float(now.mean()),
        wins=int((was & ~now).sum()),
        loses=int((~was & now).sum()),
        lowest_v=float((after.lowest_v - before.lowest_v).mean()),
        lowest_5_v=float(np.quantile(after.lowest_v, 0.05) - np.quantile(before.lowest_v, 0.05)),
        metres=float(after.matches[:, at.O_METRES].mean()) / way - 1.0 if way else 0.0,
        late_s=float(late.mean()),
        of=len(after),
    )


def peaks_of(study: Study, outcomes: Outcomes) -> dict[str, float]:
    """Return the most that a motor of each team took [A]; see `teams.teams_of`."""
    machine, found = study.machine, dict[str, float]()
    teams = team_of(machine)
    for b, motor in enumerate(machine.motors):
        team = teams[machine.mechanisms[motor.mechanism].name]
        found[team] = max(found.get(team, 0.0), float(outcomes.branches[:, b, at.R_PEAK].max()))
    return found


def pareto(points: Sequence[tuple[float, ...]]) -> list[int]:
    """Return the numbers of the points that no other beats or equals before them in everything; less is better."""
    found = []
    for i, point in enumerate(points):
        beaten = any(
            all(b <= a for a, b in zip(point, other, strict=True)) and (other != point or j < i)
            for j, other in enumerate(points)
            if j != i
        )
        if not beaten:
            found.append(i)
    return found
