"""What a stream says: where the bench is, at once and whenever that changes, and now and then that it is still there.

A stream carries no data of its own, only how far the bench is. So one that comes back after sleep or from another Wi-Fi
resumes with its first message, whatever it missed: the screen compares, and fetches what it lacks. Where nothing
changes, the same is said again now and then: a comment would not reach the screen, which has to know that it is heard.
"""

from __future__ import annotations

import asyncio
import json
from collections import Counter
from collections.abc import AsyncIterator
from contextlib import suppress
from typing import TYPE_CHECKING, Final

from loomwright.web.refusal import Refusal, RefusedError

if TYPE_CHECKING:
    from loomwright.web.pulse import Beat, Pulse
    from loomwright.web.session import Seat, Sessions
    from loomwright.web.settings import Limits

#: How long a browser waits before it comes back [ms].
_RETRY_MS: Final = 2000
GOODBYE: Final = "event: stopping\ndata: {}\n\n"


class Streams:
    """Hands out streams, as many as may be open at once."""

    def __init__(self, pulse: Pulse, sessions: Sessions, limits: Limits) -> None:
        """Begin with none open."""
        self._pulse = pulse
        self._sessions = sessions
        self._limits = limits
        self._open: Counter[str] = Counter()

    def lines(self, seat: Seat) -> AsyncIterator[str]:
        """Return the messages of a new stream: until the bench stops, or until its reader's session is over.

        Raises
        ------
        RefusedError
            Where too many are open, here or in this session.
        """
        own, all_open = self._open[seat.nonce], self._open.total()
        if all_open >= self._limits.streams or own >= self._limits.streams_each:
            what = f"{all_open} screens listen already, {own} of them of yours."
            fix = "Close those that nobody looks at. This screen works without: it shows what is new when you load it."
            raise RefusedError(Refusal(503, "too-many-streams", what, fix, (("Retry-After", "60"),)))
        return self._lines(seat)

    async def _lines(self, seat: Seat) -> AsyncIterator[str]:
        self._open[seat.nonce] += 1
        try:
            yield f"retry: {_RETRY_MS}\n\n"
            async for line in self._until_over(seat):
                yield line
            if self._pulse.stopped:
                yield GOODBYE
        finally:
            self._open[seat.nonce] -= 1

    async def _until_over(self, seat: Seat) -> AsyncIterator[str]:
        beat = self._pulse.beat
        while not self._pulse.stopped and self._sessions.counts(seat):
            yield message(beat)
            with suppress(TimeoutError):
                async with asyncio.timeout(self._limits.heartbeat_s):
                    await self._pulse.after(beat)
            beat = self._pulse.beat


def message(beat: Beat) -> str:
    """Return one beat as an event of a stream (source: whatwg-sse-memory)."""
    data: dict[str, object] = {"arrival": beat.arrival, "revision": beat.revision, "stale": beat.stale}
    if beat.trouble:
        data["trouble"] = beat.trouble
    return f"id: {beat.arrival}\nevent: arrival\ndata: {json.dumps(data)}\n\n"
