"""The numbers and words that a hunt on a robot goes by: tables of practice, by name."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from loomwright.catalogue.tables import table


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckKind:
    """A kind of check: its state of work, its time [s], how often it is misread, its outcomes, and how to do it."""

    kind: str
    state: str
    seconds: float
    misread: float
    outcomes: tuple[str, ...]
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """A kind of fault in words, how it is mended, how long that takes [s], and what shows that it is mended."""

    seconds: float
    what: str
    words: str
    again: str


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
            how=row["how"],
        )
        for row in table("hunt_check")
    }


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
