"""The whole application of one run: guard, admission, routes, and what runs beside them."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from typing import TYPE_CHECKING, Final

from fastapi import FastAPI
from fastapi.telemetry import TelemetryConfig

from loomwright.web import api, pages
from loomwright.web.admission import Admission
from loomwright.web.desk import Desk
from loomwright.web.guard import Guard
from loomwright.web.troubles import tell_troubles
from loomwright.web.watching import watch

if TYPE_CHECKING:
    from starlette.types import ASGIApp

    from loomwright.jobs.bench import Bench
    from loomwright.web.clock import Clock
    from loomwright.web.settings import Settings

API_VERSION: Final = "1"
_ABOUT: Final = (
    "One robot's bench: its ends and readings as data, events in, a live stream, records out. At the laptop no code is "
    "asked for; over the network join first and keep the cookie. Every write carries `X-Bench: 1` and is JSON."
)
#: The framework can report to a collector that the environment names; nothing here reports to anybody.
_TELL_NOBODY: Final[TelemetryConfig] = {
    "tracing": False,
    "metrics": False,
    "logs": False,
    "operation_spans": False,
    "auto_configure": False,
}


def create_app(bench: Bench, settings: Settings, clock: Clock) -> ASGIApp:
    """Put the application of one run together."""
    return app_of(Desk.of(bench, settings, clock))


def app_of(desk: Desk) -> ASGIApp:
    """Return the application that serves a desk."""
    app = FastAPI(
        title="loomwright bench",
        version=API_VERSION,
        description=_ABOUT,
        docs_url=None,  # its page would load scripts from outside
        redoc_url=None,
        redirect_slashes=False,
        lifespan=_alive,
        telemetry={
            "tracing": False,
            "metrics": False,
            "logs": False,
            "operation_spans": False,
            "auto_configure": False,
        },
    )
    app.state.desk = desk
    app.include_router(api.router)
    app.include_router(pages.router)
    tell_troubles(app)
    return Guard(Admission(app, desk.settings, desk.sessions), desk.settings, desk.visitors)


@asynccontextmanager
async def _alive(app: FastAPI) -> AsyncIterator[None]:
    """Watch the robot's folder as long as the bench is served."""
    desk: Desk = app.state.desk
    watching = asyncio.create_task(watch(desk.bench, desk.pulse))
    try:
        yield
    finally:
        desk.pulse.stop()
        watching.cancel()
        with suppress(asyncio.CancelledError):
            await watching
