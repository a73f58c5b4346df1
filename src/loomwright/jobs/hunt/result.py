"""What is shown of a hunt: suspects, checks, fixes, answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from loomwright.hunting.robot.words import CheckWords
    from loomwright.records.event import Event
    from loomwright.records.hunts import HuntRecord

#: From this probability on people are told that two things may be wrong at once.
TWO_LIKELY: Final = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspectView:
    """What may be wrong at one seat, with its probability, in words, and what to light up on a drawing.

    The probability is that the seat is bad, alone or with another one, so that those of all seats may be above 1
    together. `faults` are the kinds that it may be, the likeliest first, by their keys. `seats` is () for no fault of
    the wiring and for what no list knows (`other`); with `any_of` they are ends of one circuit that nothing tells
    apart yet, and it is one of them.
    """

    seats: tuple[str, ...]
    faults: tuple[str, ...]
    words: str
    probability: float
    because: str
    raised: tuple[str, ...] = ()
    wires: tuple[str, ...] = ()
    devices: tuple[str, ...] = ()
    other: bool = False
    any_of: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckView:
    """A check to make: in words, its outcomes with their chances and what each would leave as the first suspect."""

    key: str
    words: CheckWords
    seconds: float
    outcomes: tuple[tuple[str, float, str], ...]
    unit: str = ""
    wires: tuple[str, ...] = ()
    devices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FixView:
    """What to mend: the seat, how, how long it takes [s], and what shows that it helped."""

    seat: str
    fault: str
    words: str
    what: str
    again: str
    seconds: float
    probability: float
    wire: str = ""
    end: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerView:
    """An answer as it was told: the event's key, what it says, by whom.

    `doubtful` where it does not go with the others; `refused` says why it counts for nothing on this plan.
    """

    key: str
    check: str
    words: str
    who: str
    doubtful: bool = False
    refused: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HuntView:
    """Where a hunt stands.

    `dangers` stop everything else: nothing is to be probed until a mentor has cleared them. `again` are checks that
    showed trouble before something was mended: they come first. `fixes` are worth doing now, the best first; `found`
    says that the first of them is very likely bad. `helped` is the seat that was mended last, once all that had
    shown trouble is well again. `state` is the state of work that the last answer was given
    in, and `two` the probability that two faults were there.
    """

    hunt: HuntRecord | None
    dangers: tuple[Event, ...] = ()
    suspects: tuple[SuspectView, ...] = ()
    checks: tuple[CheckView, ...] = ()
    again: tuple[CheckView, ...] = ()
    fixes: tuple[FixView, ...] = ()
    found: bool = False
    helped: str = ""
    answers: tuple[AnswerView, ...] = ()
    doubt: str = ""
    state: str = ""
    two: float = 0.0
