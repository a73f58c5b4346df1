"""Serving for real: over sockets, with streams open, until it is told to stop; and connections that ask nothing."""

from __future__ import annotations

import http.client
import json
import logging
import socket
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any
from unittest.mock import MagicMock

import pytest
from starlette.types import Receive, Scope, Send
from uvicorn.config import Config
from uvicorn.server import ServerState

from loomwright.findings import UnreadableInputError
from loomwright.web.desk import Desk
from loomwright.web.protocol import HEAD_WITHIN_S, MOST_EACH, PatientProtocol
from loomwright.web.serving import Server, open_port
from loomwright.web.settings import USUAL_PORT
from tests.web.people import ALONE, SHARED, Hands, bench_in, event

LARGE = (
    b"POST /api/v1/events HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\nX-Bench: 1\r\nContent-Type: application/json\r\n"
    b"Content-Length: 600000\r\n\r\n"
)
UPGRADE = (
    b"GET /api/v1/stream HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\nUpgrade: websocket\r\nConnection: upgrade\r\n"
    b"Sec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\nSec-WebSocket-Version: 13\r\nOrigin: http://evil.example\r\n\r\n"
)


@dataclass(slots=True)
class Running:
    """A server in a thread of its own."""

    server: Server
    thread: threading.Thread
    port: int
    desk: Desk
    lines: list[http.client.HTTPConnection | http.client.HTTPResponse] = field(default_factory=list)

    def ask(self, method: str, path: str, data: object = None) -> http.client.HTTPResponse:
        """Ask over a connection of its own, which stays open for a stream."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
        fields = {"Content-Type": "application/json", "X-Bench": "1"} if data is not None else {}
        connection.request(method, path, json.dumps(data) if data is not None else None, fields)
        answer = connection.getresponse()
        self.lines += [answer, connection]
        return answer

    def stop(self) -> None:
        """Tell it to stop, as Ctrl-C does, and wait until it has."""
        self.server.should_exit = True
        self.thread.join(20)
        assert not self.thread.is_alive()


@pytest.fixture
def running(tmp_path: Path) -> Iterator[Running]:
    """Serve an empty bench on a free port."""
    listening = _free()
    port = listening.getsockname()[1]
    desk = Desk.of(bench_in(tmp_path), replace(ALONE, port=port), Hands().clock)
    answers = threading.Event()
    server = Server(desk, ready=answers.set, lonely=lambda: None)
    thread = threading.Thread(target=server.run, args=([listening],))
    thread.start()
    assert answers.wait(20)
    held = Running(server, thread, port, desk)
    yield held
    held.stop()
    for line in held.lines:
        line.close()
    listening.close()
    desk.bench.store.close()


def _free() -> socket.socket:
    return socket.create_server(("127.0.0.1", 0))


def test_it_stops_at_once_with_streams_open(running: Running, caplog: pytest.LogCaptureFixture) -> None:
    """Every stream gets its goodbye and a whole end, and nothing had to be cut off when the grace was over."""
    streams = [running.ask("GET", "/api/v1/stream") for _ in range(5)]
    for stream in streams:
        assert stream.status == 200
        assert stream.readline() == b"retry: 2000\n"
    with caplog.at_level(logging.INFO, "uvicorn.error"):
        running.stop()
    for stream in streams:
        assert stream.read().endswith(b"event: stopping\ndata: {}\n\n")
    told = [record.getMessage() for record in caplog.records]
    assert "Shutting down" in told
    assert not [line for line in told if "exceeded" in line]


def test_what_one_signs_another_hears(running: Running) -> None:
    """Over real connections: a stream that waits gets the arrival when somebody else has signed."""
    stream = running.ask("GET", "/api/v1/stream")
    while b"id: 0" not in stream.readline():
        pass
    assert running.ask("POST", "/api/v1/events", {"events": [event(1)]}).status == 200
    while (line := stream.readline()) != b"id: 1\n":
        assert line


def test_the_server_says_nothing_about_itself(running: Running) -> None:
    """No name and no version, on a page and on what it can't even read."""
    assert running.ask("GET", "/ends").getheader("server") is None
    with socket.create_connection(("127.0.0.1", running.port), timeout=20) as raw:
        raw.sendall(b"NONSENSE\r\n\r\n")
        assert b"server:" not in raw.recv(4096).lower()


ODD = {
    b"GET /ends HTTP/1.0\r\n\r\n": b"421",
    b"GET /ends HTTP/1.1\r\nHost: evil.example\r\n\r\n": b"421",
    b"GET http://evil.example/ends HTTP/1.1\r\nHost: evil.example\r\n\r\n": b"421",
    b"GET http://evil.example/ends HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\n\r\n": b"404",
    b"GET /ends HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\nHost: 127.0.0.1:PORT\r\n\r\n": b"400",
    b"GET /static/../../../../etc/passwd HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\n\r\n": b"404",
    b"GET /ends HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\nX: " + b"y" * 70_000: b"400",
    LARGE: b"413",
    UPGRADE: b"403",
}


def test_odd_requests_are_answered_over_the_wire(running: Running) -> None:
    """Byte for byte as somebody hostile would send them: old, proxied, doubled, climbing, endless, upgrading."""
    for head, status in ODD.items():
        with socket.create_connection(("127.0.0.1", running.port), timeout=20) as raw:
            raw.sendall(head.replace(b"PORT", str(running.port).encode()))
            assert raw.recv(4096).split(b" ", 2)[1] == status, head[:120]


