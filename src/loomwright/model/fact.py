"""What people know of one thing: a value, doubt, disagreement, or nothing yet."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Generic, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable

    from loomwright.model.mark import Mark

T = TypeVar("T")
U = TypeVar("U")


class State(StrEnum):
    """How sure a value is; `planned` unless the file says otherwise."""

    PLANNED = "planned"
    FITTED = "fitted"
    TRACED = "traced"
    GUESSED = "guessed"


class Saying(StrEnum):
    """What kind of statement a fact is.

    `absent` means decide, `unknown` means ask and never decide, `none found` means that somebody
    looked and there was none, `any of` leaves a choice, `claims` disagree with each other.
    """

    ABSENT = "absent"
    VALUE = "value"
    UNKNOWN = "unknown"
    NONE_FOUND = "none found"
    ANY_OF = "any of"
    CLAIMS = "claims"


@dataclass(frozen=True, slots=True)
class Claim(Generic[T]):
    """One value somebody stated, with its state, where it comes from, the words as written, and where they stand."""

    value: T
    state: State = State.PLANNED
    source: str = ""
    note: str = ""
    written: str = ""
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class Fact(Generic[T]):
    """Everything that is said of one thing; `mark` is the place in the robot file, None if absent."""

    saying: Saying = Saying.ABSENT
    said: tuple[Claim[T], ...] = ()
    mark: Mark | None = None
    note: str = ""

    @classmethod
    def of(cls, value: T, mark: Mark | None = None, state: State = State.PLANNED, written: str = "") -> Fact[T]:
        """Make the plain fact that one value is so."""
        return cls(Saying.VALUE, (Claim(value, state, written=written or str(value), mark=mark),), mark)

    @property
    def value(self) -> T | None:
        """The one value that is known, or None."""
        return self.said[0].value if self.saying is Saying.VALUE else None

    @property
    def state(self) -> State | None:
        """The state of the one value that is known, or None."""
        return self.said[0].state if self.saying is Saying.VALUE else None

    @property
    def open_to_decide(self) -> bool:
        """Tell whether nothing was said, so that the tool may decide."""
        return self.saying is Saying.ABSENT

    @property
    def asks(self) -> bool:
        """Tell whether a person must be asked before anyone relies on this."""
        return self.saying in (Saying.UNKNOWN, Saying.NONE_FOUND, Saying.CLAIMS)

    @property
    def values(self) -> tuple[T, ...]:
        """All values that were stated, in the order written."""
        return tuple(claim.value for claim in self.said)

    def map(self, change: Callable[[T], U]) -> Fact[U]:
        """Apply a function to every stated value, keeping state, source, words and place."""
        said = tuple(Claim(change(c.value), c.state, c.source, c.note, c.written, c.mark) for c in self.said)
        return Fact(self.saying, said, self.mark, self.note)

    def describe(self, show: Callable[[T], str] = str) -> str:
        """Write the fact in words: "H7 (guessed)", "unknown", "35 A (code) or 40 A (notebook)"."""
        if not self.said:
            return str(self.saying)
        return " or ".join(_claim_in_words(claim, show) for claim in self.said)


def _claim_in_words(claim: Claim[T], show: Callable[[T], str]) -> str:
    doubt = [str(claim.state)] if claim.state is not State.PLANNED else []
    told = ", ".join([*doubt, *([claim.source] if claim.source else [])])
    return f"{show(claim.value)} ({told})" if told else show(claim.value)
