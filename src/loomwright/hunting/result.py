"""What a hunt tells: suspects and why, whether the answers go together, and what to do next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from loomwright.hunting.problem import Observation

#: From this probability on a seat is told as found, and mended before anything else is looked at.
SURE: Final = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """How much one answer speaks for a suspect (above 0) or against it (below 0) [natural log of an odds ratio]."""

    observation: Observation
    log_odds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """An explanation and its probability: one fault or two, or none of the wiring.

    `other` says that it is a fault on no list. `why` holds every answer against the best other explanation, the
    answer that tells most first: for the first suspect that is the runner-up, for the others it is the first.
    """

    faults: tuple[str, ...]
    probability: float
    other: bool = False
    why: tuple[Evidence, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Disagreement:
    """How one answer goes with the others.

    `misread` is the probability that it was misread, given all answers. `ratio` is its chance given the others, beside
    a blind guess among the outcomes: well below 1 says that it disagrees.
    """

    observation: Observation
    misread: float
    ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """Whether the answers go together.

    The best explanation needs `misreads` answers to be misread, and no explanation needs fewer than `fewest`; so many
    or more happen by chance in the share `chance` of hunts. `told` says that this is improbable, and `disagreeing`
    names the answers, the most suspicious first.
    """

    misreads: int
    fewest: int
    chance: float
    told: bool
    disagreeing: tuple[Disagreement, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaves:
    """What an outcome of a check would leave: its chance, and the suspects after it, the most probable first."""

    outcome: str
    chance: float
    suspects: tuple[Suspect, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Something to do next: make a `check`, or mend the faults of `repair`; () with no check settles "no wiring fault".

    It takes `seconds`, with the change of the state of work, and tells `bits` on average. With it the hunt is
    expected to end after `expected_s` in all, an estimate; `exact` says that it is none, but the least that is possible
    where the suspects that count are the only ones and answers are right. `ends` is the probability that a repair ends
    the hunt.
    """

    check: str = ""
    repair: tuple[str, ...] = ()
    seconds: float
    bits: float
    expected_s: float
    exact: bool = False
    ends: float = 0.0
    leaves: tuple[Leaves, ...] = ()

    @property
    def bits_per_s(self) -> float:
        """What it tells for each second [bit/s]."""
        return self.bits / self.seconds


@dataclass(frozen=True, slots=True, kw_only=True)
class BadSeat:
    """A seat that is bad, alone or with another one: its probability, and what it may have, the likeliest first."""

    faults: tuple[str, ...]
    probability: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where a hunt stands, and what to do next, the best first.

    `bad` are the seats that are bad whatever else is, those that were mended left out; `over` is the probability that
    all that was wrong is mended by now, and `two` that two faults were there. Every pair is weighed, where pairs are;
    three faults at a time are not. The steps were chosen among explanations with the share `looked_at` of all.
    """

    suspects: tuple[Suspect, ...]
    bad: tuple[BadSeat, ...]
    over: float
    two: float
    doubt: Doubt
    steps: tuple[Step, ...]
    looked_at: float
