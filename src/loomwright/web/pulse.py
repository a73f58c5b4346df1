"""How far the bench is, as one small fact that streams wait for: another arrival, another plan, the end."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from loomwright.jobs.bench import BenchView


@dataclass(frozen=True, slots=True)
class Beat:
    """What a screen has to know to see that it is old; `trouble` says why nothing can be kept just now."""

    arrival: int = 0
    revision: str = ""
    stale: bool = False
    trouble: str = ""

    @classmethod
    def of(cls, view: BenchView) -> Beat:
        """Return the beat of a view."""
        return cls(view.arrival, view.plan.revision, view.stale)


class Pulse:
    """Tells everybody who waits that the beat has changed. All of it runs in the server's own loop."""

    def __init__(self, beat: Beat) -> None:
        """Begin with a beat."""
        self.beat = beat
        self.stopped = False
        self._news = asyncio.Event()

    def tell(self, beat: Beat) -> None:
        """Take over a beat, and wake everybody where it is another one."""
        if beat != self.beat:
            self.beat = beat
            self._wake()

    def stop(self) -> None:
        """Send everybody home."""
        self.stopped = True
        self._wake()

    async def after(self, seen: Beat) -> None:
        """Wait for another beat than the one that was seen, or until it is time to go."""
        while self.beat == seen and not self.stopped:
            await self._news.wait()

    def _wake(self) -> None:
        self._news.set()
        self._news = asyncio.Event()
