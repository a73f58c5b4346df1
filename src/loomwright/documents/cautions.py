"""The cautions on every paper that asks for hands on wires; common practice, told the same way everywhere."""

from __future__ import annotations

from typing import Final

CAUTIONS: Final[tuple[str, ...]] = (
    "Before any work: unplug the battery and switch the main breaker off. Look that it is so; this sheet can't know.",
    "Let stored air out. Lower or block everything that is raised.",
    "Before power: wheels off the floor, hands clear, everybody told.",
    "The pull forces here break the joint: use them on samples made for the purpose, never on the robot.",
    "The season's rule book, local codes and licensed practice come before this sheet. If they disagree, stop and ask.",
)
