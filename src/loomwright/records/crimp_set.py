"""Sample crimps that were pulled: one set as it was declared, and what the sets of one way of crimping come to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from loomwright.records.crimp_forces import differ

if TYPE_CHECKING:
    from collections.abc import Sequence

#: No crimp on a robot stands more [N] (source: own-choice).
_MOST_N: Final = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleSet:
    """A set of sample crimps made alike: the same tool, terminal and gauge.

    `planned` is its size, declared before the first pull. `forces_n` are the forces [N] at which crimps gave; `held`
    and `failed` count the pulls that only tell whether the crimp stood `required_n` [N]. `blunders` came off by hand
    or had strands out; they have no force and are counted nowhere else. `adjusted_before` says that, after the set
    before this one, the tool or the way of working was changed, and that the change was recorded.

    Raises
    ------
    ValueError
        For a size under 1, a count under 0, or a force that is no number from 0 to 1 000 000 N.
    """

    planned: int
    forces_n: tuple[float, ...] = ()
    held: int = 0
    failed: int = 0
    blunders: int = 0
    required_n: float | None = None
    adjusted_before: bool = False

    def __post_init__(self) -> None:
        """Refuse what no set can be."""
        if self.planned < 1:
            raise ValueError(f"a set of {self.planned} crimps is none; declare 1 or more")
        if min(self.held, self.failed, self.blunders) < 0:
            raise ValueError("a set can't have fewer than 0 pulls of a kind; count them again")
        forces_n = (*self.forces_n, *(() if self.required_n is None else (self.required_n,)))
        if wrong := [force_n for force_n in forces_n if not 0 <= force_n <= _MOST_N]:
            raise ValueError(f"{wrong[0]:g} N is no force of a crimp; write 0 to {_MOST_N:.0f}")

    @property
    def pulled(self) -> int:
        """How many were pulled, in whatever way they ended."""
        return len(self.forces_n) + self.held + self.failed + self.blunders

    @property
    def left(self) -> int:
        """How many may still be pulled: a pull beyond the declared size is to be refused."""
        return self.planned - self.pulled


@dataclass(frozen=True, slots=True, kw_only=True)
class Pool:
    """What some sets come to together, judged by the force that the newest of them asks for.

    `mute` counts pulls without a force that say nothing about `required_n`: no force was asked for, or they held one
    that is smaller. `mixed` says that a set has forces for some of its pulls only: nobody knows which were left out.
    """

    forces_n: tuple[float, ...]
    held: int
    failed: int
    blunders: int
    mute: int
    mixed: bool
    required_n: float | None

    @property
    def by_force(self) -> bool:
        """Whether the forces can be judged as forces: two or more that differ, and nothing failed without one.

        Sets of pulls that only held may lie beside them: they can't make the forces look better than they are.
        """
        return differ(self.forces_n) and not self.mixed and not self.failed

    @property
    def pulls(self) -> int:
        """How many pulls say something."""
        return len(self.forces_n) + self.held + self.failed + self.blunders

    @property
    def bad(self) -> int:
        """How many did not stand the required force, blunders included."""
        weak = sum(1 for force_n in self.forces_n if force_n < (self.required_n or 0))
        return weak + self.failed + self.blunders


def pooled(sets: Sequence[SampleSet]) -> Pool:
    """Return what some sets, at least one, come to together; a set that is not full counts with what it has."""
    required_n = sets[-1].required_n
    heard = [one for one in sets if required_n is not None and one.required_n is not None]
    held = sum(one.held for one in heard if (one.required_n or 0) >= (required_n or 0))
    failed = sum(one.failed for one in heard)
    return Pool(
        forces_n=tuple(force_n for one in sets for force_n in one.forces_n),
        held=held,
        failed=failed,
        blunders=sum(one.blunders for one in sets),
        mute=sum(one.held + one.failed for one in sets) - held - failed,
        mixed=any(one.forces_n and one.held + one.failed for one in sets),
        required_n=required_n,
    )
