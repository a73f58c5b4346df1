"""Current limits for all mechanisms at once: a short list between least risk and least loss.

From the limits as they are, the search lowers one mechanism's limit at a time and goes on from the best few: those that
take away most risk for what they cost. Every set is played with the same drivers, batteries and joints.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isinf
from typing import TYPE_CHECKING, Final

from loomwright.match.change import LEAST_A, limits_of, with_limit
from loomwright.match.engine.study import play_study
from loomwright.match.rank import compared, pareto, peaks_of
from loomwright.search import SILENT, News

if TYPE_CHECKING:
    from collections.abc import Mapping

    from loomwright.match.engine.outcomes import Outcomes
    from loomwright.match.engine.study import Study
    from loomwright.match.rank import Effect
    from loomwright.search import Watch

_STEPS: Final = (0.8, 0.65, 0.5)
_MOST_SETS: Final = 90
_KEPT: Final = 6
#: A second in which a mechanism is not where it should be weighs as this share of the way driven.
_LATE: Final = 1 / 150


@dataclass(frozen=True, slots=True)
class Advice:
    """A set of supply-side limits [A a motor] that differ from what is there, and what it does."""

    limits: tuple[tuple[str, float], ...]
    effect: Effect

    @property
    def cost(self) -> float:
        """What it costs, as a share: way not driven, and time in which mechanisms are late."""
        return max(0.0, -self.effect.metres) + max(0.0, self.effect.late_s) * _LATE


def advised(study: Study, before: Outcomes, *, watch: Watch = SILENT) -> tuple[Advice, ...]:
    """Return the sets of limits that none other beats in risk, volts at the dip and cost, least risk first.

    At most `_KEPT` of them; `_MOST_SETS` are played, fewer where the watch is stopped.
    """
    peaks, now = peaks_of(study, before), limits_of(study.machine)
    grid = {name: steps for name, peak in peaks.items() if (steps := _grid(peak, now[name]))}
    names = list(grid)
    start = tuple(0 for _ in names)
    seen: dict[tuple[int, ...], Advice] = {start: Advice((), compared("as it is", "limit", before, before))}
    front = [start]
    while front and len(seen) <= _MOST_SETS and not watch.stopped:
        here = front.pop(0)
        for k, name in enumerate(names):
            one = _lower(here, k)
            if one in seen or one[k] > len(grid[name]) or len(seen) > _MOST_SETS or watch.stopped:
                continue
            words = f"set {len(seen)} of {_MOST_SETS}"
            watch.tell(News(stage="limits", used=len(seen) / _MOST_SETS, words=words))
            limits = {names[i]: grid[names[i]][level - 1] for i, level in enumerate(one) if level}
            seen[one] = _played(study, before, limits)
        best = sorted(seen, key=lambda key: _worth(seen[key]))
        front = [key for key in best[:3] if any(_lower(key, k) not in seen for k in _open(key, grid))]
    return _short(list(seen.values()))


def _open(key: tuple[int, ...], grid: Mapping[str, list[float]]) -> list[int]:
    """Return which of a set's limits can still be lowered."""
    return [k for k, steps in enumerate(grid.values()) if key[k] < len(steps)]


def _grid(peak: float, limit: float) -> list[float]:
    top = peak if isinf(limit) else min(limit, max(peak, LEAST_A))
    return [value for share in _STEPS if (value := float(round(top * share))) >= LEAST_A]


def _lower(key: tuple[int, ...], k: int) -> tuple[int, ...]:
    return (*key[:k], key[k] + 1, *key[k + 1 :])


def _played(study: Study, before: Outcomes, limits: Mapping[str, float]) -> Advice:
    changed = study
    for name, limit in limits.items():
        changed = with_limit(changed, name, limit)
    after = play_study(changed, len(before))
    words = ", ".join(f"{name} {limit:g} A" for name, limit in limits.items())
    return Advice(tuple(limits.items()), compared(words, "limit", before.part(0, len(after)), after))


def _worth(advice: Advice) -> float:
    """Weigh risk and volts at the dip against cost; less is better."""
    return advice.effect.risk - 0.05 * advice.effect.lowest_5_v + 0.5 * advice.cost


def _short(found: list[Advice]) -> tuple[Advice, ...]:
    points = [(one.effect.risk, -round(one.effect.lowest_5_v, 2), round(one.cost, 3)) for one in found]
    best = sorted((found[i] for i in pareto(points)), key=lambda one: (one.effect.risk, one.cost))
    if len(best) <= _KEPT:
        return tuple(best)
    picked = [best[round(i * (len(best) - 1) / (_KEPT - 1))] for i in range(_KEPT)]
    return tuple(dict.fromkeys(picked))
