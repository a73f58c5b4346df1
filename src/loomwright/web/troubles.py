"""Whatever goes wrong while a request is worked on, told in plain words and with the status that fits."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException

from loomwright.findings import UnreadableInputError
from loomwright.records.reading import EventRefusedError
from loomwright.store import StoreError, StoreFullError
from loomwright.web.pages import refused_page
from loomwright.web.refusal import API, Refusal, RefusedError, refusal_response

if TYPE_CHECKING:
    from loomwright.findings import Finding

_MOST_FAULTS: Final = 20
_OURS: Final = Refusal(
    500,
    "our-mistake",
    "The bench made a mistake of its own, and nothing was signed by it.",
    "Try again. If it stays, look at the laptop's terminal, and tell those who made loomwright what stands there.",
)


def tell_troubles(app: FastAPI) -> None:
    """Have an application answer every trouble with a refusal."""
    for error, refusal_for in _TOLD.items():
        app.add_exception_handler(error, _answering(refusal_for))


def _answering(refusal_for: Callable[[Any], Refusal]) -> Callable[[Request, Exception], Response]:
    def answer(request: Request, error: Exception) -> Response:
        refusal = refusal_for(error)
        # Whoever opened a page gets one, with a way back.
        asked = request.headers.get("accept", "")
        if request.method == "GET" and "text/html" in asked and not request.url.path.startswith(API):
            return refused_page(refusal, request.app.state.desk)
        return refusal_response(refusal, request.url.path)

    return answer


def _refused(error: RefusedError) -> Refusal:
    return error.refusal


def _http(error: HTTPException) -> Refusal:
    headers = tuple((error.headers or {}).items())
    if error.status_code == 404:  # noqa: PLR2004  not found
        return Refusal(404, "not-there", "There is nothing under this address.", "Begin at /ends.")
    if error.status_code == 405:  # noqa: PLR2004  not this method
        fix = f"It answers {dict(headers).get('Allow', 'another one')}."
        return Refusal(405, "other-method", "This address does not answer this method.", fix, headers)
    return Refusal(error.status_code, "not-whole", "The request is not whole.", "Send it again.", headers)


def _misunderstood(error: RequestValidationError) -> Refusal:
    faults = [f"{_where(fault['loc'])}: {fault['msg']}" for fault in error.errors()[:_MOST_FAULTS]]
    return Refusal(422, "not-understood", f"{'; '.join(faults)}.", "Put it right and send it again; see /openapi.json.")


def _where(place: tuple[int | str, ...]) -> str:
    """Name the place of a fault by what is ours of it; a name that somebody made up is not said back."""
    return ".".join(str(part)[:40] for part in place)


def _event(error: EventRefusedError) -> Refusal:
    return Refusal(422, "not-understood", " ".join(error.faults), "Put it right and send it again.")


def _full(error: StoreFullError) -> Refusal:
    return _of_finding(507, error.finding)


def _store(error: StoreError) -> Refusal:
    return _of_finding(503, error.finding, ("Retry-After", "5"))


def _unreadable(error: UnreadableInputError) -> Refusal:
    return _of_finding(503, error.faults[0])


def _of_finding(status: int, finding: Finding, *headers: tuple[str, str]) -> Refusal:
    return Refusal(status, finding.code, finding.what, finding.fix, headers)


def _ours(_error: Exception) -> Refusal:
    return _OURS


_TOLD: Final[dict[type[Exception], Callable[[Any], Refusal]]] = {
    RefusedError: _refused,
    HTTPException: _http,
    RequestValidationError: _misunderstood,
    EventRefusedError: _event,
    StoreFullError: _full,
    StoreError: _store,
    UnreadableInputError: _unreadable,
    Exception: _ours,
}
