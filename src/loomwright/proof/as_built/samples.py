"""Sample crimps beside what was pulled: which way of crimping may work on the robot, how good tools and people are."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.proof.pulls import pull_samples
from loomwright.records.crimp_rates import Ends, Rate, rates
from loomwright.records.crimps import Outcome, SampleSet, Verdict, judge
from loomwright.records.event import Kind
from loomwright.records.people import person, plain_name

if TYPE_CHECKING:
    from loomwright.plan.result import Plan
    from loomwright.proof.pulls import PullSample
    from loomwright.records.ends import EndState
    from loomwright.records.event import Event
    from loomwright.records.fold import SetState, State

#: The setting that asks for passing samples before ends are made: "on" or "off".
SAMPLES_FIRST: Final = "samples first"
#: Without a gauge at least so many have to hold, none may fail: a habit is seen in three, luck in one (own choice).
FEWEST_HELD: Final = 3
#: What was put right is told in words: so many letters at least.
_FEWEST_LETTERS: Final = 5


@dataclass(frozen=True, slots=True)
class Way:
    """One way of crimping that the plan asks for, the sets pulled of it, and what each of them tells.

    `name` is what the events of its sets are about. `licensed` tells whether the sets let people work on the robot with
    it: the newest full one passes, or no force is known; or three at least held, as many as there were in any set that
    failed before, and nothing failed. A bad pull since then takes the licence away until a set is full again.
    """

    name: str
    asked: PullSample
    sets: tuple[SetState, ...]
    verdicts: tuple[Verdict, ...]
    licensed: bool

    @property
    def open_set(self) -> SetState | None:
        """The newest set that is begun and not full and that no other was begun after, None where there is none."""
        left = {key for one in self.sets for key in one.begun.of}
        both = zip(self.sets, self.verdicts, strict=True)
        short = [one for one, told in both if told.outcome is Outcome.TOO_FEW and one.begun.key not in left]
        return short[-1] if short else None


def way_name(asked: PullSample) -> str:
    """Return the name of a way of crimping: its tool, terminal and gauge."""
    return ", ".join(word for word in (asked.tool, asked.terminal, str(asked.gauge or "")) if word)


def ways(plan: Plan, state: State) -> tuple[Way, ...]:
    """Return every way of crimping of a plan with its sets, in the order of the Pull record."""
    return tuple(_way(asked, state) for asked in pull_samples(plan))


def person_rates(state: State) -> tuple[Rate, ...]:
    """Return how often the fitted ends of each person failed, of those that somebody judged."""
    return _rates(state, lambda made: made.who, person)


def tool_rates(state: State) -> tuple[Rate, ...]:
    """Return the same for each tool that was named."""
    return _rates(state, lambda made: made.tool, plain_name)


def _way(asked: PullSample, state: State) -> Way:
    name = way_name(asked)
    held = tuple(one for one in state.sets if one.begun.about == name)
    verdicts = judge([_sample_set(one, asked) for one in held])
    return Way(name, asked, held, verdicts, _licensed(verdicts, [int(one.begun.value or 1) for one in held]))


def _licensed(verdicts: Sequence[Verdict], sizes: Sequence[int]) -> bool:
    full = [one for one in verdicts if one.outcome not in (Outcome.TOO_FEW, Outcome.TOO_MANY)]
    if not full or any(one.left_bad for one in verdicts[full[-1].number :]):
        return False
    failed = [size for one, size in zip(verdicts, sizes, strict=True) if one.outcome is Outcome.FAILS or one.left_bad]
    enough = full[-1].pulls >= max([FEWEST_HELD, *failed])
    outcome = full[-1].outcome
    return outcome in (Outcome.PASSES, Outcome.NOT_ASKED) or (outcome is Outcome.OPEN and enough)


def _sample_set(held: SetState, asked: PullSample) -> SampleSet:
    plain = [pull for pull in held.pulls if pull.about != "blunder"]
    forces = tuple(pull.value for pull in plain if pull.value is not None)
    ended = [pull.about for pull in plain if pull.value is None]
    return SampleSet(
        planned=int(held.begun.value or 1),
        forces_n=forces,
        held=ended.count("held"),
        failed=ended.count("slipped"),
        blunders=len(held.pulls) - len(plain),
        required_n=asked.force_n,
        adjusted_before=sum(sign.isalpha() for sign in held.begun.words) >= _FEWEST_LETTERS,
    )


def _rates(state: State, name_of: Callable[[Event], str], plain: Callable[[str], str]) -> tuple[Rate, ...]:
    found: dict[str, Ends] = {}
    for end in state.ends.values():
        for made, failed in _judged(end):
            if name := name_of(made):
                one = found.get(plain(name), Ends(name, 0, 0))
                found[plain(name)] = Ends(one.name, one.n + 1, one.failures + int(failed))
    return rates(list(found.values()))


def _judged(end: EndState) -> Iterable[tuple[Event, bool]]:
    """Give every signature of an end that somebody judged, with whether it failed."""
    for made in end.history:
        if made.kind in (Kind.MADE, Kind.REDONE):
            kinds = {event.kind for event in end.history if made.key in event.of}
            if kinds & {Kind.PULLED, Kind.FAILED}:
                yield made, Kind.FAILED in kinds
