"""The HTTP API under /api/v1: the bench as data, events in, a stream of how far it is, records out, and the door."""

from __future__ import annotations

import json
from typing import Annotated, Any, Final, Literal

from fastapi import APIRouter, Header, Query, Request, Response
from fastapi.responses import JSONResponse, StreamingResponse
from starlette.concurrency import run_in_threadpool

from loomwright.jobs.bench import Answer
from loomwright.records.event import Role, as_data
from loomwright.store import StoreError
from loomwright.web.bench_forms import BenchTold
from loomwright.web.desk import Desk, DeskHere, SeatHere
from loomwright.web.forms import (
    AnswerTold,
    EventsAsked,
    EventsTold,
    JoinAsked,
    RecordsTold,
    RefusalTold,
    SeatTold,
)
from loomwright.web.packed import ASK_FIRST, sent
from loomwright.web.refusal import Refusal, RefusedError
from loomwright.web.watching import arrived, in_trouble, out_of_trouble

#: So many records are told at once.
MOST_TOLD: Final = 1000
_LARGEST: Final = 2**53

_NO: Final[dict[int | str, dict[str, Any]]] = {
    status: {"model": RefusalTold, "description": words}
    for status, words in {
        400: "the request is not whole",
        401: "not joined, or a wrong code",
        403: "not from the bench's own pages, or for mentors only",
        405: "another method is meant",
        408: "the body came too slowly",
        413: "the body is too large",
        415: "not JSON",
        421: "the bench is not served under this name",
        422: "something in it can't be understood",
        429: "too many wrong codes",
        500: "a mistake of the program",
        503: "it can't be done just now; try again",
        507: "the disk is full",
    }.items()
}


def _no(*statuses: int) -> dict[int | str, dict[str, Any]]:
    return {status: _NO[status] for status in (400, 405, 421, 500, 503, *statuses)}


_READS: Final = _no(401, 403)
_WRITES: Final = _no(401, 403, 408, 413, 415, 422)

#: One event of the stream.
_STREAMED: Final[dict[str, Any]] = {
    "type": "object",
    "properties": {
        "id": {"type": "string", "description": "the arrival"},
        "event": {"type": "string", "enum": ["arrival", "stopping"]},
        "data": {"type": "string", "description": "JSON: `arrival`, `revision`, `stale`, `trouble` if any"},
        "retry": {"type": "integer", "description": "how long to wait before coming back [ms]"},
    },
}

OwnHeader = Annotated[Literal["1"], Header(alias="X-Bench", description="stands with every write")]

router: Final = APIRouter(prefix="/api/v1")


@router.post("/join", response_model=SeatTold, responses={**_WRITES, **_no(429)}, summary="Join with a code")
async def join(asked: JoinAsked, request: Request, desk: DeskHere, _own: OwnHeader) -> Response:
    """Set the cookie of a session; the code decides whether as student or as mentor."""
    role = desk.door.role_for(asked.code, request.client.host if request.client is not None else "")
    answer = JSONResponse(SeatTold(role=role, who=asked.who).model_dump(mode="json"))
    _set_cookie(answer, desk, desk.sessions.begin(role, asked.who), int(desk.settings.limits.session_s))
    return answer


@router.post("/leave", response_model=SeatTold, responses=_WRITES, summary="Leave the bench")
async def leave(desk: DeskHere, seat: SeatHere, _own: OwnHeader) -> Response:
    """End the session, wherever its cookie is kept; at the laptop itself it does nothing."""
    desk.sessions.end(seat)
    answer = JSONResponse(SeatTold(role=seat.role, who=seat.who).model_dump(mode="json"))
    _set_cookie(answer, desk, "", 0)
    return answer


@router.get(
    "/bench",
    response_model=BenchTold,
    responses={**_READS, 304: {"description": "nothing has changed since the tag in If-None-Match"}},
    summary="The whole bench",
)
def bench(request: Request, desk: DeskHere, seat: SeatHere) -> Response:
    """Tell every end and every row with what was recorded of it; with a tag, so that it is sent only when it is new."""
    return sent(desk.screens.bench(desk.bench.view(), seat.role, desk.clock.stamp()), request.headers, keep=ASK_FIRST)


@router.post("/events", responses={**_WRITES, **_no(507)}, summary="Sign, measure, note")
async def events(asked: EventsAsked, desk: DeskHere, seat: SeatHere, _own: OwnHeader) -> EventsTold:
    """Take in events; each is answered for itself. A key that is known already is one event, however often it comes."""
    _refuse_what_is_no_text(asked.events)
    now = desk.clock.stamp()
    try:
        answers = await run_in_threadpool(desk.bench.sign, asked.events, seat.role, now=now)
    except StoreError as error:
        in_trouble(desk.pulse, error)
        raise
    out_of_trouble(desk.pulse)
    return EventsTold(answers=[_answer(one) for one in answers], arrival=await arrived(desk.bench, desk.pulse))


@router.get(
    "/stream",
    response_class=StreamingResponse,
    responses={**_READS, 200: {"content": {"text/event-stream": {"schema": _STREAMED}}}},
    summary="How far the bench is, live",
)
async def stream(desk: DeskHere, seat: SeatHere) -> StreamingResponse:
    """Send an event at once and whenever something arrived; one that comes back needs nothing but to come back."""
    return StreamingResponse(desk.streams.lines(seat), media_type="text/event-stream")


@router.get(
    "/records",
    response_model=RecordsTold,
    responses={**_READS, **_no(422)},
    summary="Records as they are kept (mentors)",
)
def records(
    desk: DeskHere,
    seat: SeatHere,
    after: Annotated[int, Query(ge=0, le=_LARGEST, description="the arrival of the last one that is known")] = 0,
) -> Response:
    """Tell records with their hashes, in the order in which they arrived."""
    if seat.role is not Role.MENTOR:
        raise RefusedError(
            Refusal(403, "mentors-only", "Only a mentor reads the records.", "Join with the mentor code.")
        )
    found = desk.bench.store.since(after)
    told = found[:MOST_TOLD]
    data = {
        "records": [{**as_data(record), "hash": record.hash} for _, record in told],
        "arrival": told[-1][0] if told else after,
        "more": len(found) > len(told),
    }
    return JSONResponse(data)


def _answer(one: Answer) -> AnswerTold:
    return AnswerTold.model_validate({"key": one.key, "outcome": one.outcome, "why": list(one.why)})


def _refuse_what_is_no_text(told: object) -> None:
    """Refuse half characters, which JSON can spell and nothing can write down."""
    try:
        json.dumps(told, ensure_ascii=False).encode()
    except (UnicodeEncodeError, RecursionError):
        what = "It holds half of a character, or is nested too deeply."
        raise RefusedError(Refusal(422, "not-text", what, "Send text as UTF-8.")) from None


def _set_cookie(answer: Response, desk: Desk, value: str, max_age_s: int) -> None:
    answer.set_cookie(desk.settings.cookie, value, max_age=max_age_s, path="/", httponly=True, samesite="strict")
