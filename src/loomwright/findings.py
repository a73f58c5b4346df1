"""One form for everything the tool has to say: a place, what is so, and how to fix it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding asks for: `must` be fixed, `should` be looked at, `consider` it."""

    MUST = "must"
    SHOULD = "should"
    CONSIDER = "consider"

    @property
    def rank(self) -> int:
        """Position in a list sorted by weight; the gravest is 0."""
        return list(Severity).index(self)


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where something was said: a file with line and column (both from 1), and the thing spoken of.

    `thing` is a path in the words of the robot file ("mechanisms.lift.motors.lift motor.limit").
    A place without a file is a thing that follows from the parts and stands in no file.
    """

    file: str = ""
    line: int = 0
    column: int = 0
    thing: str = ""

    def __str__(self) -> str:
        """Write `robot.yaml:41:7  thing`, leaving out what is not known."""
        spot = ":".join(str(n) for n in (self.file, self.line, self.column) if n)
        return "  ".join(part for part in (spot, self.thing) if part)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to tell a person.

    `code` is a stable kebab-case word; `what` and `fix` are plain sentences. `source` is a key of
    docs/sources.toml or a rule id of the rule book, empty where the statement is plain logic. `asks` marks a
    question: something that only people can answer.
    `rests_on` names assumptions under the verdict ("the breaker's curve is assumed").
    """

    code: str
    severity: Severity
    place: Place
    what: str
    fix: str
    source: str = ""
    rests_on: tuple[str, ...] = field(default=())
    asks: bool = False

    def as_text(self) -> str:
        """Write the three-line form that consoles and tests read."""
        lines = [f"{self.place}  [{self.code}] {self.severity}", f"  {self.what}"]
        lines += [f"  This rests on: {assumption}." for assumption in self.rests_on]
        lines.append(f"  Fix: {self.fix}")
        return "\n".join(lines)

    def as_dict(self) -> dict[str, object]:
        """Give the JSON form; the keys are part of the documented output."""
        return {
            "code": self.code,
            "severity": str(self.severity),
            "file": self.place.file,
            "line": self.place.line,
            "column": self.place.column,
            "thing": self.place.thing,
            "what": self.what,
            "fix": self.fix,
            "source": self.source,
            "rests_on": list(self.rests_on),
            "asks": self.asks,
        }


class UnreadableInputError(Exception):
    """Input that can't be understood; carries every fault that was found, never only the first."""

    def __init__(self, faults: Iterable[Finding]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(fault.as_text() for fault in self.faults))


def by_weight(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sort findings by severity, then place, then code; equal findings are told once."""
    return tuple(
        sorted(
            dict.fromkeys(findings),
            key=lambda f: (f.severity.rank, f.place.file, f.place.line, f.place.column, f.place.thing, f.code, f.what),
        )
    )


def must_fix(findings: Iterable[Finding]) -> bool:
    """Tell whether anything here must be fixed (exit code 1)."""
    return any(f.severity is Severity.MUST for f in findings)
