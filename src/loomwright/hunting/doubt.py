"""Whether the answers go together, and which of them does not go with the others."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from loomwright.hunting.board import Answer, Board
from loomwright.hunting.pairs import Floats
from loomwright.hunting.problem import Observation
from loomwright.hunting.result import Disagreement, Doubt
from loomwright.hunting.weigh import OTHER, Weighed

#: An answer that came of misreading with more than this probability counts as misread.
_RATHER = 0.5
#: So many answers are misread at least, on average over all explanations, where it is told.
_NEARLY_ONE = 0.8


def doubt(board: Board, weighed: Weighed, observations: Sequence[Observation], *, improbable: float) -> Doubt:
    """Return how well the answers go together; so many misreads are told where their chance is below `improbable`."""
    share = _misread_share(board, weighed)
    counted = (share > _RATHER).sum(axis=1)
    listed = weighed.first != OTHER
    best = next(int(one) for one in weighed.best if listed[one])
    chance = _at_least(int(counted[best]), _rates(board, weighed.answers))
    # One answer alone goes with itself.
    found = _disagreements(board, weighed, observations, share)
    # All explanations together: the best one may need a misread that others, less likely each, do without.
    # A fault on no list needs none, so that it is not asked.
    known = weighed.probability * listed
    rather = float((known / known.sum() @ share).sum()) > _NEARLY_ONE
    told = bool(counted[best]) and rather and chance < improbable and len(weighed.answers) > 1
    return Doubt(
        misreads=int(counted[best]),
        fewest=int(counted[listed].min()),
        chance=chance,
        told=told,
        disagreeing=tuple(one for one in found if one.misread > _RATHER or one.ratio < 1) if told else (),
    )


def _misread_share(board: Board, weighed: Weighed) -> Floats:
    """Return the probability that each answer was misread, under each explanation."""
    floor = np.array([board.floor[one.check] @ one.weight for one in weighed.answers])
    return np.asarray(floor / np.exp(weighed.log_like), dtype=np.float64)


def _rates(board: Board, answers: tuple[Answer, ...]) -> Floats:
    """Return how often each check shows an outcome by misreading that is not the right one."""
    wrong = [1 - 1 / len(board.hunt.checks[one.check].outcomes) for one in answers]
    return np.array([(1 - board.trust[one.check]) * share for one, share in zip(answers, wrong, strict=True)])


def _at_least(count: int, rates: Floats) -> float:
    """Return the chance of so many misreads or more."""
    exactly = np.ones(1)
    for rate in rates:
        exactly = np.convolve(exactly, [1 - rate, rate])
    return min(float(exactly[count:].sum()), 1.0)


def _disagreements(
    board: Board, weighed: Weighed, observations: Sequence[Observation], share: Floats
) -> list[Disagreement]:
    """Return what each answer is like given all others, the most suspicious first."""
    misread = weighed.probability @ share
    found = []
    for number, answer in enumerate(weighed.answers):
        without = float((weighed.probability / np.exp(weighed.log_like[:, number])).sum())
        blind = 1 / len(board.hunt.checks[answer.check].outcomes)
        found.append(
            Disagreement(
                observation=observations[answer.place], misread=float(misread[number]), ratio=1 / without / blind
            )
        )
    return sorted(found, key=lambda one: (-one.misread, one.ratio))
