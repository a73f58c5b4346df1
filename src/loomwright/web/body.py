"""Take in the body of a write whole, but no more of it and no longer than was agreed."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from loomwright.web.refusal import Refusal, RefusedError
from loomwright.web.rules import too_large

if TYPE_CHECKING:
    from starlette.types import Message, Receive

    from loomwright.web.settings import Settings


class GoneError(Exception):
    """The sender went away before all of it was here."""


async def whole_body(receive: Receive, settings: Settings) -> bytes:
    """Return the body of a request.

    Raises
    ------
    RefusedError
        Where it is too large or takes too long.
    GoneError
        Where the sender went away.
    """
    try:
        async with asyncio.timeout(settings.limits.body_within_s):
            return await _all(receive, settings)
    except TimeoutError:
        what = f"This did not come within {settings.limits.body_within_s:g} s."
        fix = "Nothing is lost: it is sent again from where it was kept."
        raise RefusedError(Refusal(408, "too-slow", what, fix, (("Connection", "close"),))) from None


def played_back(body: bytes, receive: Receive) -> Receive:
    """Return what hands out a body that was taken in, and then whatever follows on the line."""
    waiting: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

    async def again() -> Message:
        return waiting.pop() if waiting else await receive()

    return again


async def _all(receive: Receive, settings: Settings) -> bytes:
    body, more = bytearray(), True
    while more:
        message = await receive()
        if message["type"] == "http.disconnect":
            raise GoneError
        body += message.get("body", b"")
        more = message.get("more_body", False)
        if len(body) > settings.limits.body_bytes:
            raise RefusedError(too_large(settings))
    return bytes(body)
