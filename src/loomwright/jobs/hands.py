"""Two pairs of hands for the drawings of a plan: this process, and a helper that gets ready while the plan is made.

Each takes the next drawing when it has finished one. The helper is another Python, for the drawings are Python's own
work and one Python does one thing at a time. Where none can be had, or it is lost, everything is drawn here; the papers
are the same byte for byte.
"""

from __future__ import annotations

import gc
import pickle
import signal
from collections import deque
from contextlib import suppress
from importlib import import_module
from multiprocessing import get_context
from threading import Thread
from typing import TYPE_CHECKING, Self, TypeVar

from loomwright.jobs.sending import packed

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from multiprocessing.connection import Connection
    from multiprocessing.process import BaseProcess

_T = TypeVar("_T")
_Made = TypeVar("_Made")


class Hands:
    """One process and its helper; close it, or use it in a `with`."""

    def __init__(self) -> None:
        """Nobody is called yet."""
        self._helper: BaseProcess | None = None
        self._line: Connection | None = None
        self._told: object = None

    def __enter__(self) -> Self:
        """Return itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """Let the helper go, whatever it is doing."""
        if self._helper is not None and self._line is not None:
            self._helper.terminate()
            self._helper.join()
            self._line.close()
        self._helper = self._line = None

    def call(self, modules: Sequence[str] = ()) -> None:
        """Have a helper come and import these modules meanwhile; nothing happens where it is there already."""
        if self._helper is not None:
            return
        context = get_context("spawn")
        try:
            self._line, far = context.Pipe()
            self._helper = context.Process(target=_help, args=(far, tuple(modules)), daemon=True)
            self._helper.start()
            far.close()
        except (OSError, RuntimeError, AssertionError):  # no process to be had, or this one may not have children
            self._helper = self._line = None

    def make(self, subject: _T, writers: Mapping[str, Callable[[_T], _Made]]) -> dict[str, _Made]:
        """Return what each writer makes of the subject, by its name; None is nothing that one may make.

        This process begins with the first, the helper with the last. Writers are functions of a module, or partials of
        such, for the helper is sent their names. What it fails at is made here again, so that an error is raised here
        as if there were no helper.
        """
        todo, made = deque(writers), dict[str, _Made]()
        beside = Thread(target=self._sent, args=(subject, writers, todo, made))
        beside.start()
        try:
            _taken(todo, made, lambda name: writers[name](subject))
        except BaseException:
            todo.clear()
            raise
        finally:
            beside.join()
        _taken(deque(name for name in writers if name not in made), made, lambda name: writers[name](subject))
        return {name: made[name] for name in writers}

    def _sent(
        self, subject: _T, writers: Mapping[str, Callable[[_T], _Made]], todo: deque[str], made: dict[str, _Made]
    ) -> None:
        """Give the helper one drawing after the other, from the last on."""
        if self._line is None:
            return
        try:
            if self._told is None or self._told is not subject:  # what it has is not sent again
                self._line.send(packed(subject))
                self._told = subject
            while todo:
                name = todo.pop()
                self._line.send(writers[name])
                if (sheet := self._line.recv()) is not None:
                    made[name] = sheet
        except (OSError, EOFError, IndexError, pickle.PicklingError, AttributeError, TypeError):
            # It is lost, the other took the last one, or what there is can't be sent.
            return


def _taken(todo: deque[str], made: dict[str, _Made], make: Callable[[str], _Made]) -> None:
    while True:
        try:
            name = todo.popleft()
        except IndexError:
            return
        made[name] = make(name)


def _help(line: Connection, modules: tuple[str, ...]) -> None:
    """Draw what is sent, until nobody sends any more; None says that it could not be drawn."""
    gc.disable()  # it lives for seconds
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the one who called is asked, and ends this one
    subject: object = None
    for module in modules:
        with suppress(ImportError):  # whoever needs it says so
            import_module(module)
    try:
        while True:
            told = line.recv()  # what to draw, or how
            if isinstance(told, bytes):
                subject = pickle.loads(told)  # noqa: S301  from the process that started this one
                continue
            try:
                sheet = told(subject)
            except Exception:  # noqa: BLE001  whatever it is, it is raised where people see it
                sheet = None
            line.send(sheet)
    except (OSError, EOFError):
        return
