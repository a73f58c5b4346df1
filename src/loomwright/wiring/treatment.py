"""What is done to a wire's end: terminal, strip, tool, insulation, pull."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Treatment:
    """One kind of end for one gauge.

    `strip_m` is the length of insulation taken off [m]; `folded` means strip longer, fold back and
    twist. `pull_n` is the force a sample of this end must stand in a destructive test on the bench
    [N], by the standard of `pull_standard`, None where no standard has a value. `friction_only`
    marks an end that nothing locks. `hand_pull` tells whether a fitted end may get a firm pull by hand
    (never on a device's board or a battery post).
    """

    terminal: str
    strip_m: float | None
    strip_source: str
    folded: bool
    tool: str
    insulation: str
    good: str
    pull_standard: str
    pull_n: float | None
    friction_only: bool
    hand_pull: bool
    source: str
