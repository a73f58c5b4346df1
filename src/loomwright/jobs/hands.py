"""Two pairs of hands for the drawings of a plan: this process, and a helper that gets ready while the plan is made.

Each takes the next drawing when it has finished one. The helper is another Python, for the drawings are Python's own
work and one Python does one thing at a time. Where none can be had, or it is lost, everything is drawn here; the papers
are the same byte for byte.
"""

from __future__ import annotations

from collections import deque
from contextlib import suppress
from threading import Thread
from typing import TYPE_CHECKING, Self, TypeVar

from loomwright.jobs.helper import LOST, Helper

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

_T = TypeVar("_T")
_Made = TypeVar("_Made")


class Hands:
    """One process and its helper; close it, or use it in a `with`."""

    def __init__(self) -> None:
        """Nobody is called yet."""
        self._helper: Helper | None = None
        self._kept: object = None

    def __enter__(self) -> Self:
        """Return itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """Let the helper go, whatever it is doing."""
        if self._helper is not None:
            self._helper.let_go()
        self._helper = None

    def call(self, modules: Sequence[str] = ()) -> None:
        """Have a helper come and import these modules meanwhile; nothing happens where it is there already."""
        if self._helper is None and (helper := Helper.started()) is not None:
            self._helper = helper
            with suppress(*LOST):  # it is told again when there is something to make
                helper.know(modules)

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
        helper = self._helper
        if helper is None:
            return
        try:
            if self._kept is None or self._kept is not subject:  # what it has is not sent again
                helper.keep(subject)
                self._kept = subject
            while todo:
                name = todo.pop()
                helper.tell(writers[name])
                if (sheet := helper.answer()) is not None:
                    made[name] = sheet
        except (*LOST, IndexError):
            # It is lost, the other took the last one, or what there is can't be sent.
            return


def _taken(todo: deque[str], made: dict[str, _Made], make: Callable[[str], _Made]) -> None:
    while True:
        try:
            name = todo.popleft()
        except IndexError:
            return
        made[name] = make(name)
