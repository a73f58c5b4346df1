"""What a match study found for each branch: the currents that its wires really see."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Duty:
    """Currents of one circuit in its study [A].

    `peak_a` is the most over 20 ms. `worst_a`, `match_a` and `row_a` are root mean squares: over the worst 10 s, over
    the worst match, and over such matches in a row with a gap between them. `heat_a` would for ever heat its wire as
    much as the worst match did.
    """

    peak_a: float
    worst_a: float
    match_a: float
    row_a: float
    heat_a: float

    @property
    def sustained_a(self) -> float:
        """What heats a wire for long [A]: of a thick one the whole match, of a thin one its hottest moment."""
        return max(self.match_a, self.heat_a)
