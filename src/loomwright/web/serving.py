"""Serve a bench until somebody stops it: find a port, say where it is, end at once and leave nothing half."""

from __future__ import annotations

import asyncio
import contextlib
import signal
import socket
import sys
import threading
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Final

import uvicorn

from loomwright.findings import Finding, Place, Severity, UnreadableInputError
from loomwright.web.address import LONELY_S
from loomwright.web.app import app_of
from loomwright.web.desk import Desk
from loomwright.web.protocol import PatientProtocol
from loomwright.web.settings import EVERYWHERE, LAPTOP, USUAL_PORT

if TYPE_CHECKING:
    from types import FrameType

    from starlette.types import ASGIApp

#: A head of a request has at most so many bytes.
_HEAD_BYTES: Final = 16_384
#: So long may answers take that are on their way when the bench is stopped [s].
_GRACE_S: Final = 1
_BACKLOG: Final = 128


def open_port(port: int | None, *, share: bool) -> socket.socket:
    """Return a socket that listens: on the port that was named, else on the usual one, else on any that is free.

    Raises
    ------
    UnreadableInputError
        Where the port that was named is taken or may not be used.
    """
    host = EVERYWHERE if share else LAPTOP
    if port is None:
        with contextlib.suppress(OSError):
            return _listening(host, USUAL_PORT)
    try:
        return _listening(host, port or 0)
    except OSError as error:
        what = f"Port {port or 'of any number'} can't be used: {error.strerror or error}."
        fix = "Name another with --port, or leave --port out and take what is free."
        fault = Finding("port-taken", Severity.MUST, Place(thing="--port"), what, fix)
        raise UnreadableInputError([fault]) from error


class Server(uvicorn.Server):
    """The web server of one run; Ctrl-C ends it as any other way does."""

    def __init__(self, desk: Desk, *, ready: Callable[[], None], lonely: Callable[[], None]) -> None:
        """Serve a desk: `ready` is called when it answers, `lonely` when no phone has come for a while."""
        super().__init__(_config(app_of(desk)))
        self._desk = desk
        self._ready = ready
        self._lonely = lonely
        self._waiting: asyncio.TimerHandle | None = None

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to answer, and say so."""
        await super().startup(sockets)
        if self._desk.settings.phone_url:
            self._waiting = asyncio.get_running_loop().call_later(LONELY_S, self.ask_for_visitors)
        self._ready()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Send the streams home first: nothing else waits for ever."""
        self._desk.pulse.stop()
        if self._waiting is not None:
            self._waiting.cancel()
        await super().shutdown(sockets)

    def ask_for_visitors(self) -> None:
        """Say so where nobody has come."""
        if not self._desk.visitors.count:
            self._lonely()

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Stop at Ctrl-C, and do not pass it on: it is how a bench is meant to end."""
        if threading.current_thread() is not threading.main_thread():
            yield
            return
        held = {one: signal.signal(one, self._stop) for one in (signal.SIGINT, signal.SIGTERM)}
        try:
            yield
        finally:
            for one, handler in held.items():
                signal.signal(one, handler)

    def _stop(self, number: int, frame: FrameType | None) -> None:
        self.handle_exit(number, frame)


def serve(
    desk: Desk, listening: socket.socket, *, ready: Callable[[], None], lonely: Callable[[], None] = lambda: None
) -> None:
    """Serve until Ctrl-C; what was answered is on the disk."""
    with contextlib.closing(listening):
        Server(desk, ready=ready, lonely=lonely).run([listening])


def _config(app: ASGIApp) -> uvicorn.Config:
    return uvicorn.Config(
        app,
        http=PatientProtocol,
        ws="none",
        loop="asyncio",
        lifespan="on",
        log_config=None,
        access_log=False,
        proxy_headers=False,  # whoever says to come from the laptop must come from it
        server_header=False,
        h11_max_incomplete_event_size=_HEAD_BYTES,
        timeout_graceful_shutdown=_GRACE_S,
        backlog=_BACKLOG,
    )


def _listening(host: str, port: int) -> socket.socket:
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if sys.platform != "win32":
            # A bench that was just stopped can start again at once. (Elsewhere this would share the port.)
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind((host, port))
        made.listen(_BACKLOG)
    except OSError:
        made.close()
        raise
    return made
