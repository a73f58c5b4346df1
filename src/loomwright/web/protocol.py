"""The web server's own handling of connections, with the two things it lacks: patience has an end, and so has a crowd.

The server waits for ever for the head of a request, and takes as many connections as come. So whoever is in the same
network could hold all of it by sending nothing, slowly.
"""

from __future__ import annotations

import asyncio
from ipaddress import ip_address
from typing import Final

from uvicorn.protocols.http.h11_impl import H11Protocol, RequestResponseCycle

#: A head has to be here so long after its connection was opened, or after its first byte on one that is open [s].
HEAD_WITHIN_S: Final = 10.0
#: So many connections may one other machine hold.
MOST_EACH: Final = 40


class PatientProtocol(H11Protocol):
    """A connection that is closed where its next request does not come, and refused where too many are open."""

    _late: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]  # as its parent has it
        """Take a connection, unless its machine holds too many."""
        super().connection_made(transport)
        if self._crowds():
            transport.abort()
        else:
            self._await_head()

    def data_received(self, data: bytes) -> None:
        """Take in bytes, and see whether they end the waiting."""
        super().data_received(data)
        if self._between_requests():
            self._await_head()
        else:
            self._head_is_here()

    def connection_lost(self, exc: Exception | None) -> None:
        """Wait no more."""
        self._head_is_here()
        super().connection_lost(exc)

    def _between_requests(self) -> bool:
        cycle: RequestResponseCycle | None = self.cycle
        return cycle is None or cycle.response_complete

    def _await_head(self) -> None:
        if self._late is None and not self.transport.is_closing():
            self._late = self.loop.call_later(HEAD_WITHIN_S, self.transport.close)

    def _head_is_here(self) -> None:
        if self._late is not None:
            self._late.cancel()
            self._late = None

    def _crowds(self) -> bool:
        if self.client is None or ip_address(self.client[0]).is_loopback:
            return False
        clients = [other.client for other in self.connections if isinstance(other, H11Protocol)]
        return sum(client is not None and client[0] == self.client[0] for client in clients) > MOST_EACH
