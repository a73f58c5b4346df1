"""Another Python beside this one, which knows the same modules and does one thing after the other that it is told.

It is started by hand and not by `multiprocessing`: that one reads the whole command line again before it begins, and
starts a third Python to watch over both.
"""

from __future__ import annotations

import gc
import os
import pickle
import subprocess
import sys
from contextlib import suppress
from importlib import import_module
from typing import IO, TYPE_CHECKING, Any, Final, Self

from loomwright.jobs.sending import packed

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

#: What it does first: it leaves Ctrl-C to the one who started it, and looks for modules in the same places.
_BEGIN: Final = (
    "import signal; signal.signal(signal.SIGINT, signal.SIG_IGN); import pickle, sys; "
    "sys.path[:] = pickle.load(sys.stdin.buffer); from loomwright.jobs.helper import help_out; help_out()"
)
#: What comes of a helper that is lost, and of something that can't be sent.
LOST: Final = (OSError, EOFError, ValueError, pickle.PickleError, AttributeError, TypeError)
_KNOW, _KEEP, _DO = "know", "keep", "do"


class Helper:
    """Another Python; let it go in the end. Whatever it is told raises one of `LOST` where it is no more."""

    def __init__(self, process: subprocess.Popen[bytes], orders: IO[bytes], answers: IO[bytes]) -> None:
        """Take over what `started` started."""
        self._process, self._orders, self._answers = process, orders, answers

    @classmethod
    def started(cls) -> Self | None:
        """Return one that gets ready; None where no process is to be had."""
        # Without -P a file of the folder that somebody works in could stand for a module of Python.
        words = [sys.executable, "-P", "-c", _BEGIN]
        try:
            process = subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE)  # noqa: S603  fixed words
        except (OSError, ValueError, TypeError):
            return None
        if process.stdin is None or process.stdout is None:
            return None
        helper = cls(process, process.stdin, process.stdout)
        with suppress(OSError):  # whoever tells it something hears that it is lost
            helper._send(sys.path)
        return helper

    def know(self, modules: Sequence[str]) -> None:
        """Have it import modules; what there is not is told by whoever needs it."""
        self._send((_KNOW, tuple(modules)))

    def keep(self, subject: object) -> None:
        """Have it keep something in place of what it kept before: None at first."""
        self._send((_KEEP, subject))

    def tell(self, act: Callable[..., object]) -> None:
        """Have it call a function of a module, or a partial of such, with what it keeps."""
        self._send((_DO, act))

    def answer(self) -> Any:  # noqa: ANN401  what its function gave
        """Wait for what it gave, None where it failed, in the order in which it was told."""
        return pickle.load(self._answers)  # noqa: S301  from the process that this one started

    def let_go(self) -> None:
        """End it, whatever it is doing."""
        self._process.kill()
        self._process.wait()
        for pipe in (self._orders, self._answers):
            with suppress(OSError):  # what was still to be sent has nowhere to go
                pipe.close()

    def _send(self, order: object) -> None:
        self._orders.write(packed(order))
        self._orders.flush()


def help_out() -> None:
    """Do what is told, until nobody tells any more; the answer None says that it failed, whatever at."""
    gc.disable()  # it lives for seconds
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what anybody prints is no answer
    kept: object = None
    with suppress(OSError, EOFError):  # whoever told is gone
        while True:
            verb, what = pickle.load(sys.stdin.buffer)  # noqa: S301  from the process that started this one
            if verb == _KNOW:
                _import(what)
            elif verb == _KEEP:
                kept = what
            else:
                answers.write(_answer(what, kept))
                answers.flush()


def _import(modules: Sequence[str]) -> None:
    for module in modules:
        with suppress(ImportError):
            import_module(module)


def _answer(act: Callable[[object], object], kept: object) -> bytes:
    try:
        return packed(act(kept))
    except Exception:  # noqa: BLE001  whatever it is, it is raised where people see it
        return packed(None)
