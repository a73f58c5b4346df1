"""The outermost layer: every request passes here first, and every answer leaves through it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.web.body import GoneError, played_back, whole_body
from loomwright.web.head import Head
from loomwright.web.headers import dressed
from loomwright.web.refusal import RefusedError, refusal_response
from loomwright.web.rules import refuse_by_head

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Receive, Scope, Send

    from loomwright.web.settings import Settings
    from loomwright.web.visitors import Visitors


class Guard:
    """Wraps an application: refuses what the rules refuse, bounds bodies, adds the headers."""

    def __init__(self, app: ASGIApp, settings: Settings, visitors: Visitors) -> None:
        """Stand before `app`."""
        self._app = app
        self._settings = settings
        self._visitors = visitors

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let one request in, or refuse it."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
        elif scope["type"] == "http":
            await self._http(scope, receive, dressed(send))
        # Nothing else is spoken here; a websocket that is not answered is refused.

    async def _http(self, scope: Scope, receive: Receive, send: Send) -> None:
        head = Head.of(scope)
        self._visitors.saw(head)
        try:
            refuse_by_head(head, self._settings)
            if head.method == "POST":
                receive = played_back(await whole_body(receive, self._settings), receive)
        except RefusedError as error:
            await refusal_response(error.refusal, head.path)(scope, receive, send)
        except GoneError:
            return
        else:
            await self._app(scope, receive, send)
