"""Where a circuit stands."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Choice:
    """Where a circuit stands: device and slot, the protection there [A] (None: the output's own limit).

    `how` is "pinned", "only" or "chosen", `why` the reason of a choice in words; `open_because` says why nothing was
    chosen, and then device and slot are empty.
    """

    device: str = ""
    slot: str = ""
    protection_a: float | None = None
    how: str = ""
    group: str = ""
    why: str = ""
    open_because: str = ""
