"""Look now and then for what did not come through this server: records of another program, a plan that was written."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final, TypeAlias

from starlette.concurrency import run_in_threadpool

from loomwright.findings import UnreadableInputError
from loomwright.store import StoreError
from loomwright.web.pulse import Beat

if TYPE_CHECKING:
    from loomwright.jobs.bench import Bench
    from loomwright.web.pulse import Pulse

_EVERY_S: Final = 1.0
_log: Final = logging.getLogger(__name__)

_Signs: TypeAlias = dict[Path, tuple[int, int]]


async def watch(bench: Bench, pulse: Pulse, *, pause: Callable[[float], Awaitable[object]] = asyncio.sleep) -> None:
    """Look once a second until somebody cancels it; what can't be read now is looked at again."""
    signs = await run_in_threadpool(_signs, bench.folder)
    while True:
        await pause(_EVERY_S)
        try:
            signs = await _look(bench, pulse, signs)
        except (OSError, StoreError, UnreadableInputError) as error:
            _log.warning("%s", error)


async def arrived(bench: Bench, pulse: Pulse) -> int:
    """Tell everybody who waits what arrived last, and return it; what it says is worked out when somebody asks."""
    arrival = await run_in_threadpool(lambda: bench.store.last_arrival)
    pulse.tell(replace(pulse.beat, arrival=arrival))
    return arrival


def in_trouble(pulse: Pulse, error: StoreError) -> None:
    """Tell every screen that nothing can be kept just now and why, and the laptop's terminal, too, the first time."""
    words = f"{error.finding.what} {error.finding.fix}"
    if words != pulse.beat.trouble:
        _log.error("%s", words)
    pulse.tell(replace(pulse.beat, trouble=words))


def out_of_trouble(pulse: Pulse) -> None:
    """Tell them that it is over."""
    if pulse.beat.trouble:
        _log.warning("What people sign is kept again.")
        pulse.tell(replace(pulse.beat, trouble=""))


async def _look(bench: Bench, pulse: Pulse, before: _Signs) -> _Signs:
    signs = await run_in_threadpool(_signs, bench.folder)
    if signs != before:
        await run_in_threadpool(bench.look_again)
        fresh = Beat.of(await run_in_threadpool(bench.view))
        pulse.tell(replace(fresh, trouble=pulse.beat.trouble))
    await arrived(bench, pulse)
    return signs


def _signs(folder: Path) -> _Signs:
    """Return by what one can tell, without reading it, that a file of the robot was written again."""
    files = [*folder.glob("*.yaml"), *folder.glob("*.json"), *folder.glob("parts/**/*.yaml")]
    found: _Signs = {}
    for path in files:
        try:
            told = path.stat()
        except OSError:
            continue  # it went away just now; that shows next time
        found[path] = (told.st_mtime_ns, told.st_size)
    return found
