"""CP-SAT's modelling module without the sixth of a second that it takes to read pandas.

It names two classes of pandas in the types of functions for tables of variables; nothing here has such tables. Where
pandas is read already, it is used.
"""

from __future__ import annotations

import sys
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING, Final

__all__ = ["cp_model"]

if TYPE_CHECKING:
    from ortools.sat.python import cp_model
else:
    _TABLES: Final = "pandas"

    def _read() -> ModuleType:
        if _TABLES in sys.modules:
            return import_module("ortools.sat.python.cp_model")
        stand_in = ModuleType(_TABLES)
        stand_in.Index = type("Index", (), {})
        stand_in.Series = type("Series", (), {})
        sys.modules[_TABLES] = stand_in
        try:
            return import_module("ortools.sat.python.cp_model")
        finally:
            # Whoever wants pandas itself reads it then.
            if sys.modules.get(_TABLES) is stand_in:
                del sys.modules[_TABLES]

    cp_model = _read()
