"""The second layer: nobody reads or writes anything without a seat, but for the door and what it looks like."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final
from urllib.parse import quote

from starlette.responses import RedirectResponse

from loomwright.web.head import Head
from loomwright.web.refusal import API, Refusal, refusal_response
from loomwright.web.session import AT_THE_LAPTOP, Seat, Sessions

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Receive, Scope, Send

    from loomwright.web.settings import Settings

JOIN_PAGE: Final = "/join"
STATIC: Final = "/static/"
_OPEN: Final = frozenset({JOIN_PAGE, "/api/v1/join"})

_NOBODY: Final = Refusal(
    401,
    "join-first",
    "You have not joined this bench, or it was started again since.",
    "Join with the code that the laptop shows, at /join. What your phone keeps stays there and is sent after that.",
    (("WWW-Authenticate", 'Bench realm="join code"'),),
)


class Admission:
    """Wraps the routes: finds the seat of a request, and sends whoever has none to the door."""

    def __init__(self, app: ASGIApp, settings: Settings, sessions: Sessions) -> None:
        """Stand before `app`."""
        self._app = app
        self._settings = settings
        self._sessions = sessions

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let one request through, its seat in `state`, or refuse it."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        head = Head.of(scope)
        seat = self._seat(head)
        if seat is None and head.path not in _OPEN and not head.path.startswith(STATIC):
            await self._turned_away(head, scope, receive, send)
            return
        scope.setdefault("state", {})["seat"] = seat
        await self._app(scope, receive, send)

    def _seat(self, head: Head) -> Seat | None:
        if head.at_the_laptop:
            return AT_THE_LAPTOP
        held = (self._sessions.seat(cookie) for cookie in _cookies(head, self._settings.cookie))
        return next((seat for seat in held if seat is not None), None)

    async def _turned_away(self, head: Head, scope: Scope, receive: Receive, send: Send) -> None:
        if head.path.startswith(API) or head.one("accept") == "application/json":
            await refusal_response(_NOBODY, API)(scope, receive, send)
            return
        where = f"{JOIN_PAGE}?to={quote(head.path, safe='')}"
        await RedirectResponse(where, 303, {"Cache-Control": "no-store"})(scope, receive, send)


def _cookies(head: Head, name: str) -> list[str]:
    pairs = (pair.strip().partition("=") for line in head.fields.get("cookie", ()) for pair in line.split(";"))
    return [value.strip('"') for key, _, value in pairs if key == name]
