"""What all compiled functions of the kernel share: how they are compiled and kept, and numbers that several need.

numba keeps compiled code by the file of one function alone. A change in a file that it calls would go unseen; so the
code is kept in a folder that is named by all files of the engine.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, TypeAlias, TypeVar, cast

import numba as nb
import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.int64]
_F = TypeVar("_F", bound=Callable[..., Any])

#: Division by zero gives infinity instead of an error to look out for, and products may be fused with sums; nothing
#: else is rearranged, so that sums run in one order. Other threads may run meanwhile.
_HOT: Final[dict[str, Any]] = {
    "error_model": "numpy",
    "fastmath": {"contract"},
    "boundscheck": False,
    "nogil": True,
}
#: For functions that others take in whole; `_nrt` is numba's own word for counting who holds an array.
_INNER: Final[dict[str, Any]] = {"forceinline": True, "_nrt": False}
#: Commands, heat, breakers and what changes slowly follow in these steps [s].
SLOW_S: Final = 0.02
#: Copper gets more resistant by this share for each kelvin above 20 C (source: iacs).
ALPHA: Final = 0.00393
HIGHEST_V: Final = 40.0
NEVER: Final = 1e9
#: Stands for a way without an end [rad], on either side.
NO_END: Final = 1e18


def compiled(function: _F) -> _F:
    """Compile a function into those that call it; it can't make arrays.

    Arrays are not counted in it: a count is shared by all threads, and each change of it holds the processor up for as
    long as a loop over the lanes takes.
    """
    return cast("_F", nb.njit(**_HOT, **_INNER)(function))


def making(function: _F) -> _F:
    """Compile a function that makes arrays when it is first called."""
    return cast("_F", nb.njit(**_HOT)(function))


def kept(function: _F) -> _F:
    """Compile a function when it is first called, and keep the code for the next start where there is room for it."""
    config: Any = nb.config
    before = config.CACHE_DIR
    try:
        config.CACHE_DIR = str(_folder())
        return cast("_F", nb.njit(cache=True, **_HOT)(function))
    except (OSError, RuntimeError):  # no folder that may be written: it is compiled in every run
        return making(function)
    finally:
        config.CACHE_DIR = before


def is_kept() -> bool:
    """Tell whether code for this engine has been kept before, so that the first match need not be waited for."""
    try:
        return any(_folder().rglob("*.nbc"))
    except OSError:
        return False


def engine_digest() -> str:
    """Return a digest of all files of this engine."""
    files = sorted(Path(__file__).parent.glob("*.py"))
    return hashlib.sha256(b"".join(file.read_bytes() for file in files)).hexdigest()[:16]


def _folder() -> Path:
    """Return the folder for compiled code of exactly this engine."""
    return _caches() / "loomwright" / f"match-{engine_digest()}"


def _caches() -> Path:
    """Return where programs of this system keep what they can make again."""
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches"
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
