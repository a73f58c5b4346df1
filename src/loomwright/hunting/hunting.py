"""The front door of the hunt: from what was observed to the suspects, and to what to do next."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from loomwright.hunting.because import faults_of, leaves_of, suspects_of
from loomwright.hunting.board import Board, board_of
from loomwright.hunting.doubt import doubt
from loomwright.hunting.lookahead import Option, Width, chance_to_end, options, repair_bits
from loomwright.hunting.marginals import all_mended, bad_seats, two_there
from loomwright.hunting.optimal import MOST_SUSPECTS, optimal_options
from loomwright.hunting.pool import Pool, pool_of
from loomwright.hunting.problem import Hunt, Observation
from loomwright.hunting.refusing import refuse_faults, refuse_state
from loomwright.hunting.result import SURE, BadSeat, Standing, Step
from loomwright.hunting.weigh import Weighed, weigh

#: Steps ahead, checks and repairs tried at each, and the most numbers in the pool's table where that is quick enough.
_WIDTHS = (
    (2_500, Width(steps=3, checks=5, repairs=2)),
    (60_000, Width(steps=2, checks=6, repairs=2)),
    (None, Width(steps=1, checks=8, repairs=2)),
)


#: A check that tells less is weighed against mending on suspicion [bit].
_WORTH_BITS = 0.07


@dataclass(frozen=True, slots=True, kw_only=True)
class Pains:
    """How much is weighed and told.

    All pairs are weighed, and the likeliest `most_pairs` looked at one by one. Steps are
    chosen among explanations with the share `looked_at`, at most `most_looked_at`; where they are no more than
    `optimal_up_to` (18 at most) and their outcomes certain, the best step of all is found. So many misreads as have a
    chance below `improbable` are told. `tell` suspects and steps are told. No more than `ahead` steps are looked ahead.
    """

    most_pairs: int = 4_000
    looked_at: float = 0.999
    most_looked_at: int = 1500
    optimal_up_to: int = 18
    improbable: float = 0.1
    tell: int = 8
    ahead: int = 3


class Tracker:
    """A hunt that is asked again and again: it is put into numbers once."""

    def __init__(self, hunt: Hunt, pains: Pains | None = None) -> None:
        """Put a hunt into numbers.

        Raises
        ------
        ValueError
            The hunt makes no sense; everything that is wrong with it is told.
        """
        self._board = board_of(hunt)
        self._pains = pains or Pains()

    def standing(self, observations: Sequence[Observation], state: str = "", mended: Collection[str] = ()) -> Standing:
        """Return the suspects after these observations, in whatever order, and what to do next in this state of work.

        `mended` names faults that were mended by now: they may have been it, but no step is there for them any more.

        Raises
        ------
        ValueError
            An observation, a fault or the state that the hunt does not know; everything that is wrong is told.
        """
        refuse_state(self._board.hunt, state)
        refuse_faults(self._board.hunt, mended)
        board, pains = self._board, self._pains
        weighed = weigh(board, observations, most_pairs=pains.most_pairs)
        pool, looked_at = pool_of(board, weighed, share=pains.looked_at, most=pains.most_looked_at, mended=mended)
        bad = bad_seats(board, weighed, mended, pains.tell)
        return Standing(
            suspects=suspects_of(board, weighed, observations, pains.tell),
            bad=bad,
            over=all_mended(board, weighed, mended),
            two=two_there(weighed),
            doubt=doubt(board, weighed, observations, improbable=pains.improbable),
            steps=_steps(board, weighed, pool, board.states.index(state), pains, bad, frozenset(mended)),
            looked_at=looked_at,
        )


def standing(hunt: Hunt, observations: Sequence[Observation], state: str = "", pains: Pains | None = None) -> Standing:
    """Return where a hunt stands; as `Tracker.standing`, for a hunt that is asked once.

    Raises
    ------
    ValueError
        The hunt or an observation makes no sense; everything that is wrong with it is told.
    """
    return Tracker(hunt, pains).standing(observations, state)


def _steps(
    board: Board,
    weighed: Weighed,
    pool: Pool,
    state: int,
    pains: Pains,
    bad: tuple[BadSeat, ...],
    mended: frozenset[str],
) -> tuple[Step, ...]:
    best = pool.sure and len(pool.members) <= min(pains.optimal_up_to, MOST_SUSPECTS)
    found = optimal_options(pool, state) if best else options(pool, state, _width(pool, pains))
    found = found if pool.sure else _by_rate(found)
    steps = [_step(board, weighed, pool, one, pains.tell, mended, exact=best) for one in found[: pains.tell]]
    if not best and bad and bad[0].probability >= SURE:
        first = _mend(board, weighed, bad[0], steps, mended)
        steps = [first, *(one for one in steps if one.check or one.repair != first.repair)][: pains.tell]
    return tuple(steps)


def _mend(board: Board, weighed: Weighed, bad: BadSeat, steps: Sequence[Step], mended: frozenset[str]) -> Step:
    """Return the step that mends what is surely bad: it has to be done in any case, and shows what is left."""
    fault = next(one for one in board.hunt.faults if one.key == bad.faults[0])
    ends = all_mended(board, weighed, mended | {*bad.faults})
    return Step(
        repair=(fault.key,),
        seconds=fault.repair_s,
        bits=repair_bits(ends),
        expected_s=min((one.expected_s for one in steps), default=fault.repair_s),
        ends=ends,
    )


def _by_rate(found: list[Option]) -> list[Option]:
    """Put checks that tell enough first, by what they tell a second.

    Where outcomes are not sure, what comes after a step can't be told well enough to choose by it: played on whole
    robots, this ends hunts a third sooner. With little left to tell, mending on suspicion is weighed against checks.
    """
    telling = [one for one in found if one.check >= 0 and one.bits >= _WORTH_BITS]
    return sorted(telling, key=lambda one: (-one.bits / one.seconds, one.check)) + [
        one for one in found if one not in telling
    ]


def width_for(pool: Pool) -> Width:
    """Return how far to look into a pool: further where it is small."""
    return next(width for most, width in _WIDTHS if most is None or pool.chances.size <= most)


def _width(pool: Pool, pains: Pains) -> Width:
    width = width_for(pool)
    return replace(width, steps=min(width.steps, pains.ahead))


def _step(
    board: Board, weighed: Weighed, pool: Pool, one: Option, tell: int, mended: frozenset[str], *, exact: bool
) -> Step:
    if one.check >= 0:
        return Step(
            check=board.hunt.checks[int(pool.checks[one.check])].key,
            seconds=one.seconds,
            bits=one.bits,
            expected_s=one.expected_s,
            exact=exact,
            leaves=leaves_of(board, weighed, pool, one.check, tell),
        )
    return Step(
        repair=tuple(key for key in faults_of(board, weighed, pool, one.repair) if key not in mended),
        seconds=one.seconds,
        bits=one.bits,
        expected_s=one.expected_s,
        exact=exact,
        ends=chance_to_end(pool, one.repair),
    )
