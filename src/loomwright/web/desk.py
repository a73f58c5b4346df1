"""Everything that the routes of one run share, put together once at the start."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Self

from fastapi import Depends, Request

from loomwright.web.joining import Door
from loomwright.web.pulse import Beat, Pulse
from loomwright.web.refusal import Refusal, RefusedError
from loomwright.web.screens import Screens
from loomwright.web.session import Seat, Sessions
from loomwright.web.static_table import StaticTable, read_static
from loomwright.web.stream import Streams
from loomwright.web.views.drawn import Drawn
from loomwright.web.visitors import Visitors

if TYPE_CHECKING:
    from loomwright.jobs.bench import Bench
    from loomwright.web.clock import Clock
    from loomwright.web.settings import Settings


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """One run of the bench: what is served, who is let in, what streams wait for."""

    bench: Bench
    settings: Settings
    clock: Clock
    sessions: Sessions
    door: Door
    pulse: Pulse
    streams: Streams
    screens: Screens
    drawn: Drawn
    static: StaticTable
    visitors: Visitors

    @classmethod
    def of(cls, bench: Bench, settings: Settings, clock: Clock) -> Self:
        """Put a run together."""
        sessions = Sessions(settings.secrets.key, clock, lifetime_s=settings.limits.session_s)
        pulse = Pulse(Beat.of(bench.view()))
        return cls(
            bench=bench,
            settings=settings,
            clock=clock,
            sessions=sessions,
            door=Door(settings.secrets, clock, settings.limits),
            pulse=pulse,
            streams=Streams(pulse, sessions, settings.limits),
            screens=Screens(),
            drawn=Drawn(),
            static=read_static(),
            visitors=Visitors(),
        )


def _desk(request: Request) -> Desk:
    desk: Desk = request.app.state.desk
    return desk


def _seat(request: Request) -> Seat:
    """Return the seat of whoever asks; nobody gets to a route that needs one without it, and this makes sure."""
    seat: Seat | None = request.state.seat
    if seat is None:
        raise RefusedError(Refusal(401, "join-first", "You have not joined this bench.", "Join at /join."))
    return seat


DeskHere = Annotated[Desk, Depends(_desk)]
SeatHere = Annotated[Seat, Depends(_seat)]
