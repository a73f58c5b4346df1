"""The two clocks of the bench: the time of day for what is written down, and one that only runs on for waiting."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime


@dataclass(frozen=True, slots=True)
class Clock:
    """`utc` gives the time of day; `running_s` seconds from some moment on [s], whatever somebody sets the day to."""

    utc: Callable[[], datetime]
    running_s: Callable[[], float]

    def stamp(self) -> str:
        """Return the time of day as records tell it: 2026-02-07T09:30:00.123Z."""
        moment = self.utc().astimezone(UTC)
        return f"{moment:%Y-%m-%dT%H:%M:%S}.{moment.microsecond // 1000:03d}Z"


def laptop_clock() -> Clock:
    """Return the clocks of this machine."""
    return Clock(
        lambda: datetime.now(UTC),  # noqa: TID251  a record tells when it was received
        time.monotonic,  # noqa: TID251  sessions and tries run out
    )
