"""How many matches a battery lasts without a charger between them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from loomwright.match.engine import layout as at
from loomwright.match.engine.study import play_study
from loomwright.match.machine import Doubt
from loomwright.match.verdict import Chance
from loomwright.search import SILENT

if TYPE_CHECKING:
    from loomwright.match.engine.outcomes import Outcomes
    from loomwright.match.engine.study import Study
    from loomwright.search import Watch

MOST: Final = 5
#: A battery is spent where the risk has grown by this share of all matches, or below this charge.
_MORE: Final = 0.10
_LEAST_CHARGE: Final = 0.3


@dataclass(frozen=True, slots=True)
class InARow:
    """One of several matches on one battery: which, how full it is at the start (mean), the chance of a brown-out."""

    number: int
    charge: float
    brown_out: Chance


def in_a_row(study: Study, first: Outcomes, *, watch: Watch = SILENT) -> tuple[InARow, ...]:
    """Return matches in a row on one battery with no charger between them, until it is spent, at most `MOST`.

    Each starts with what the one before left on the mean, rested. The last one told is one too many, unless there are
    `MOST`.
    """
    used = float((first.drawn[:, at.D_CHARGE] - first.matches[:, at.O_CHARGE]).mean())
    charge = float(first.drawn[:, at.D_CHARGE].mean())
    found = [InARow(1, charge, Chance(int(first.browned_out.sum()), len(first)))]
    for number in range(2, MOST + 1):
        spent = used * (number - 1)
        if charge - spent < _LEAST_CHARGE or watch.stopped:
            break
        after = play_study(_less(study, spent), len(first), watch=watch, stage=f"match {number} in a row")
        if not len(after):
            break
        found.append(InARow(number, charge - spent, Chance(int(after.browned_out.sum()), len(after))))
        if found[-1].brown_out.share - found[0].brown_out.share > _MORE:
            break
    return tuple(found)


def _less(study: Study, spent: float) -> Study:
    """Return a study that starts with so much less charge."""
    full = next((one for one in study.doubts if one.key == "charge"), Doubt("charge", "", 1.0, 1.0))
    less = replace(full, low=max(0.0, full.low - spent), high=max(0.0, full.high - spent))
    return replace(study, doubts=(*(one for one in study.doubts if one.key != "charge"), less))


def how_many(row: tuple[InARow, ...]) -> int:
    """Return how many matches in a row it lasts."""
    return sum(one.brown_out.share - row[0].brown_out.share <= _MORE for one in row)
