"""The plan of a bench, worked out by another Python while this one reads the modules of the web."""

from __future__ import annotations

from contextlib import contextmanager, suppress
from functools import partial
from typing import TYPE_CHECKING

from loomwright.jobs.helper import LOST, Helper

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from loomwright.plan.result import Plan


@contextmanager
def planned_beside(folder: Path, build: str) -> Iterator[Callable[[], Plan]]:
    """Begin to work out the plan that stands in plan.yaml; what it gives waits for it and returns it.

    Reading modules and working a plan out are both Python's own work, and one Python does one thing at a time. Where
    no other can be had, or it fails at it, the plan is worked out here when it is asked for: faults are raised here.
    """
    helper = Helper.started()
    try:
        if helper is not None:
            with suppress(*LOST):  # the answer tells so, too
                helper.tell(partial(_work_out, folder, build))
        yield lambda: _received(helper, folder, build)
    finally:
        if helper is not None:
            helper.let_go()


def _received(helper: Helper | None, folder: Path, build: str) -> Plan:
    try:
        plan: Plan | None = helper.answer() if helper is not None else None
    except LOST:
        plan = None
    return plan if plan is not None else _work_out(folder, build)


def _work_out(folder: Path, build: str, _kept: object = None) -> Plan:
    from loomwright.jobs.current import planned  # noqa: PLC0415  this is what takes its time

    return planned(folder, build)
