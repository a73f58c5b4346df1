"""Send requests to an application by hand, byte for byte as somebody hostile would, with no client in between."""

from __future__ import annotations

import asyncio
import gzip
import json
from collections.abc import AsyncIterator, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Scope

Fields = Sequence[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Answer:
    """What came back."""

    status: int
    fields: tuple[tuple[str, str], ...]
    raw: bytes

    def field(self, name: str) -> str:
        """Return a header, "" where it is missing."""
        return ", ".join(value for key, value in self.fields if key == name.lower())

    @property
    def body(self) -> bytes:
        """The body as it was before it was compressed."""
        return gzip.decompress(self.raw) if self.field("content-encoding") == "gzip" else self.raw

    @property
    def text(self) -> str:
        """The body as text."""
        return self.body.decode()

    @property
    def data(self) -> Any:  # noqa: ANN401  whatever JSON says
        """The body as JSON."""
        return json.loads(self.body)

    @property
    def cookie(self) -> str:
        """The first pair of Set-Cookie: what a browser sends back."""
        return self.field("set-cookie").partition(";")[0]


def ask(
    app: ASGIApp,
    method: str,
    path: str,
    fields: Fields,
    *,
    body: Iterable[bytes] = (b"",),
    client: str = "127.0.0.1",
    server: str = "127.0.0.1",
) -> Answer:
    """Send one request and return the answer; the pieces of the body arrive one after the other."""

    async def pieces() -> AsyncIterator[bytes]:
        for piece in body:
            yield piece

    return asyncio.run(exchange(app, scope_of(method, path, fields, client=client, server=server), pieces()))


def scope_of(method: str, path: str, fields: Fields, *, client: str, server: str) -> Scope:
    """Return the head of a request as a server hands it on."""
    plain, _, query = path.partition("?")
    return {
        "type": "http",
        "asgi": {"version": "3.0", "spec_version": "2.3"},
        "http_version": "1.1",
        "method": method,
        "scheme": "http",
        "path": plain,
        "raw_path": plain.encode(),
        "query_string": query.encode(),
        "root_path": "",
        "headers": [(name.lower().encode("latin-1"), value.encode("latin-1")) for name, value in fields],
        "client": (client, 50_000),
        "server": (server, 8340),
        "state": {},
    }


async def exchange(app: ASGIApp, scope: Scope, pieces: AsyncIterator[bytes]) -> Answer:
    """Send a request whose body comes in pieces; once they are all sent, the line stays open."""
    told: list[Message] = []
    sent = False

    async def receive() -> Message:
        nonlocal sent
        if sent:
            await asyncio.Event().wait()
        try:
            piece = await anext(pieces)
        except StopAsyncIteration:
            sent = True
            return {"type": "http.request", "body": b"", "more_body": False}
        return {"type": "http.request", "body": piece, "more_body": True}

    async def send(message: Message) -> None:
        told.append(message)

    try:
        await app(scope, receive, send)
    except Exception:  # whatever the application raises
        if not told:
            raise  # else it was answered, as 500, and raised again for the server to log
    start = next(message for message in told if message["type"] == "http.response.start")
    fields = tuple((name.decode("latin-1").lower(), value.decode("latin-1")) for name, value in start["headers"])
    return Answer(start["status"], fields, b"".join(message.get("body", b"") for message in told))
