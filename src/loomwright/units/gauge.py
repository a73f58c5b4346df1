"""American wire gauge as a value: a number with its own arithmetic and its own spelling."""

from __future__ import annotations

import re
from dataclasses import dataclass

_WRITTEN = re.compile(r"(?:#|no\.?\s*)?(?P<size>\d{1,2}|[1-4]/0|0{2,4})(?:\s*(?:awg|ga|gauge))?", re.IGNORECASE)
_THICKEST, _THINNEST = -3, 40


@dataclass(frozen=True, slots=True)
class Gauge:
    """A wire size by AWG number: 12 is 12 AWG, 0 is 1/0, -1 is 2/0, -3 is 4/0.

    There are no comparison operators on purpose: "larger" would mean the number to one reader and
    the copper to the next. Say `a.thinner_than(b)`.
    """

    number: int

    def __post_init__(self) -> None:
        """Refuse numbers outside 4/0 to 40 AWG."""
        if not _THICKEST <= self.number <= _THINNEST:
            raise ValueError(f"there is no {self.number} AWG; sizes run from 4/0 to {_THINNEST} AWG")

    @classmethod
    def parse(cls, text: str) -> Gauge:
        """Read "12 AWG", "12", "1/0 AWG" or "0000"; raise ValueError for anything else."""
        found = _WRITTEN.fullmatch(text.strip())
        if found is None:
            raise ValueError(f"{text!r} is not a wire gauge")
        size = found["size"]
        if size.endswith("/0"):
            return cls(1 - int(size[0]))
        if set(size) == {"0"}:
            return cls(1 - len(size))
        return cls(int(size))

    @property
    def label(self) -> str:
        """The size alone: "12", "1/0"."""
        return str(self.number) if self.number > 0 else f"{1 - self.number}/0"

    def __str__(self) -> str:
        """Write "12 AWG", "1/0 AWG"."""
        return f"{self.label} AWG"

    def thinner_than(self, other: Gauge) -> bool:
        """Tell whether this wire has less copper than the other."""
        return self.number > other.number


def thickest(gauges: list[Gauge]) -> Gauge:
    """Return the gauge with the most copper; raise ValueError on an empty list."""
    return min(gauges, key=lambda g: g.number)
