"""What the tool remembers of its last plan, so that the next one changes as little as it can."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

#: The newest form of the plan file that this program writes and reads.
PLAN_FORMAT = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Memory:
    """The last plan's decisions that bind the next one; the defaults are those of a robot never planned.

    `wires` gives each wire's id by circuit and role. `next_wire` is the first number that no wire of this
    robot ever had. `slots` gives each circuit's slot, and `sources` the device that this slot is on.
    """

    format: int = PLAN_FORMAT
    robot: str = ""
    build: str = ""
    revision: str = ""
    inputs: str = ""
    next_wire: int = 1
    wires: Mapping[tuple[str, str], str] = field(default_factory=dict)
    slots: Mapping[str, str] = field(default_factory=dict)
    sources: Mapping[str, str] = field(default_factory=dict)

    def slot_on(self, source: str, circuit: str) -> str:
        """Return the slot that this circuit had on this device, "" where it had none there."""
        return self.slots.get(circuit, "") if self.sources.get(circuit) == source else ""
