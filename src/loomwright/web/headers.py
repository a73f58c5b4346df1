"""What every answer tells the browser: to run, load and frame nothing that is not the bench's own."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from starlette.types import Message, Send

#: For pages and whatever else: nothing inline, nothing from outside (source: w3c-csp-memory).
PAGE_POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
#: For a drawing, which carries its fonts and its style sheet inside and no script.
DRAWING_POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; frame-ancestors 'none'; sandbox"

_ALWAYS: Final = {
    b"content-security-policy": PAGE_POLICY.encode(),
    b"x-content-type-options": b"nosniff",
    b"x-frame-options": b"DENY",
    b"referrer-policy": b"same-origin",
    b"cross-origin-resource-policy": b"same-origin",
    b"permissions-policy": b"camera=(), microphone=(), geolocation=(), payment=(), usb=()",
    b"cache-control": b"no-store",
}


def dressed(send: Send) -> Send:
    """Return a sender that adds the headers to every answer; what an answer says itself stands."""

    async def dressing(message: Message) -> None:
        if message["type"] == "http.response.start":
            told = list(message.get("headers", ()))
            named = {name.lower() for name, _ in told}
            message = {**message, "headers": [*told, *(pair for pair in _ALWAYS.items() if pair[0] not in named)]}
        await send(message)

    return dressing
