"""The engine's compiled functions taken back to the Python they are written in."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module

import numpy as np
import pytest

_FILES = ("alone", "branches", "bus", "chance", "discharge", "kernel", "motion", "orders", "study", "warmth")


@contextmanager
def uncompiled() -> Iterator[None]:
    """Let every function of the engine run, and call the others, as plain Python."""
    with pytest.MonkeyPatch.context() as patch, np.errstate(all="ignore"):
        for name in _FILES:
            module = import_module(f"loomwright.match.engine.{name}")
            for called, held in list(vars(module).items()):
                if hasattr(held, "py_func"):
                    patch.setattr(module, called, held.py_func)
        yield
