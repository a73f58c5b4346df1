"""The numbers and words that a hunt on a robot goes by: tables of practice, by name."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from loomwright.catalogue.tables import number, table


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckKind:
    """A kind of check: its state of work, its time [s], how often it is misread, its outcomes, and how to do it.

    `plain` are the outcomes that nobody takes for anything else.
    """

    kind: str
    state: str
    seconds: float
    misread: float
    outcomes: tuple[str, ...]
    plain: tuple[str, ...]
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """A kind of fault in words, how it is mended, how long that takes [s], and what shows that it is mended."""

    seconds: float
    what: str
    words: str
    again: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HaltLength:
    """A length of a halt: its outcome, and from so many seconds up to so many (None: to the end of the match)."""

    outcome: str
    from_s: float
    to_s: float | None

    @property
    def words(self) -> str:
        """The length as people say it: "under 10 s", "10 to 40 s", "longer"."""
        if self.to_s is None:
            return "longer"
        return f"{self.from_s:g} to {self.to_s:g} s" if self.from_s else f"under {self.to_s:g} s"

    @property
    def example_s(self) -> float:
        """A halt of this length [s]."""
        return 2 * self.from_s if self.to_s is None else (self.from_s + self.to_s) / 2


def practice(name: str) -> float:
    """Return one number of practice in SI; raise KeyError for a name that is not there."""
    return _numbers()[name]


def rate(kind: str, of: str) -> float:
    """Return how often a kind of fault happens at one such place, in one match; 0 where it never does."""
    return _rates().get((kind, of), 0.0)


@lru_cache(maxsize=1)
def check_kinds() -> dict[str, CheckKind]:
    """Return every kind of check by its name."""
    return {
        row["kind"]: CheckKind(
            kind=row["kind"],
            state=row["state"],
            seconds=float(row["seconds"]),
            misread=float(row["misread"]),
            outcomes=tuple(row["outcomes"].split(";")),
            plain=tuple(name for name in row["plain"].split(";") if name),
            how=row["how"],
        )
        for row in table("hunt_check")
    }


@lru_cache(maxsize=1)
def halt_lengths() -> tuple[HaltLength, ...]:
    """Return the lengths of halts that tell something, the shortest first: those of the pit card's table."""
    names = check_kinds()["halt"].outcomes[1:]
    return tuple(
        HaltLength(outcome=name, from_s=float(row["from_s"]), to_s=number(row, "to_s"))
        for name, row in zip(names, table("halt"), strict=True)
    )


def halt_of(seconds: float) -> str:
    """Return the outcome of a halt that lasted so long [s]; a whole minute is not longer yet."""
    *_, last = halt_lengths()
    if seconds == last.from_s:
        return halt_lengths()[-2].outcome
    return next(one.outcome for one in reversed(halt_lengths()) if seconds >= one.from_s)


@lru_cache(maxsize=1)
def fixes() -> dict[str, Fix]:
    """Return how each kind of fault is mended; "software" is for no fault of the wiring."""
    return {
        row["kind"]: Fix(seconds=float(row["seconds"]), what=row["what"], words=row["words"], again=row["again"])
        for row in table("hunt_fix")
    }


@lru_cache(maxsize=1)
def raises() -> dict[str, tuple[float, str]]:
    """Return by how much what was recorded raises the odds of a fault, with the words for it."""
    return {row["reason"]: (float(row["factor"]), row["words"]) for row in table("hunt_raise")}


@lru_cache(maxsize=1)
def work_states() -> dict[str, tuple[str, float]]:
    """Return what each state of work asks for, and how long it takes to get there [s]."""
    return {row["state"]: (row["asks"], float(row["from_any_s"])) for row in table("hunt_state")}


@lru_cache(maxsize=1)
def _numbers() -> dict[str, float]:
    return {row["name"]: float(row["amount"]) for row in table("hunt_practice")}


@lru_cache(maxsize=1)
def _rates() -> dict[tuple[str, str], float]:
    return {(row["kind"], row["of"]): float(row["per_match"]) for row in table("hunt_rate")}
