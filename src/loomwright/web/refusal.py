"""How the bench says no: a status, a short word for programs, and two sentences for people."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from starlette.responses import JSONResponse, PlainTextResponse, Response

if TYPE_CHECKING:
    from collections.abc import Mapping

API: Final = "/api/"


@dataclass(frozen=True, slots=True)
class Refusal:
    """What is not done and why: `what` is so, `fix` puts it right; `headers` go along."""

    status: int
    code: str
    what: str
    fix: str
    headers: tuple[tuple[str, str], ...] = ()

    def as_data(self) -> Mapping[str, str]:
        """Return the JSON form; the keys are part of the documented API."""
        return {"code": self.code, "what": self.what, "fix": self.fix}


class RefusedError(Exception):
    """A request that is refused while it is worked on."""

    def __init__(self, refusal: Refusal) -> None:
        """Keep the refusal."""
        self.refusal = refusal
        super().__init__(f"{refusal.what} {refusal.fix}")


def refusal_response(refusal: Refusal, path: str) -> Response:
    """Return a refusal as it is sent: JSON to programs, plain text to a person who opened a page."""
    headers = {"Cache-Control": "no-store", **dict(refusal.headers)}
    if path.startswith(API):
        return JSONResponse(refusal.as_data(), refusal.status, headers)
    return PlainTextResponse(f"{refusal.what}\n{refusal.fix}\n", refusal.status, headers)
