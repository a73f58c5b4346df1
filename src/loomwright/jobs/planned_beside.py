"""The plan of a bench, worked out by another Python while this one reads the modules of the web."""

from __future__ import annotations

import pickle
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from multiprocessing import get_context
from typing import TYPE_CHECKING

from loomwright.jobs.sending import packed

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.process import BaseProcess
    from pathlib import Path

    from loomwright.plan.result import Plan


@contextmanager
def planned_beside(folder: Path, build: str) -> Iterator[Callable[[], Plan]]:
    """Begin to work out the plan that stands in plan.yaml; what it gives waits for it and returns it.

    Reading modules and working a plan out are both Python's own work, and one Python does one thing at a time. Where
    no other can be had, or it fails at it, the plan is worked out here when it is asked for: faults are raised here.
    """
    context = get_context("spawn")
    helper: BaseProcess | None = None
    line: Connection | None = None
    try:
        line, far = context.Pipe(duplex=False)
        helper = context.Process(target=_work_out, args=(far, folder, build), daemon=True)
        helper.start()
        far.close()
    except (OSError, RuntimeError, AssertionError):  # no process to be had, or this one may not have children
        helper = None
    try:
        yield lambda: _received(line if helper is not None else None, folder, build)
    finally:
        if helper is not None:
            helper.terminate()
            helper.join()
        if line is not None:
            line.close()


def _received(line: Connection | None, folder: Path, build: str) -> Plan:
    from loomwright.jobs.bench import planned  # noqa: PLC0415  the other Python may read it first

    try:
        told = line.recv_bytes() if line is not None else b""
    except (OSError, EOFError):
        told = b""
    if not told:
        return planned(folder, build)
    plan: Plan = pickle.loads(told)  # noqa: S301  from the process that this one started
    return plan


def _work_out(line: Connection, folder: Path, build: str) -> None:
    """Send the plan, nothing where anything went wrong: whoever waits then meets it there."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the one who started this is asked, and ends it
    try:
        from loomwright.jobs.bench import planned  # noqa: PLC0415  this is what takes its time

        told = packed(planned(folder, build))
    except Exception:  # noqa: BLE001  whatever it is, it is raised where people see it
        told = b""
    line.send_bytes(told)
