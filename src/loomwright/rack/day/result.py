"""A planned day of the rack: which battery for which match, which charger when, and how good that is proved to be."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.findings import Finding
from loomwright.search import Certificate

_FULL = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """A battery in a match: its charge as the match begins (0 to 1), and that charge times its health.

    It is ready for the robot at `ready_min`, due there at `due_min`, and out again at `out_min`. `short` is how much
    of its capacity it lacks to the least charge (0: nothing), `late_min` by how much it is ready after it is due.
    `stays` says that it is already in the robot, from the match before.
    """

    match: str
    battery: str
    charge: float
    worth: float
    ready_min: int
    due_min: int
    out_min: int
    short: float = 0.0
    late_min: int = 0
    stays: bool = False
    may: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Stint:
    """A battery on a charger, from and to a minute, at a current [A], with its charge before and after (0 to 1).

    `match` is the one that it is charged for; `fast` says that it has to cool before that.
    """

    charger: str
    battery: str
    from_min: int
    to_min: int
    amps: float
    fast: bool
    charge_from: float
    charge_to: float
    match: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """What days are compared by, in this order; whole numbers, so that everybody counts the same.

    `late_min` and `short_mah` add up over the matches what is late and what lacks to the least charge; less is better.
    `swaps` counts the matches that have another battery than in the plan before (0 where there was none). `worst` is
    the worst match's charge times health [thousandths, rounded down to the
    practice's step]; more is better. `spare_min` is the least time
    between ready and due over all matches, up to the practice's `spare_enough_min`; a battery that stays in the robot
    can't be late. `fast_min` adds up the minutes on a fast charge.
    """

    late_min: int
    short_mah: int
    swaps: int
    worst: int
    spare_min: int
    fast_min: int

    @property
    def key(self) -> tuple[int, int, int, int, int, int]:
        """The numbers in the order that counts, smaller is better."""
        return (self.late_min, self.short_mah, self.swaps, -self.worst, -self.spare_min, self.fast_min)

    def lost(self, spare_enough_min: int) -> dict[str, int]:
        """Return what is lost, in the order of weight: `worst` below new and full, `spare` below enough."""
        return {
            "late": self.late_min,
            "short": self.short_mah,
            "swaps": self.swaps,
            "worst": _FULL - self.worst,
            "spare": spare_enough_min - self.spare_min,
            "gentle": self.fast_min,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleResult:
    """What a plain rule makes of the same day, played in the same simulator."""

    rule: str
    score: Score


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """How good each number of the score is proved to be, in their order of weight.

    Each counts what is lost: minutes late and mAh short, batteries swapped, thousandths below a new and full battery,
    minutes of spare time below enough, minutes of fast charge. A number is proved only where those before it are:
    `breaks` counts those before it that are not.
    """

    late: Certificate
    short: Certificate
    swaps: Certificate
    worst: Certificate
    spare: Certificate
    gentle: Certificate

    @property
    def levels(self) -> tuple[Certificate, ...]:
        """The certificates in their order of weight."""
        return (self.late, self.short, self.swaps, self.worst, self.spare, self.gentle)

    @property
    def proved(self) -> bool:
        """Whether no day is better in any of them."""
        return all(level.proved for level in self.levels)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPlan:
    """The day: uses in the order of the matches, stints in the order of their start, and what the rules would do.

    `findings` tell every match whose battery falls short or is late, and what to do.
    """

    uses: tuple[Use, ...]
    stints: tuple[Stint, ...]
    score: Score
    proof: Proof
    rules: tuple[RuleResult, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def worst(self) -> float:
        """The worst match's charge times health (0 to 1)."""
        return min(use.worth for use in self.uses)

    @property
    def spare_min(self) -> int:
        """The least time between ready and due over all matches [min], up to what is enough."""
        return self.score.spare_min

    @property
    def holds(self) -> bool:
        """Whether every match has a battery in time with at least the least charge."""
        return self.score.late_min == 0 and self.score.short_mah == 0

    @property
    def gentle_share(self) -> float:
        """The share of the minutes on a charger that is gentle (1 where nothing is charged)."""
        minutes = sum(stint.to_min - stint.from_min for stint in self.stints)
        fast = sum(stint.to_min - stint.from_min for stint in self.stints if stint.fast)
        return 1.0 - fast / minutes if minutes else 1.0
