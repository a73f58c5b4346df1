"""Mechanisms that people treat as one: the sides of a drive."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from loomwright.match.machine import Machine

DRIVE: Final = "drive"


def teams_of(machine: Machine) -> dict[str, tuple[str, ...]]:
    """Return the mechanisms that are treated alike, by what they are called: the sides of a drive are one drive."""
    drives = tuple(one.name for one in machine.mechanisms if one.kind == DRIVE)
    apart = [one.name for one in machine.mechanisms if one.kind != DRIVE or len(drives) == 1]
    alone: dict[str, tuple[str, ...]] = {name: (name,) for name in apart}
    return {DRIVE: drives, **alone} if len(drives) > 1 else alone


def team_of(machine: Machine) -> dict[str, str]:
    """Return the team of each mechanism, by its name."""
    return {name: team for team, names in teams_of(machine).items() for name in names}