def test_the_server_takes_nobodys_word_for_where_a_request_comes_from(running: Running) -> None:
    """A header that a proxy would add changes nothing: the laptop stays the laptop."""
    with socket.create_connection(("127.0.0.1", running.port), timeout=20) as raw:
        head = f"GET /ends HTTP/1.1\r\nHost: 127.0.0.1:{running.port}\r\nX-Forwarded-For: 203.0.113.9\r\n\r\n"
        raw.sendall(head.encode())
        assert raw.recv(4096).split(b" ", 2)[1] == b"200"


def test_a_port_that_was_named_and_is_taken_is_a_fault_that_says_so() -> None:
    """Without a name for it the next free one is taken."""
    with _free() as taken:
        port = taken.getsockname()[1]
        with pytest.raises(UnreadableInputError) as caught:
            open_port(port, share=False)
    [fault] = caught.value.faults
    assert (fault.code, str(port) in fault.what, "--port" in fault.fix) == ("port-taken", True, True)


def test_without_a_port_the_usual_one_or_any_free_one_is_taken() -> None:
    """Two benches on one laptop are served side by side, each for this laptop alone."""
    with open_port(None, share=False) as one, open_port(None, share=False) as other:
        assert one.getsockname()[0] == other.getsockname()[0] == "127.0.0.1"
        assert one.getsockname()[1] != other.getsockname()[1]
        assert other.getsockname()[1] != USUAL_PORT
    with open_port(None, share=True) as shared:
        assert shared.getsockname()[0] == SHARED.host


def test_it_tells_when_no_phone_has_come_and_not_when_one_has(tmp_path: Path) -> None:
    """A request from another address, joined or not, shows that the network lets phones through."""
    told: list[str] = []
    desk = Desk.of(bench_in(tmp_path), SHARED, Hands().clock)
    server = Server(desk, ready=lambda: None, lonely=lambda: told.append("lonely"))
    server.ask_for_visitors()
    assert told == ["lonely"]
    desk.visitors._addresses.add("192.168.7.20")
    server.ask_for_visitors()
    assert told == ["lonely"]


# ------------------------------------------------------------------ connections that never ask anything


@dataclass(slots=True)
class Timer:
    """A timer that a test lets ring."""

    after_s: float
    call: Any
    over: bool = False

    def cancel(self) -> None:
        """Let it ring no more."""
        self.over = True


@dataclass(slots=True)
class Line:
    """One connection to a server whose clock stands still: what was written on it, and whether it is closed."""

    peer: str
    timers: list[Timer] = field(default_factory=list)
    closed: bool = False

    def get_extra_info(self, name: str) -> object:
        """Tell both ends."""
        return {"peername": (self.peer, 50_000), "sockname": ("192.168.7.2", 8340)}.get(name)

    def is_closing(self) -> bool:
        """Tell whether it is closed."""
        return self.closed

    def close(self) -> None:
        """Close it."""
        self.closed = True

    abort = close

    def pause_reading(self) -> None:
        """Take no more for now."""

    def write(self, _: bytes) -> None:
        """Take what is sent."""

    def call_later(self, after_s: float, call: Any, *_: object) -> Timer:  # noqa: ANN401  what a loop takes
        """Set a timer."""
        self.timers.append(Timer(after_s, call))
        return self.timers[-1]

    def create_task(self, running: Any, **_: object) -> MagicMock:  # noqa: ANN401  a coroutine
        """Do not run it; the request stays unanswered."""
        running.close()
        return MagicMock()

    def head_timer(self) -> Timer | None:
        """Return the timer for the head of a request that still runs; there is one at most."""
        running = [one for one in self.timers if one.after_s == HEAD_WITHIN_S and not one.over]
        assert len(running) <= 1
        return next(iter(running), None)


def connected(line: Line, state: ServerState) -> PatientProtocol:
    """Connect a line to a server."""

    async def nothing(scope: Scope, receive: Receive, send: Send) -> None:
        """Answer nothing."""

    config = Config(nothing, http=PatientProtocol, ws="none", log_config=None)
    made = PatientProtocol(config, state, {}, _loop=line)  # type: ignore[arg-type]  # as much of a loop as is asked for
    made.connection_made(line)  # type: ignore[arg-type]  # as much of a transport as is asked for
    return made


def test_a_connection_that_asks_nothing_is_closed() -> None:
    """After ten seconds, and no byte that dribbles in makes it longer."""
    line = Line("192.168.7.66")
    held = connected(line, ServerState())
    first = line.head_timer()
    for piece in (b"GET /ends", b" HTTP/1.1\r\n", b"Host: x\r\n"):
        held.data_received(piece)
        assert line.head_timer() is first
    assert first is not None
    first.call()
    assert line.closed


def test_a_request_that_came_whole_is_given_its_time() -> None:
    """Once the head is here nobody waits for it; the next one on the same line is waited for again."""
    line = Line("192.168.7.66")
    held = connected(line, ServerState())
    held.data_received(b"GET /ends HTTP/1.1\r\nHost: x\r\n\r\n")
    assert line.head_timer() is None
    held.cycle.response_complete = True
    held.data_received(b"G")
    assert line.head_timer() is not None
    held.connection_lost(None)
    assert line.head_timer() is None


def test_one_machine_holds_so_many_connections_and_no_more() -> None:
    """A neighbour that opens one after the other is cut off; others, and the laptop itself, are not."""
    state = ServerState()
    lines = [Line("192.168.7.66") for _ in range(MOST_EACH + 1)]
    for line in lines:
        connected(line, state)
    assert [line.closed for line in lines] == [False] * MOST_EACH + [True]
    other = Line("192.168.7.20")
    connected(other, state)
    assert not other.closed
    own = [Line("127.0.0.1") for _ in range(MOST_EACH + 5)]
    for line in own:
        connected(line, state)
    assert not any(line.closed for line in own)
