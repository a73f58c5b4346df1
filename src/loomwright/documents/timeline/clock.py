"""Minutes of a day as people read them off a clock."""

from __future__ import annotations

from typing import Final

from loomwright.rack.day.result import Stint, Use

DAY_MIN: Final = 1440


def clock(at_min: int, *, beside_min: int | None = None) -> str:
    """Write a minute as `9:05`, as `day 2 9:05` where that is another day than that of the minute beside it."""
    day, minute = divmod(at_min, DAY_MIN)
    told = f"{minute // 60}:{minute % 60:02}"
    return told if beside_min is None or beside_min // DAY_MIN == day else f"day {day + 1} {told}"


def percent(share: float) -> str:
    """Write a share in whole percent, rounded down: no battery is told fuller than it is."""
    return f"{int(share * 100 + 1e-6)} %"


def amps(stint: Stint) -> str:
    """Write the current of a charge: `6 A`."""
    return f"{stint.amps:g} A"


def trouble(use: Use) -> str:
    """Say what is wrong with a use, "" where nothing is."""
    late = f"{use.late_min} min late" if use.late_min else ""
    return ", ".join(word for word in (late, "charge too low" if use.short > 0 else "") if word)
